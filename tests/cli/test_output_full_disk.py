"""Where there is no room, or nothing may be written, each command tells the file and leaves what was there before."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from splicewright import shipped
from splicewright.cli.main import main
from tests.api.small import small_rulesets
from tests.full_disk import Disk, small_disk

pytestmark = pytest.mark.slow

EXAMPLES = shipped.folder("openapi") / "examples"
LUMINAIRE = EXAMPLES / "boathouse-luminaire.yaml"
#: By the file that is written: the words of the command that writes it.
WRITES: dict[str, Callable[[Path], list[str]]] = {
    "joints.csv": lambda path: ["template", str(path), "--force"],
    "joints.xlsx": lambda path: ["template", str(path), "--force"],
    "shelf.xlsx": lambda path: ["catalogue", "export", "shop", "--output", str(path), "--force"],
    "takeoff.xlsx": lambda path: ["job", str(EXAMPLES / "boathouse-job.yaml"), "--report", f"xlsx={path}"],
    "baseline.json": lambda path: ["check", str(LUMINAIRE), "--write-baseline", str(path)],
    **{
        f"report.{kind}": lambda path, kind=kind: ["check", str(EXAMPLES), "--report", f"{kind}={path}"]  # type: ignore[misc]
        for kind in ("json", "sarif", "junit", "xlsx")
    },
}
QUESTION = b'{"joint":{"conductors":[{"size":"14 AWG","count":2}]}}\n'


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Disk]:
    with small_disk(tmp_path) as found:
        yield found


def run(*words: str, disk: Disk | None = None, **more: Any) -> tuple[int, str]:
    """Run a command, in a process of its own where the disk or what is given asks for that: its status and errors."""
    if not (disk and disk.environment) and "stdout" not in more:
        result = CliRunner().invoke(main, words, **more)
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        return result.exit_code, result.stderr
    environment = {**os.environ, **(disk.environment if disk else {})}
    command = [sys.executable, "-m", "splicewright", *words]
    more.setdefault("stdout", subprocess.DEVNULL)
    ended = subprocess.run(command, env=environment, stderr=subprocess.PIPE, check=False, timeout=120, **more)
    return ended.returncode, ended.stderr.decode()


def refused(ended: tuple[int, str], *says: str) -> None:
    status, told = ended
    assert status == 2, told
    assert "Traceback" not in told
    assert all(one in told for one in says), told


@pytest.mark.parametrize("name", WRITES)
def test_full_or_locked_disk_is_told_and_the_file_that_was_there_stays(name: str, disk: Disk) -> None:
    path = disk.folder / name
    path.write_text("mine")
    disk.fill()
    refused(run(*WRITES[name](path), disk=disk), f"{path}: No space left on device")
    assert path.read_text() == "mine"
    assert disk.names() == [name]
    disk.free()
    assert run(*WRITES[name](path), disk=disk)[0] in (0, 1)
    assert path.read_bytes() != b"mine"
    disk.lock()
    before = path.read_bytes()
    refused(run(*WRITES[name](path), disk=disk), f"{path}: Read-only file system")
    assert path.read_bytes() == before


def test_file_that_was_not_there_is_not_begun(disk: Disk) -> None:
    disk.fill()
    refused(run("init", str(disk.folder), disk=disk), f"{disk.folder / 'splicewright.toml'}: No space left on device")
    assert disk.names() == []


@pytest.mark.parametrize("kind", ["ndjson", "ndjson.gz", "parquet"])
def test_batch_on_a_full_disk_leaves_whole_lines_or_no_file(kind: str, disk: Disk) -> None:
    out = disk.folder / f"out.{kind}"
    disk.fill()
    refused(run("batch", "-", "--output", str(out), disk=disk, input=QUESTION), f"{out}: No space left on device")
    assert not out.exists() or out.read_bytes() == b""
    assert set(disk.names()) <= {"out.ndjson", "out.ndjson.gz"}


def test_rules_that_are_to_be_kept_stay_as_they_were(disk: Disk) -> None:
    rulesets = small_rulesets(disk.folder / "rulesets")
    disk.fill()
    before = {path: path.read_bytes() for path in rulesets.rglob("*.yaml")}
    ended = run("rules", "check", "--folder", str(rulesets), "--keep", disk=disk)
    refused(ended, f"{rulesets / 'kept.yaml'}: No space left on device")
    assert {path: path.read_bytes() for path in rulesets.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("words", [["template"], ["catalogue", "new"], ["check", str(LUMINAIRE), "--report"]])
def test_full_temporary_folder_is_told_by_what_needs_one(words: list[str], disk: Disk, tmp_path: Path) -> None:
    disk.fill()
    out = tmp_path / "a.xlsx"
    words = [*words, f"xlsx={out}" if "--report" in words else str(out)]
    code = "import sys, tempfile; from splicewright.cli.main import main; tempfile.tempdir = sys.argv.pop(1); main()"
    command = [sys.executable, "-c", code, str(disk.folder), *words]
    around = {**os.environ, **disk.environment}
    ended = subprocess.run(command, env=around, capture_output=True, check=False, timeout=60)
    says = f"No space left on device, in the temporary folder {disk.folder}"
    refused((ended.returncode, ended.stderr.decode()), says)
    assert not list(tmp_path.glob("*.xlsx*"))


@pytest.mark.parametrize(
    "words",
    [
        ["choose", str(LUMINAIRE)],
        ["rules", "list"],
        ["key", "one", "--scope", "ask"],
        ["--version"],
    ],
    ids=lambda words: words[0],
)
def test_full_standard_output_is_told(words: list[str]) -> None:
    with Path("/dev/full").open("wb") as full:
        refused(run(*words, stdout=full), "standard output: No space left on device")


def test_closed_standard_output_is_told() -> None:
    command = f"{sys.executable} -m splicewright --version >&-"
    ended = subprocess.run(["/bin/sh", "-c", command], stderr=subprocess.PIPE, check=False, timeout=60)
    refused((ended.returncode, ended.stderr.decode()), "standard output: not writable")
