"""A baseline: the findings that were there when checking began. They stay in reports, marked; only others count."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from marshmallow import fields

from splicewright.audit.finding import AuditFinding, Judgement, fingerprint
from splicewright.document import Document
from splicewright.json_text import read_json_document
from splicewright.refusals import Problem, Refused
from splicewright.sheets.table import Spot
from splicewright.strict_fields import Items, Number, Text
from splicewright.strict_schema import Strict, load

_VERSION = 1
_MOST = 1_000_000


class KnownSchema(Strict):
    """One finding of a baseline; all but the fingerprint and count is for people."""

    fingerprint = Text(64, required=True)
    count = Number(1, _MOST, decimals=0, required=True)
    file = Text(4_000, required=True)
    rule = Text(200, required=True)
    joint = Text(100, allow_none=True)
    says = Text(10_000)


class BaselineSchema(Strict):
    """A baseline file."""

    version = Number(_VERSION, _VERSION, decimals=0, required=True)
    findings = Items(fields.Nested(KnownSchema), 0, _MOST, required=True)


@dataclass(frozen=True)
class Baseline:
    """What a baseline file holds."""

    name: str
    known: tuple[Mapping[str, Any], ...]
    document: Document

    def line(self, number: int) -> int:
        """Give the line on which a finding of it (from 0) stands."""
        return self.document.line(f"/findings/{number}")


def read_baseline(path: Path, name: str) -> Baseline:
    """Read a baseline file. Raises `Refused` (`NotText` where it is no JSON) and `OSError`."""
    document = read_json_document(path.read_bytes())
    if not isinstance(document.value, Mapping):
        raise Refused([Problem("", "is no baseline; write one with --write-baseline")])
    return Baseline(name, tuple(load(BaselineSchema(), document.value)["findings"]), document)


def baseline_text(findings: Iterable[AuditFinding]) -> str:
    """Write the findings that count as a baseline, one a line, sorted: it is kept and compared in a repository."""
    kept = [finding for finding in findings if finding.counts and finding.rule != "baseline/stale"]
    counts = Counter(one.fingerprint for one in kept)
    first = {one.fingerprint: one for one in reversed(kept)}
    lines = [
        json.dumps(
            {
                "file": one.file,
                "rule": one.rule,
                "joint": one.joint,
                "count": counts[mark],
                "fingerprint": mark,
                "says": one.says,
            },
            ensure_ascii=False,
        )
        for mark, one in sorted(
            first.items(), key=lambda pair: (pair[1].file, pair[1].rule, pair[1].joint or "", pair[0])
        )
    ]
    inside = ",\n".join(f"    {line}" for line in lines)
    return f'{{\n  "version": {_VERSION},\n  "findings": [\n{inside}\n  ]\n}}\n' if lines else _EMPTY


_EMPTY = f'{{\n  "version": {_VERSION},\n  "findings": []\n}}\n'


def apply_baseline(baseline: Baseline, findings: list[AuditFinding], checked: Collection[str]) -> list[AuditFinding]:
    """Mark the findings that a baseline knows, as often as it knows them; the rest are new.

    What it knows and was not found again is told after them, for the files that were checked and those that are no
    longer there.
    """
    left = Counter[str]()
    for one in baseline.known:
        left[one["fingerprint"]] += one["count"]
    found = []
    for finding in findings:
        if finding.counts and left[finding.fingerprint]:
            left[finding.fingerprint] -= 1
            found.append(replace(finding, state="known"))
        else:
            found.append(finding)
    return found + [
        _stale(baseline, number, one)
        for number, one in enumerate(baseline.known)
        if left[one["fingerprint"]] and (one["file"] in checked or not Path(one["file"]).exists())
    ]


def _stale(baseline: Baseline, number: int, one: Mapping[str, Any]) -> AuditFinding:
    joint = f", joint {one['joint']}" if one.get("joint") else ""
    says = (
        f"The baseline holds {one['rule']} for {one['file']}{joint}, which is no longer found; write the baseline anew."
    )
    judged = Judgement("warning", "baseline/stale", says, waivable=False)
    mark = fingerprint(baseline.name, one["fingerprint"], judged, None)
    return AuditFinding(
        "warning", judged.rule, says, baseline.name, Spot(baseline.line(number)), "", one.get("joint"), mark
    )
