"""Files of text made to cost much are read into entries, or refused, within bounds of time and memory."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import child

SECONDS, MEMORY = 5, 300_000_000
_READ = """
from pathlib import Path
from splicewright.audit.entries import NotOurs, read_entries
from splicewright.audit.files import CheckedFile
def told(path):
    try:
        entries = list(read_entries(CheckedFile(path, path.name, named=sys.argv[2] == "named")))
    except NotOurs:
        return "passed over"
    return [judgement.says for entry in entries for judgement, _ in entry.faults][:1]
"""
_ZEROS = ",".join("0" * 200_000)
_LONG = "h" * 130_000
FILES: dict[str, tuple[str, str]] = {
    "many blank lines": ("a.yaml", "\n" * 1_000_000 + '"'),
    "many blank lines with signs": ("a.yaml", "\r{\n" * 300_000 + '"'),
    "long key over many parts": ("a.json", f'{{"joint":{{"{"k" * 500_000}":[{_ZEROS}]}}}}'),
    "long keys in each other": (
        "a.json", '{"joint":' + f'{{"{"k" * 2_000}":' * 200 + f"[{_ZEROS}]" + "}" * 201
    ),
    "many lists in each other": ("a.json", "[" * 2_000_000),
    "many lists in each other as YAML": ("a.yaml", "joint: " + "[" * 2_000_000),
    "many entries of a list in each other": ("a.yaml", "- " * 2_000_000),
    "many escapes before a key that stands twice": (
        "a.json", '{"joint":{"a":"' + "\\\\" * 1_000_000 + '","a":2}}'
    ),
    "many headings": ("a.csv", "id,size," + ",".join(f"h{at}" for at in range(100_000))),
    "many columns without headings": ("a.csv", "id,size" + "," * 20_000 + "\n" + "a,12 AWG\n" * 2_000),
    "long headings": ("a.csv", "id,size,count," + ",".join([_LONG] * 190) + "\na,12 AWG,2"),
    "long cells": ("a.csv", "id,size,count\n" + f"a,{_LONG},2\n" * 50),
    "long words": ("a.csv", "id,size,exposure\n" + f"a,12 AWG,{'a;' * 60_000}\n" * 20),
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("named", ["named", "found"])
@pytest.mark.parametrize("name", FILES)
def test_crafted_text_is_read_within_bounds(name: str, named: str, tmp_path: Path) -> None:
    file, text = FILES[name]
    (tmp_path / file).write_text(text, newline="")
    took = child.run(_READ, "told(Path(sys.argv[1]))", str(tmp_path / file), named)
    assert took.seconds < SECONDS
    assert took.memory < MEMORY
