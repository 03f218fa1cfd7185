"""A damaged project file is read or refused with its line, whatever was done to it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from splicewright.cli.init import beginning
from splicewright.faults import Fault, Faults
from splicewright.project.reading import project_of, read_project

SAID = "\n".join(line.removeprefix("# ") if " = " in line else line for line in beginning().split("\n"))
PIECES = [
    "[",
    "]",
    "{",
    "}",
    '"',
    "'",
    '"""',
    "=",
    ",",
    "\n",
    "#",
    "[[waive]]",
    "0x",
    "1e999",
    "nan",
    "2026-13-01",
    "\\u",
]


@st.composite
def damaged(draw: st.DrawFn) -> str:
    text = SAID
    for _ in range(draw(st.integers(1, 4))):
        at, length = draw(st.integers(0, len(text))), draw(st.integers(0, 40))
        text = text[:at] + draw(st.sampled_from(PIECES) | st.text(max_size=3)) + text[at + length :]
    return text


@settings(max_examples=150, deadline=None)
@given(damaged())
def test_a_damaged_file_is_read_or_refused_with_lines(text: str) -> None:
    path = Path("splicewright.toml")
    faults: tuple[Fault, ...] = ()
    try:
        project_of(text, path)
    except Faults as error:
        faults = error.faults
    lines = text.count("\n") + 1
    assert all(fault.file == str(path) and 1 <= fault.line <= lines for fault in faults)


@pytest.mark.parametrize("content", [b"\x00", b"a = '\xed\xa0\x80'", b"[" * 100_000, b"a" * 150_000, b"a.b." * 9_000])
def test_bytes_that_are_no_project_are_refused(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "splicewright.toml"
    file.write_bytes(content)
    with pytest.raises(Faults):
        read_project(file)
