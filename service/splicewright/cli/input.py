"""Questions from files or standard input, and what is wrong with them told as `file:line: …`."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NoReturn

import click

from splicewright.document import Document
from splicewright.json_text import read_json_document
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.refusals import NotText, Refused, clean, not_allowed
from splicewright.yaml_text import read_yaml

LARGEST = 10_000_000


def read_bytes(name: str) -> bytes:
    """Read a file, or standard input for `-`. Exits with 2 where that can't be done."""
    try:
        with click.open_file(name, "rb") as stream:
            data: bytes = stream.read(LARGEST + 1)
    except OSError as error:
        fail(f"{name}: {error.strerror}")
    if len(data) > LARGEST:
        fail(f"{name}: is larger than {LARGEST:,} bytes")
    return data


def read_document(name: str) -> Document:
    """Read one JSON or YAML document. What is not quite JSON is YAML, or told so with its line. Exits with 2."""
    data = read_bytes(name)
    if data.lstrip()[:1] == b"{":
        with contextlib.suppress(NotText):
            return read_json_document(data)
    try:
        found = read_yaml(data)
    except NotText as error:
        if says := named_by_a_table(name, data):
            fail(f"{name}: {says}")
        fail(f"{name}:{error.line or 1}: {error.problems[0].says}")
    if not isinstance(found.value, dict) and (says := named_by_a_table(name, data)):
        fail(f"{name}: {says}")
    return found


def named_by_a_table(name: str, data: bytes) -> str:
    """Word what is wrong with a file by whose ending tables are meant, or may be, and not a document; empty: nothing.

    It is asked where its `data` are no document, or one of nothing but text.
    """
    from splicewright.audit.files import TEXT, UNREAD_TABLES, unread
    from splicewright.audit.kinds import written_in
    from splicewright.sheets.table import KINDS

    ending = Path(name).suffix.lower()
    if ending in KINDS:
        return f"a {ending} file is a table: `splicewright check` and `splicewright job` read it"
    untold = ending in UNREAD_TABLES or (ending == TEXT and not written_in(data))
    return unread(Path(name)) if untold else ""


def without_notes(value: Any) -> Any:
    """Leave out what only the check of files reads: `waive` of an entry, and of a job's joints and boxes.

    So the files that are checked in a repository are those that the other commands take.
    """
    if not isinstance(value, Mapping):
        return value
    found = {key: one for key, one in value.items() if key != "waive"}
    for part in ("joints", "boxes"):
        if isinstance(found.get(part), list):
            found[part] = [
                {key: inner for key, inner in one.items() if key != "waive"} if isinstance(one, Mapping) else one
                for one in found[part]
            ]
    return found


def included(command: Any) -> Any:
    """Give a command `--include`: what an answer printed as JSON has beside the least."""
    told = "What the answer has as JSON, beside what --explain gives, or else the least: names with commas between."
    return click.option("--include", metavar="NAME,…", default="", callback=_names, help=told)(command)


def _names(_context: click.Context, _option: click.Parameter, value: str) -> tuple[str, ...]:
    names = tuple(filter(None, (name.strip() for name in value.split(","))))
    for name in names:
        if name not in INCLUDE:
            fail(f"--include: {not_allowed(name, INCLUDE)}")
    return names


def fail(*lines: str) -> NoReturn:
    """Tell what is wrong on standard error and exit with 2."""
    tell(*lines)
    sys.exit(2)


def tell(*lines: str) -> None:
    """Print lines on standard error; what they hold of a file's text is never acted on."""
    for line in lines:
        click.echo(clean(line), err=True)


def located(name: str, document: Document, pointer: str, says: str) -> str:
    """Word what is wrong at a place of a document, with file and line."""
    return f"{name}:{document.line(pointer)}: {pointer or 'the question'}: {says}"


def fail_refused(name: str, document: Document, error: Refused) -> NoReturn:
    """Tell every problem of a refused document, each with file and line, and exit with 2."""
    fail(*(located(name, document, problem.pointer, problem.says) for problem in error.problems))
