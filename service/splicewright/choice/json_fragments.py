"""Pieces of answers in their JSON text: each is written once, and kept with the finding that it tells of."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import orjson

from splicewright.choice.attribute_text import test_plain
from splicewright.engine import Finding

Plain = dict[str, Any]


def finding_plain(finding: Finding, *, brief: bool) -> Plain:
    """Write a finding: its rule, its sentence and (whole) what it rests on."""
    written: Plain = {"rule": finding.rule.id, "says": finding.says}
    return written if brief else {**written, "from": list(finding.rests_on)}


def caution_kind(finding: Finding) -> str:
    """Give `always` for a caution that holds of every joint, else `mind`."""
    return "mind" if finding.rule.when else "always"


def caution_plain(finding: Finding, *, brief: bool) -> Plain:
    """Write a caution: a finding with its kind."""
    written = finding_plain(finding, brief=brief)
    return {"rule": written.pop("rule"), "kind": caution_kind(finding), **written}


def caution_text(finding: Finding, *, brief: bool) -> bytes:
    """Write a caution as JSON text."""
    name = "brief-caution" if brief else "whole-caution"
    return _kept(finding, name, lambda: orjson.dumps(caution_plain(finding, brief=brief)))


def finding_text(finding: Finding, *, brief: bool) -> bytes:
    """Write a finding as JSON text."""
    name = "brief" if brief else "whole"
    found: bytes | None = finding.kept.get(name)
    if found is None:
        found = finding.kept[name] = orjson.dumps(finding_plain(finding, brief=brief))
    return found


def method_bar_text(finding: Finding, *, brief: bool) -> bytes:
    """Write a bar on methods (brief: without its sentence, which explains refusals)."""

    def write() -> bytes:
        written = {"rule": finding.rule.id} if brief else finding_plain(finding, brief=False)
        return orjson.dumps({**written, "method": list(finding.rule.effect.methods)})

    return _kept(finding, "brief-bar" if brief else "whole-bar", write)


def demand_text(finding: Finding) -> bytes:
    """Write what is asked of a connector: entries with commas between them, one for each attribute asked for."""

    def write() -> bytes:
        written = finding_plain(finding, brief=False)
        entries = ({**written, "attribute": test.attribute, "test": test_plain(test)} for test in finding.tests)
        return b",".join(map(orjson.dumps, entries))

    return _kept(finding, "demand", write)


def step_text(finding: Finding, value: Plain | None) -> bytes:
    """Write a work step with its figure, if it has any."""
    step: Plain = {"phase": finding.rule.effect.phase, "do": finding.do}
    if value is not None:
        step["value"] = value
    return orjson.dumps({**step, "rule": finding.rule.id})


def _kept(finding: Finding, name: str, write: Callable[[], bytes]) -> bytes:
    found: bytes | None = finding.kept.get(name)
    if found is None:
        found = finding.kept[name] = write()
    return found


def entries(texts: Iterable[bytes]) -> orjson.Fragment:
    """Put texts into a list, those that are empty left out."""
    return orjson.Fragment(b"[%b]" % b",".join(filter(None, texts)))
