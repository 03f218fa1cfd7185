"""A whole job: its joints and boxes, the takeoff, and the stock to carry."""

from splicewright.job.answer import plan_job

__all__ = ["plan_job"]
