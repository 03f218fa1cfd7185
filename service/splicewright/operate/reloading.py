"""Takes changed rules and catalogues into use: whole or not at all, and only after a child process has proved them.

The rule engine's library trusts what it is given: a rulebook that brings it down is to bring down a child, no service.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import orjson

from splicewright.answering.chooser import Chooser
from splicewright.document import ENDING
from splicewright.faults import Faults
from splicewright.operate.rule_check import check_rulesets
from splicewright.operate.rule_compiling import teller, told_by_child
from splicewright.project.reading import Project, project_of

MOST_FILES = 1_000
MOST_BYTES = 20_000_000
_PROJECT, _AMENDMENTS = "project.json", "amendments"
_PATIENCE_S = 300


class NotProven(ValueError):
    """Rules or catalogues that are not taken into use. Carries every reason, each with its file and line."""

    def __init__(self, reasons: Sequence[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("\n".join(self.reasons))


def prove_copy(rulesets: Path, copy: Path, project: Project | None = None, *, trusted: bool = False) -> tuple[str, ...]:
    """Copy a folder of rulesets and check the copy; gives its digests, none where the folder is trusted unchecked.

    The catalogues and amendments of a project are put among those of the copy, and are checked in any case. Raises
    `NotProven`, which names the folder, or the files of the project.
    """
    try:
        _copy(rulesets, copy)
    except OSError as error:
        raise NotProven([f"{rulesets}: can't be read or copied: {error}"]) from None
    if project is not None:
        _put_into(copy, project)
    own = () if project is None else project.own_amendments
    try:
        return () if trusted and not own else prove_in_child(copy)
    except NotProven as error:
        files = {f"{_AMENDMENTS}/{one.name}{ENDING}": one.file for one in own}
        raise NotProven(
            [_renamed(reason.replace(str(copy), str(rulesets)), files) for reason in error.reasons]
        ) from None


def copied_project(copy: Path) -> Project | None:
    """Give the project whose catalogues and amendments were put among those of a copy; None where there is none."""
    kept = _kept_in(copy)
    return project_of(kept["text"], Path(kept["file"])) if kept else None


def copied_amendments(copy: Path) -> frozenset[str]:
    """Give the names of the amendments of that project; none where there is none."""
    return frozenset(_kept_in(copy).get("amendments", ()))


def _kept_in(copy: Path) -> dict[str, Any]:
    try:
        kept: dict[str, Any] = orjson.loads((copy / _PROJECT).read_bytes())
    except FileNotFoundError:
        return {}
    return kept


def _renamed(reason: str, files: Mapping[str, str]) -> str:
    """Let a reason begin with the file that was copied, where it begins with the copy."""
    file, _, says = reason.partition(":")
    return f"{files.get(file, file)}:{says}" if says else reason


def _put_into(copy: Path, project: Project) -> None:
    """Put a project's catalogues and amendments among those of a copy, and its text. Raises `NotProven`."""
    try:
        holding = Chooser(copy, project=project, cache_bytes=0).holding
        for name, _ in project.shelf:
            holding.index(name)
        holding.unsaid  # noqa: B018 - it tells what the project names and is not there
        for one in project.own_amendments:
            holding.files.amendments.amendment(one.name)
    except Faults as error:
        raise NotProven([str(fault) for fault in error.faults]) from None
    for name, content in project.shelf:
        (copy / "catalogues" / f"{name}{ENDING}").write_bytes(content)
    for one in project.own_amendments:
        (copy / _AMENDMENTS).mkdir(exist_ok=True)
        (copy / _AMENDMENTS / f"{one.name}{ENDING}").write_bytes(one.content)
    own = [one.name for one in project.own_amendments]
    kept = {"file": str(project.file), "text": project.text, "amendments": own}
    (copy / _PROJECT).write_bytes(orjson.dumps(kept))


def _copy(rulesets: Path, copy: Path) -> None:
    """Copy what is read of a folder: its YAML files and those of the folders in it. Raises `NotProven`, `OSError`."""
    size, paths = 0, sorted(_listed(rulesets))
    if len(paths) > MOST_FILES:
        raise NotProven([f"{rulesets}: holds more than {MOST_FILES:,} YAML files; name a folder of rules"])
    for path in paths:
        if not path.is_file():
            raise NotProven([f"{path}: is no file"])
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES - size + 1)
        size += len(content)
        if size > MOST_BYTES:
            raise NotProven([f"{path}: the files up to here have more than {MOST_BYTES:,} bytes; leave some out"])
        target = copy / path.relative_to(rulesets)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)


def _listed(rulesets: Path) -> Iterator[Path]:
    for path in rulesets.iterdir():
        if path.name.endswith(ENDING):
            yield path
        elif path.is_dir() and not path.name.startswith("."):
            yield from (inner for inner in path.iterdir() if inner.name.endswith(ENDING))


def prove_in_child(rulesets: Path) -> tuple[str, ...]:
    """Check a folder of rulesets in a process of its own; gives its digests. Raises `NotProven`.

    Where the child is brought down, the reason names the rule that was being compiled.
    """
    command = [sys.executable, "-m", "splicewright.operate.reloading", str(rulesets)]
    try:
        ended = subprocess.run(command, capture_output=True, timeout=_PATIENCE_S, check=False)  # noqa: S603 - ourselves
    except subprocess.TimeoutExpired:
        raise NotProven([f"{rulesets}: was not proved within {_PATIENCE_S} s"]) from None
    line, rule = told_by_child(ended.stdout)
    # The exit status alone does not tell: where the parent waits for other children too, it may be lost.
    if ended.returncode != 0 or line is None:
        where = f"compiling {rule}, or after" if rule else "reading the rules"
        raise NotProven([f"{rulesets}: the process that tried them was brought down while {where}"])
    told = orjson.loads(line)
    if told["faults"]:
        raise NotProven(told["faults"])
    return tuple(told["digests"])


def main() -> None:
    """Check the folder named on the command line and print what was found: what the child process does."""
    out = sys.stdout.buffer
    folder = Path(sys.argv[1])
    checked = check_rulesets(folder, teller(out), project=copied_project(folder))
    out.write(orjson.dumps({"faults": [str(fault) for fault in checked.faults], "digests": checked.digests}) + b"\n")


if __name__ == "__main__":
    main()
