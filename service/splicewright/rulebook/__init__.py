"""Rule files, read and checked; no engine in here."""

from splicewright.rulebook.loader import RuleFiles, load_rulebook, read_rulebook
from splicewright.rulebook.model import Rule, Rulebook

__all__ = ["Rule", "RuleFiles", "Rulebook", "load_rulebook", "read_rulebook"]
