"""From given values to a Job: refuse what is none as a whole, fill in its defaults and note each of them."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterator, Mapping
from typing import Any

from splicewright.job.model import LEAST_COST, Job, Stock
from splicewright.job.schema import JobSchema, StockSchema
from splicewright.json_pointer import join
from splicewright.question.answer_vocabulary import INCLUDED, JOB_INCLUDE
from splicewright.question.given import filled_in
from splicewright.question.read import UNSAID, Unsaid, load_taking
from splicewright.refusals import Problem, Refused, Says, not_allowed, shown
from splicewright.strict_schema import defaults_of, made_once

_TOP = defaults_of(JobSchema)
_STOCK = {**defaults_of(StockSchema), "prices": {}}
_MOST_GUESSED = 100  # unknown connectors that the nearest known one is told of: each is held against all there are
_NOTED = ("code", "catalogue", "aim", "spare_percent", "effort")  # defaults that decide something


def read_job(given: Any, unsaid: Unsaid = UNSAID) -> Job:
    """Read a job as a whole. Raises `Refused` with every problem; joints and boxes are not read here."""
    if not isinstance(given, Mapping):
        raise Refused([Problem("", Says("a job is an object with its joints, its boxes, or both", "wrong-type"))])
    found, given, read_as = load_taking(made_once(JobSchema), given, unsaid.values["code"])
    if not found.get("joints") and not found.get("boxes"):
        raise Refused([Problem("", Says("a job has at least one joint or box", "missing"))])
    assumed: dict[str, Any] = {}
    told_by: Mapping[str, str] = {}
    if unsaid is not UNSAID:
        found, assumed, told_by = unsaid.filled(found)
    top = filled_in(found, _TOP, "", assumed, _NOTED)
    return Job(
        id=found.get("id"),
        code=top["code"],
        amendments=tuple(found.get("amendments", ())),
        catalogue=top["catalogue"],
        include=INCLUDED[top["explain"]].intersection(JOB_INCLUDE).union(found.get("include", ())),
        only=dict(found.get("only", {})),
        tags=tuple(found.get("tags", ())),
        # As given, not as read: what is laid under a joint is read with it.
        defaults={key: dict(default) for key, default in given.get("defaults", {}).items()},
        joints=tuple(found.get("joints", ())),
        boxes=tuple(found.get("boxes", ())),
        stock=_stock(found["stock"], assumed) if "stock" in found else None,
        split_overfilled=top["split_overfilled"],
        assumed=assumed,
        told_by=told_by,
        read_as=read_as,
    )


def check_stock(stock: Stock, connectors: Collection[str]) -> None:
    """Refuse a stock that names connectors not in the catalogue, or that has nothing to plan by."""
    if wrong := list(_wrong(stock, connectors)):
        raise Refused(wrong)


def _wrong(stock: Stock, connectors: Collection[str]) -> Iterator[Problem]:
    known, guessed = frozenset(connectors), itertools.count()
    carried: set[str] = set()

    def unknown(word: str) -> Says:
        if next(guessed) < _MOST_GUESSED:
            return not_allowed(word, connectors, "unknown-name")
        return Says(f"{shown(word)} is not known", "unknown-name")

    for at, one in enumerate(stock.carry):
        if one not in known:
            yield Problem(join("/stock/carry", at), unknown(one))
        elif one in carried:
            yield Problem(join("/stock/carry", at), Says(f"names {one} twice", "twice"))
        carried.add(one)
    for price in stock.prices:
        if price not in known:
            yield Problem(join("/stock/prices", price), unknown(price))
    if stock.aim == LEAST_COST and not stock.prices:
        yield Problem("/stock/prices", Says(f"is required where aim is {LEAST_COST}", "missing"))


def _stock(found: Mapping[str, Any], assumed: dict[str, Any]) -> Stock:
    filled = filled_in(found, _STOCK, "/stock", assumed, _NOTED)
    spare = round(filled["spare_percent"] * 10)
    return Stock(tuple(filled["carry"]), filled["aim"], filled["prices"], spare, int(filled["effort"]))
