"""Derives findings from facts. The only importer of the rule library."""

from splicewright.engine.compiled_rulebook import CompiledRulebook, Engine
from splicewright.engine.faults import QuestionTooLarge, RulebookTooLarge, UnfitRulebook
from splicewright.engine.finding_set import Finding, FindingSet
from splicewright.engine.finding_templates import Statement, derived_rules
from splicewright.engine.rule_groups import Firing

__all__ = [
    "CompiledRulebook",
    "Engine",
    "Finding",
    "FindingSet",
    "Firing",
    "QuestionTooLarge",
    "RulebookTooLarge",
    "Statement",
    "UnfitRulebook",
    "derived_rules",
]
