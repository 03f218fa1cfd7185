"""Derives findings from facts. The only importer of the rule library."""

from splicewright.engine.compiled_rulebook import CompiledRulebook
from splicewright.engine.engine import Engine
from splicewright.engine.faults import QuestionTooLarge, RulebookTooLarge, UnfitRulebook
from splicewright.engine.finding_set import Derived
from splicewright.engine.finding_templates import Finding
from splicewright.engine.firings import Firing

__all__ = [
    "CompiledRulebook",
    "Derived",
    "Engine",
    "Finding",
    "Firing",
    "QuestionTooLarge",
    "RulebookTooLarge",
    "UnfitRulebook",
]
