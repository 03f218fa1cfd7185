"""Findings and catalogue to an answer; pure, but for reading the rules and catalogues once."""

from splicewright.choice.chooser import Answer, Chooser, choose, shipped_chooser

__all__ = ["Answer", "Chooser", "choose", "shipped_chooser"]
