"""No file, however hostile, ends a check: it is told, and the files beside it are checked all the same."""

from __future__ import annotations

import datetime as dt
import json
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from splicewright.reports.findings_json import findings_json
from splicewright.reports.findings_text import findings_text
from splicewright.reports.junit import findings_junit
from splicewright.reports.sarif import findings_sarif
from splicewright.reports.sheets import answers_csv, answers_xlsx
from splicewright.sheets.columns import columns
from tests.audit.folder import BARRED, FINE, RULE, audited, write
from tests.sheets.tables import workbook

WORDS = [column.name for column in columns()] + ["", "answer", "# x", "sizee", "Size", "waive", "id"]
CELLS = st.one_of(
    st.text(max_size=6),
    st.sampled_from(
        ["12 AWG", "2.5 mm2", "1,5", "24 in", "yes", "=1+1", "THHN/TW", "1/0", "\x00", "\ufeff", "١٢ AWG", "9" * 400]
    ),
)
TABLES = st.tuples(
    st.lists(st.sampled_from(WORDS), min_size=1, max_size=8),
    st.lists(st.lists(CELLS, max_size=9), max_size=5),
)
TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), max_size=6)
VALUES = st.one_of(
    st.none(), st.booleans(), st.integers(-(10**6), 10**6), st.floats(-1e9, 1e9), st.dates(dt.date(1950, 1, 1)),
    st.times(), TEXTS.filter(lambda text: not text.startswith("=")),
)  # fmt: skip
KEYS = st.sampled_from(
    ["id", "joint", "conductors", "size", "count", "place", "exposure", "proposal", "method", "waive", "rule", "reason",
     "until", "wires", "box", "joints", "boxes", "defaults", "rulesets", "code", "quantity", "x"]
)  # fmt: skip
LEAVES = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=5), st.sampled_from(["12 AWG", "dry", RULE])
)
PLAIN = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=4), max_leaves=25
)


def checked(name: str, text: str | bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        write(Path(folder), {name: text, "z.yaml": BARRED})
        found = audited(Path(folder), ".", name, keep_asked=True)
        assert ("z.yaml", RULE) in {(finding.file, finding.rule) for finding in found.findings}
        for report in (findings_json, findings_text, findings_sarif, answers_csv, answers_xlsx):
            assert report(found)
        assert findings_junit(found, "note")


@pytest.mark.slow
@given(st.sampled_from(["a.yaml", "a.json", "a.ndjson", "a.csv", "a.xlsx"]), st.binary(max_size=60))
@example("a.yaml", b"joint: \xff")
@example("a.json", b'{"joint": "\\ud800", "id": "\\udfff"}')
@example("a.ndjson", b'{"joint": {}, "id": "\\ud800"}\n')
@example("a.csv", b'size,count\n"')
@settings(suppress_health_check=[HealthCheck.too_slow], max_examples=100)
def test_any_bytes(name: str, data: bytes) -> None:
    checked(name, data)


@pytest.mark.slow
@given(st.integers(0, 200), st.binary(max_size=3))
@settings(max_examples=100)
def test_a_valid_file_with_some_bytes_replaced(at: int, some: bytes) -> None:
    text = (FINE + "id: a\nplace: {exposure: damp}\nproposal: {method: push-in}\n").encode()
    checked("a.yaml", text[:at] + some + text[at + len(some) :])


@pytest.mark.slow
@given(PLAIN, st.sampled_from(["a.json", "a.ndjson", "a.yaml"]))
@settings(max_examples=200)
def test_any_plain_data(value: Any, name: str) -> None:
    checked(name, json.dumps(value))


@pytest.mark.slow
@given(TABLES)
@settings(max_examples=100)
def test_any_table(table: tuple[list[str], list[list[str]]]) -> None:
    head, rows = table
    quoted = [",".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in (head, *rows)]
    checked("a.csv", "\n".join(quoted).encode("utf-8", "surrogatepass"))


@pytest.mark.slow
@given(st.lists(st.sampled_from(WORDS), min_size=2, max_size=8), st.lists(st.lists(VALUES, max_size=9), max_size=5))
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_any_workbook(head: list[str], rows: list[list[Any]]) -> None:
    checked("a.xlsx", workbook(head, *rows))
