"""Proposed splices, and those that were made, against demands, bars, listing and make-up."""

from splicewright.inspection.check import check_splice

__all__ = ["check_splice"]
