"""From given values to a Job: refuse what is none as a whole, fill in its defaults and note each of them."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from splicewright.catalogue import Connector
from splicewright.job.model import LEAST_COST, Job, Stock
from splicewright.job.schema import JobSchema, StockSchema, price_of
from splicewright.json_pointer import join
from splicewright.question.answer_vocabulary import INCLUDED, JOB_INCLUDE
from splicewright.question.given import filled_in
from splicewright.question.read import UNSAID, Unsaid, load_taking
from splicewright.refusals import Problem, Refused, Says, not_allowed, shown
from splicewright.strict_schema import defaults_of, made_once

_TOP = defaults_of(JobSchema)
_STOCK = {**defaults_of(StockSchema), "prices": {}}
_MOST_GUESSED = 100  # unknown connectors that the nearest known one is told of: each is held against all there are
_PRICES = "/stock/prices"
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


def with_stock_of(job: Job, connectors: Iterable[Connector]) -> Job:
    """Give a job whose stock is held against the catalogue; where it has no prices for least cost, it has those there.

    Raises `Refused` where the stock names connectors that are not in the catalogue, or has nothing to plan by.
    """
    stock = job.stock
    if stock is None:
        return job
    facts = {connector.id: connector.facts for connector in connectors}
    written: dict[str, Any] = {}
    if stock.aim == LEAST_COST and not stock.prices:
        written = {one: _price(each) for one, each in facts.items() if "price" in each}
        stock = replace(stock, prices={one: price_of(price) for one, price in written.items()})
    if wrong := list(_wrong(stock, facts)):
        raise Refused(wrong)
    if not written:
        return job
    told_by = {**job.told_by, _PRICES: "catalogue"}
    return replace(job, stock=stock, assumed={**job.assumed, _PRICES: written}, told_by=told_by)


def _price(facts: Mapping[str, Any]) -> dict[str, Any]:
    """Write a price of the catalogue as a job would."""
    return {"pack": facts["price"], "of": facts["pack"]} if "pack" in facts else {"each": facts["price"]}


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
        says = f"is required where aim is {LEAST_COST}, since the catalogue has no price"
        yield Problem(_PRICES, Says(says, "missing"))


def _stock(found: Mapping[str, Any], assumed: dict[str, Any]) -> Stock:
    filled = filled_in(found, _STOCK, "/stock", assumed, _NOTED)
    spare = round(filled["spare_percent"] * 10)
    return Stock(tuple(filled["carry"]), filled["aim"], filled["prices"], spare, int(filled["effort"]))
