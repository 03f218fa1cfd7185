"""Derives findings from facts. The only importer of the rule library."""

from splicewright.engine.engine import Engine
from splicewright.engine.faults import QuestionTooLarge, RulebookTooLarge, UnfitRulebook
from splicewright.engine.findings import Finding
from splicewright.engine.program import Firing

__all__ = ["Engine", "Finding", "Firing", "QuestionTooLarge", "RulebookTooLarge", "UnfitRulebook"]
