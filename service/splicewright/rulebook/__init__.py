"""Rule files, read and checked; no engine in here."""

from splicewright.rulebook.loader import RulebookFault, RuleFault, RuleFiles, load_rulebook, read_rulebook
from splicewright.rulebook.model import Rule, Rulebook

__all__ = ["Rule", "RuleFault", "RuleFiles", "Rulebook", "RulebookFault", "load_rulebook", "read_rulebook"]
