"""The recipes of `openapi/README.md`, run as they stand there.

`python -m tests.clients.recipes` writes what they print into the page.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from splicewright import shipped
from tests.api.serving import START, serving
from tests.clients.making import install_node_packages
from tests.zeros import as_zeros

README = shipped.folder("openapi") / "README.md"
FIRST, PYTHON, TYPESCRIPT, CURL = (
    "A first call, with curl",
    "An estimating suite, in Python",
    "A field app, in TypeScript",
    "A CI job, with curl",
)
#: heading -> each of its blocks that is a file, by its language
FILES = {
    FIRST: {"json": "question.json"},
    PYTHON: {"python": "estimate.py"},
    TYPESCRIPT: {"ts": "app.ts"},
    CURL: {"bash": "splices.sh", "json": "job.json", "ndjson": "questions.ndjson"},
}


@dataclass(frozen=True)
class Ended:
    """How a recipe ended."""

    status: int
    printed: str
    complained: str


def section(heading: str) -> str:
    """Give a section of the page."""
    found = re.search(rf"^## {re.escape(heading)}\n(.*?)(?=^## |\Z)", README.read_text(), re.DOTALL | re.MULTILINE)
    assert found, heading
    return found[1]


def block(heading: str, language: str) -> str:
    """Give the only block of a language in a section."""
    (found,) = re.findall(rf"^```{language}\n(.*?)^```$", section(heading), re.DOTALL | re.MULTILINE)
    return str(found)


def lay_out(heading: str, folder: Path) -> None:
    """Write a recipe's files."""
    for language, name in FILES[heading].items():
        (folder / name).write_text(block(heading, language))
    if heading == TYPESCRIPT:
        install_node_packages(folder)


def follow(heading: str, folder: Path, server: str, key: str) -> Ended:
    """Run a recipe's commands, and give what its last one printed, digests as zeros."""
    commands = "bash splices.sh" if heading == CURL else block(heading, "sh").rstrip()
    *before, last = commands.splitlines()
    script = "\n".join(["set -eu", *(f"{one} >&2" for one in before), last])
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    environment = {**os.environ, "PATH": path, "SERVER": server, "SERVER_KEY": key}
    ended = subprocess.run(
        ["bash", "-c", script],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    return Ended(ended.returncode, as_zeros(ended.stdout), ended.stderr)


@contextmanager
def asking_for_keys(folder: Path) -> Iterator[tuple[str, str]]:
    """Run a server that asks for keys, and give its address and a key."""
    made = subprocess.run(
        [sys.executable, "-c", START, "key", "recipes", "--scope", "ask"], capture_output=True, text=True, check=True
    )
    keys = folder / "keys.yaml"
    keys.write_text("keys:\n" + made.stdout)
    with serving("--keys", str(keys)) as server:
        yield f"http://127.0.0.1:{server.port}", made.stderr.strip()


def main() -> None:
    """Write what each recipe prints into the page."""
    with tempfile.TemporaryDirectory() as name, asking_for_keys(Path(name)) as (server, key):
        for number, heading in enumerate(FILES):
            folder = Path(name) / str(number)
            folder.mkdir()
            lay_out(heading, folder)
            ended = follow(heading, folder, server, key)
            if not ended.printed:
                raise SystemExit(ended.complained)
            before, after = README.read_text().split(f"## {heading}\n")
            start = after.index("```text\n") + len("```text\n")
            end = after.index("```", start)
            README.write_text(f"{before}## {heading}\n{after[:start]}{ended.printed}{after[end:]}")


if __name__ == "__main__":
    main()
