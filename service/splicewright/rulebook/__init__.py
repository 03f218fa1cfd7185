"""Rule files, read and checked; no engine in here."""

from splicewright.rulebook.loader import Fault, RulebookFault, RuleFiles, load_rulebook, read_rulebook
from splicewright.rulebook.model import Rule, Rulebook

__all__ = ["Fault", "Rule", "RuleFiles", "Rulebook", "RulebookFault", "load_rulebook", "read_rulebook"]
