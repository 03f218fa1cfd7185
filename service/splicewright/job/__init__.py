"""A whole job: its joints and boxes, the takeoff, and the stock to carry."""

from splicewright.job.answer import job_json, plan_job

__all__ = ["job_json", "plan_job"]
