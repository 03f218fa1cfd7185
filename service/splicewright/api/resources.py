"""Every resource of the API, each a module with a blueprint."""

from __future__ import annotations

from splicewright.api import (
    amendments,
    ask,
    batches,
    boxes,
    catalogues,
    checks,
    choices,
    docs,
    drawings,
    health,
    jobs,
    problem_pages,
    questions,
    reload,
    rule_pages,
    rules,
    trials,
    vocabulary,
)

BLUEPRINTS = (
    choices.blueprint,
    drawings.blueprint,
    checks.blueprint,
    questions.blueprint,
    boxes.blueprint,
    jobs.blueprint,
    batches.blueprint,
    rules.blueprint,
    rule_pages.blueprint,
    trials.blueprint,
    catalogues.blueprint,
    amendments.blueprint,
    vocabulary.blueprint,
    ask.blueprint,
    docs.blueprint,
    problem_pages.blueprint,
    health.blueprint,
    reload.blueprint,
)
