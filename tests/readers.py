"""Reads damaged files for a while, each reader in a process of its own: `python -m tests.readers --seconds 60`.

What a reader may do with one is read or refuse it, within bounds of time and memory. What does otherwise is written to
`--keep`, by default `tests/sheets/found`, whose files a test reads from then on.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import random
import resource
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from unittest import mock

import pyarrow as pa
import pyarrow.parquet as pq

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.audit.entries import NotOurs, read_entries
from splicewright.audit.files import CheckedFile
from splicewright.refusals import Refused
from splicewright.sheets.joints import read_headings, read_joints
from splicewright.sheets.parquet import Questions
from splicewright.sheets.parquet_extent import RowGroup
from splicewright.sheets.table import NoTable
from splicewright.sheets.template import csv_template, xlsx_template
from splicewright.sheets.xlsx_file import read_xlsx
from splicewright.shelf.exporting import exported_workbook
from splicewright.shelf.importing import imported
from splicewright.shelf.listings import listings_of
from splicewright.shelf.tables import tables_in_workbook
from splicewright.yaml_text import read_yaml
from tests.sheets.tables import ods
from tests.shelf.tables import SOUND, ods_workbook

FOUND = Path(__file__).parent / "sheets" / "found"
SLOW = 3.0  # seconds of the processor for one file
_ROOM = 3_000_000_000  # bytes of a process
_SILENT = 60  # seconds without a sign of a process
_QUESTION = b'{"id":"a","joint":{"conductors":[{"size":"12 AWG","count":3,"tags":[1.5e3,null,true,"\\u00e9"]}]}}'
_ASKED = b'{"id": "a", "joint":{"conductors":[{"size":"12 AWG","count":3}]}, "place":{"exposure":"wet"}}'
_YAML = b"id: a\njoint:\n  conductors: [{size: 12 AWG, count: 3}, {size: '14 AWG'}]\nplace: {exposure: wet}\n--- [x]\n"
_TOKENS = (
    b"<c/>",
    b'<c r="XFD1048576"/>',
    b'<row r="200000">',
    b' r="A0"',
    b' t="s"',
    b"<v>0</v>",
    b"<f/>",
    b"<si/>",
    b"&#65;",
    b"<![CDATA[",
    b"<!--",
    b"-->",
    b'<?xml version="1.1" encoding="UTF-16"?>',
    b"99999999999",
    b"1e999",
    b"-1",
    b"{",
    b"}",
    b"[",
    b"]",
    b",",
    b'"',
    b"\n",
    b"\r",
    b"\0",
    b"\x0b",
    b"\xff",
    b"\xed\xa0\x80",
    b"\\u0000",
    b"\\ud800",
    b'"id":"a",',
    b',"id":"a"',
    b"&a",
    b"*a",
    b"!!x ",
    b"? ",
    b"- ",
    b": ",
    b"<<: ",
    b"\t",
    b"\xef\xbb\xbf",
    b"\x7f\xff\xff\xff",
    b"\x80" * 4,
)


def _entries(ending: str) -> Callable[[bytes], None]:
    def read(data: bytes) -> None:
        with tempfile.NamedTemporaryFile(suffix=ending) as file:
            file.write(data)
            file.flush()
            for named in (True, False):
                try:
                    for entry in read_entries(CheckedFile(Path(file.name), "a" + ending, named=named)):
                        entry.spot("/joint/conductors/0/size")
                except NotOurs:
                    pass

    return read


def _xlsx(data: bytes) -> None:
    for grid in read_xlsx(data):
        for joint in read_joints(grid, read_headings(grid)):
            joint.spot("/joint/conductors/0/size")


def _shelf(kind: str) -> Callable[[bytes], None]:
    def read(data: bytes) -> None:
        imported(listings_of(tables_in_workbook(data, kind)), "a", f"a.{kind}")

    return read


def _extent(path: Path) -> list[RowGroup]:
    """Stand in for what is asked of a process, which would be begun for each file."""
    metadata = pq.read_metadata(path)
    return [RowGroup(metadata.row_group(at).num_rows, 0, "", 0, "") for at in range(metadata.num_row_groups)]


def _parquet(data: bytes) -> None:
    with tempfile.NamedTemporaryFile(suffix=".parquet") as file:
        file.write(data)
        file.flush()
        questions = Questions(Path(file.name))
        while questions.readline(2_000_000):
            pass


class _Answers:
    """Asks one that remembers and one that does not: both have to say the same."""

    def __init__(self) -> None:
        self._choosers = (Chooser(), Chooser(cache_bytes=0))

    def __call__(self, data: bytes) -> None:
        said = []
        for chooser in self._choosers:
            try:
                said.append(chooser.answer_json(data))
            except Refused as error:
                said.append(str(error).encode())
        assert said[0] == said[1], "what is kept is answered otherwise"


def _parquet_seeds() -> list[bytes]:
    joint = {"conductors": [{"size": "12 AWG", "count": 3}, {"size": None, "count": None}]}
    tables = [
        pa.table({"question": [_QUESTION.decode(), None, _ASKED.decode()] * 3}),
        pa.table({"id": ["a", None, "b"], "joint": [joint, None, joint], "place": [{"exposure": "wet"}, None, None]}),
        pa.table({"joint": [joint] * 300, "id": ["x"] * 300}),
    ]
    found = []
    for table in tables:
        for codec in ("none", "zstd", "snappy"):
            out = io.BytesIO()
            pq.write_table(table, out, compression=codec, row_group_size=100)
            found.append(out.getvalue())
    return found


def _shelf_seeds() -> list[bytes]:
    shop = read_yaml((shipped.folder("rulesets") / "catalogues" / "shop.yaml").read_bytes()).value
    connectors = shop["connectors"]
    return [
        exported_workbook({**shop, "connectors": connectors[at : at + 3]}, "shop.yaml")
        for at in range(0, len(connectors), 10)
    ]


def _ods_seeds() -> list[bytes]:
    head = ["id", "quantity", "size", "count"]
    repeated = '<table:table-cell table:number-columns-repeated="3"/>'
    rows = '<table:table-row table:number-rows-repeated="9"><table:table-cell/></table:table-row>'
    return [ods(head, ["a", 2, "12 AWG", 3], ["b", repeated], beside=rows), ods(["A title"], head, ["a", 1, "10", 2])]


#: By the reader's name: the files to damage, and how it reads one.
READERS: dict[str, tuple[Callable[[], list[bytes]], Callable[[], Callable[[bytes], None]]]] = {
    "xlsx": (lambda: [xlsx_template()], lambda: _xlsx),
    "parquet": (_parquet_seeds, lambda: _parquet),
    "ods": (_ods_seeds, lambda: _entries(".ods")),
    "shelf": (_shelf_seeds, lambda: _shelf("xlsx")),
    "shelf-ods": (lambda: [ods_workbook(SOUND)], lambda: _shelf("ods")),
    "tsv": (
        lambda: [b"Joints of May\nid\tsize\tcount\na\t12 AWG\t3\n", b"sep=;\nid;size\na;12 AWG\n"],
        lambda: _entries(".tsv"),
    ),
    "csv": (lambda: [csv_template(), b'id,size\n"a\nb",12 AWG\n'], lambda: _entries(".csv")),
    "json": (lambda: [_QUESTION, b"[" + _ASKED + b"]"], lambda: _entries(".json")),
    "ndjson": (lambda: [_QUESTION + b"\n" + _ASKED], lambda: _entries(".ndjson")),
    "yaml": (lambda: [_YAML, _QUESTION], lambda: _entries(".yaml")),
    "answers": (lambda: [_ASKED, b'{"joint":{"conductors":[{"size":"12 AWG","count":2}]},"id":"b"}'], _Answers),
}


def read_found(name: str, data: bytes) -> None:
    """Read what was found for a reader. Raises what it should not."""
    _read(READERS[name][1](), data)


def _read(read: Callable[[bytes], None], data: bytes) -> None:
    began = time.process_time()
    with contextlib.suppress(NoTable, Refused, OSError):
        read(data)
    took = time.process_time() - began
    assert took < SLOW, f"took {took:.1f} s"


def damaged(seed: bytes, draw: random.Random) -> bytes:
    """Change a few places of a file: of an archive, mostly of the parts in it."""
    if seed.startswith(b"PK") and draw.random() < 0.9:
        out = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(seed)) as given, zipfile.ZipFile(out, "w") as packed:
            names = [name for name in given.namelist() if name.startswith(("xl/", "content.xml", "mimetype"))]
            target = draw.choice(names)
            for name in names:
                text = given.read(name)
                packed.writestr(name, _changed(text, draw) if name == target else text)
            if "_rels/.rels" in given.namelist():
                packed.writestr("_rels/.rels", given.read("_rels/.rels"))
        return out.getvalue()
    return _changed(seed, draw)


def _changed(data: bytes, draw: random.Random) -> bytes:
    found = bytearray(data)
    for _ in range(draw.choice((1, 1, 2, 4, 8))):
        at = draw.randrange(len(found) + 1)
        end = at + draw.choice((1, 1, 4, 20, 200))
        what = draw.randrange(6)
        if what == 0:
            found[at:end] = b""
        elif what == 1:
            found[at : at + 1] = bytes([draw.randrange(256)])
        elif what == 2:
            found[at:at] = found[at:end] * draw.choice((1, 2, 50))
        elif what == 3:
            found[at : at + draw.choice((0, 4))] = draw.choice(_TOKENS)
        elif what == 4:
            found[at:at] = draw.choice(_TOKENS) * draw.choice((1, 3, 100, 5_000))
        else:
            other = draw.randrange(len(found) + 1)
            found[at:end] = found[other : other + draw.randrange(100)]
    return bytes(found)


def _work(name: str, seed: int, seconds: float) -> None:
    """Read until the time is up: what the process does. Tells each file's number before it is read."""
    resource.setrlimit(resource.RLIMIT_AS, (_ROOM, _ROOM))
    seeds, read = READERS[name][0](), READERS[name][1]()
    mock.patch("splicewright.sheets.parquet.row_groups", _extent).start()
    until, number = time.monotonic() + seconds, seed
    while time.monotonic() < until:
        print(number, flush=True)
        data = _of(number, seeds)
        try:
            _read(read, data)
        except BaseException as error:  # noqa: BLE001 - a panic of a native reader is no Exception
            print(f"{number} {type(error).__name__}: {str(error)[:200]!r}", flush=True)
        number += 1
    print("done", flush=True)


def _of(number: int, seeds: list[bytes]) -> bytes:
    draw = random.Random(number)
    return damaged(draw.choice(seeds), draw)


def run(name: str, seed: int, seconds: float, keep: Path) -> int:
    """Let a process read for so many seconds; gives how many files did what they should not."""
    until, faults, reads, known = time.monotonic() + seconds, 0, 0, set[str]()
    while (left := until - time.monotonic()) > 1:
        command = [sys.executable, "-m", "tests.readers", "--work", name, "--seed", str(seed), "--seconds", str(left)]
        try:
            lines = subprocess.run(
                command, capture_output=True, text=True, timeout=left + _SILENT, check=False
            ).stdout.splitlines()
            ended = "brought the process down"
        except subprocess.TimeoutExpired as error:
            lines, ended = (error.stdout or b"").decode().splitlines(), "did not end"
        told = [line.split(" ", 1) for line in lines if " " in line]
        if lines and lines[-1] != "done":
            told.append([lines[-1], ended])
        reads += sum(line.isdecimal() for line in lines)
        for number, says in told:
            faults += 1
            if says[:60] not in known:
                known.add(says[:60])
                print(f"{name} {number}: {says}")
                keep.mkdir(exist_ok=True)
                (keep / f"{number}.{name}").write_bytes(_of(int(number), READERS[name][0]()))
        if not lines:
            print(f"{name}: the process did not begin")
            return faults + 1
        if lines[-1] == "done":
            break
        seed = int(lines[-1].split(" ")[0]) + 1
    print(f"{name}: {reads:,} files, {faults} faults")
    return faults


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--reader", choices=READERS, help="only this one")
    parser.add_argument("--seconds", type=float, default=600, help="for each reader")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, default=FOUND)
    parser.add_argument("--work", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.work:
        _work(asked.work, asked.seed, asked.seconds)
        return
    readers = [asked.reader] if asked.reader else list(READERS)
    sys.exit(min(1, sum(run(name, asked.seed, asked.seconds, asked.keep) for name in readers)))


if __name__ == "__main__":
    main()
