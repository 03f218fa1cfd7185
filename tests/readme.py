"""The parts of the pages that are made from the real thing. `python -m tests.readme` writes them anew.

What stands in a `text` block after an `sh` block is what these commands print, beside a server where they ask one. Some
need curl and jq. A table behind a mark `<!-- made: NAME -->` is made from what it is about.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from marshmallow import Schema

from splicewright.api.settings import declared, defaults
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.question.leaf import schema_of
from splicewright.question.model import Conductor
from splicewright.question.schema import CircuitSchema, JointSchema, PlaceSchema, QuestionSchema, WorkSchema
from splicewright.strict_fields import Word
from tests.api.serving import serving
from tests.bench import page
from tests.zeros import as_zeros

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
MADE = (README, ROOT / "docker" / "README.md", ROOT / "openapi" / "examples" / "estimate" / "README.md")
TABLED = (*MADE, ROOT / "openapi" / "README.md")  # its outputs are those of `tests.clients.recipes`
LISTENS = "http://localhost:8000"  # where the pages say that the server does
_SHOWN = re.compile(
    r"^```sh\n(?P<command>(?:(?!```).*\n)+)```\n+```text\n(?P<printed>(?:(?!```).*\n)*)```$", re.MULTILINE
)


@dataclass(frozen=True)
class Shown:
    """Commands of a page, and what it shows of their output."""

    command: str
    printed: str

    @property
    def asks_a_server(self) -> bool:
        """Whether a server has to run."""
        return LISTENS in self.command

    @property
    def needs_tools(self) -> bool:
        """Whether it needs more than Python and a shell."""
        return "curl" in self.command


def shown(text: str) -> list[Shown]:
    """Give what a page shows of the output of commands."""
    return [Shown(found["command"], found["printed"]) for found in _SHOWN.finditer(text)]


def printed(command: str, address: str) -> str:
    """Run commands of a page, in the top folder with what is installed, and give what they print, digests as zeros."""
    here = f"{sys.executable} -m splicewright"
    command = re.sub(r"^python3 -m venv .*?install --quiet \. && ", "", command)  # what stands here is that already
    command = re.sub(r"(?<![\w/.-])(?:\.venv/bin/)?splicewright (?=[a-z])", f"{here} ", command)
    command = re.sub(r"(?<![\w/.-])python3 ", f"{sys.executable} ", command).replace(LISTENS, address)
    quiet = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "FORCE_COLOR")}
    run = ["bash", "-euo", "pipefail", "-c", command]
    ended = subprocess.run(run, cwd=ROOT, env=quiet, capture_output=True, text=True, timeout=300, check=False)
    if ended.returncode:
        raise RuntimeError(f"{command}\n{ended.stderr}")
    return str(as_zeros(ended.stdout))


def with_outputs(text: str, address: str) -> str:
    """Give a page with what its commands print now."""

    def put(found: re.Match[str]) -> str:
        start, end = (at - found.start() for at in found.span("printed"))
        return found[0][:start] + printed(found["command"], address) + found[0][end:]

    return _SHOWN.sub(put, text)


# --- tables --------------------------------------------------------------------------------


def with_tables(text: str) -> str:
    """Give a page with each table that follows a mark `<!-- made: NAME -->` as it is now."""
    return re.sub(
        r"(<!-- made: (\w+) -->\n)(?:\|[^\n]*\n)+",
        lambda found: found[1] + "".join(f"{line}\n" for line in _TABLES[found[2]]()),
        text,
    )


def _words() -> Iterator[str]:
    yield "| part | words |"
    yield "|---|---|"
    yield _row("`joint.conductors[]`", schema_of(Conductor)(), ())
    yield _row("`joint`", JointSchema(), ("conductors",), ("purpose",))
    yield _row("`place`", PlaceSchema(), ())
    yield _row("`circuit`", CircuitSchema(), ())
    yield _row("`work`", WorkSchema(), ())
    yield _row("beside these", QuestionSchema(), ("joint", "place", "circuit", "work"), ("code", "explain"))


def _row(part: str, schema: Schema, without: Sequence[str], in_full: Sequence[str] = ()) -> str:
    """Give the words of a part; of those `in_full`, what they may be."""
    told = []
    for name, field in schema.fields.items():
        if name in in_full:
            assert isinstance(field, Word)
            told.append(f"`{name}` ({', '.join(f'`{word}`' for word in field.words)})")
        elif name not in without:
            told.append(f"`{name}`")
    return f"| {part} | {', '.join(told)} |"


#: A few rows of the bench's own page.
_FIGURES = (
    "cold complete answers, brief, one core",
    "batch, brief, a job of 1,000,000 lines",
    "splicewright choose, process start to end",
)


def _figures() -> Iterator[str]:
    measured = page.PAGE.read_text(encoding="utf-8")
    yield f"| {page.version(measured)} on {page.machine(measured)} | median | min to max | unit |"
    yield "|---|---|---|---|"
    for what in _FIGURES:
        yield f"| {' | '.join(page.row(measured, what)[:4])} |"


def _settings() -> Iterator[str]:
    yield "| setting | default | what |"
    yield "|---|---|---|"
    standing = defaults()
    for name, field in declared().items():
        yield f"| `{name}` | {_value(standing[name])} | {field.metadata['description']} |"


def _value(value: Any) -> str:
    if value in (None, ()):
        return "none"
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"{value:,}" if isinstance(value, int) and value >= 10_000 else str(value)


def _include() -> Iterator[str]:
    yield "| `include` | what the answer has then |"
    yield "|---|---|"
    for name, means in INCLUDE.items():
        yield f"| `{name}` | {means} |"


_TABLES: dict[str, Callable[[], Iterator[str]]] = {
    "words": _words,
    "figures": _figures,
    "settings": _settings,
    "include": _include,
}


def main() -> None:
    """Write every page anew."""
    with serving() as server:
        for path in TABLED:
            text = with_tables(path.read_text(encoding="utf-8"))
            if path in MADE:
                text = with_outputs(text, f"http://localhost:{server.port}")
            path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
