"""Derives findings from facts. The only importer of the rule library."""

from splicewright.engine.derived import Derived
from splicewright.engine.engine import Engine
from splicewright.engine.faults import QuestionTooLarge, RulebookTooLarge, UnfitRulebook
from splicewright.engine.program import Firing
from splicewright.engine.telling import Finding

__all__ = ["Derived", "Engine", "Finding", "Firing", "QuestionTooLarge", "RulebookTooLarge", "UnfitRulebook"]
