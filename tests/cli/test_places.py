"""No command writes onto what it reads, however either is spelled, nor under the ending of another kind of file."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from splicewright.cli.check_paths import REPORTS
from splicewright.cli.main import main
from splicewright.cli.places import ENDINGS
from tests.audit.folder import FINE
from tests.scratch import ROOT

TABLE = "id,size,count\na,12 AWG,2\n"
BOX = "{wires: [{size: 12 AWG, count: 6}]}\n"
LINE = '{"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}\n'
BASELINE = '{"version": 1, "findings": []}'
CATALOGUE = (ROOT / "rulesets/catalogues/shop.yaml").read_text()
AMENDMENT = (ROOT / "rulesets/amendments/house-rules.yaml").read_text().replace("house-rules", "our-house")

#: What is read, its content, and the words of a command that writes to {0}; a file of a folder stands behind a bar.
WRITTEN = [
    *[
        ("in.csv", TABLE, ["check", given, "--report", f"{kind}={{0}}"], f"out{ENDINGS[kind][0]}")
        for kind in REPORTS
        for given in ("{read}", ".")
    ],
    ("in.csv", TABLE, ["check", "{read}", "--pass-over", "--report", "csv={0}"], "out.csv"),
    ("in.csv", TABLE, ["check", "{read}", "--write-baseline", "{0}"], "out.json"),
    ("in.csv", TABLE, ["check", ".", "--write-baseline", "{0}"], "out.json"),
    ("in.yaml", FINE, ["choose", "{read}", "--report", "html={0}"], "out.html"),
    ("in.yaml", BOX, ["box", "{read}", "--report", "html={0}"], "out.html"),
    ("in.csv", TABLE, ["job", "{read}", "--report", "html={0}"], "out.html"),
    ("in.csv", TABLE, ["job", "{read}", "--report", "xlsx={0}"], "out.xlsx"),
    ("in.csv", TABLE, ["job", "{read}", "--report", "csv={0}"], "out|joints.csv"),
    ("in.yaml", "stock: {}\n", ["job", "t.csv", "--with", "{read}", "--report", "html={0}"], "out.html"),
    ("in.yaml", "stock: {}\n", ["job", "t.csv", "--with", "{read}", "--report", "xlsx={0}"], "out.xlsx"),
    ("in.ndjson", LINE, ["batch", "{read}", "--output", "{0}"], "out.ndjson"),
    ("in.ndjson", LINE, ["batch", "{read}", "--resume", "--output", "{0}"], "out.ndjson"),
    ("in.yaml", CATALOGUE, ["catalogue", "export", "{read}", "--force", "--output", "{0}"], "out.xlsx"),
    ("in.yaml", CATALOGUE, ["catalogue", "export", "{read}", "--force", "--output", "{0}"], "out|connectors.csv"),
    ("connectors.csv", "", ["catalogue", "import", "new", "--force", "--output", "{0}"], "out.yaml"),
    ("our-house.yaml", AMENDMENT, ["rules", "pages", "{0}", "--amend", "{read}"], "out|index.html"),
    ("splicewright.toml", "", ["check", "t.csv", "--report", "json={0}"], "out.json"),
    ("splicewright.toml", "", ["choose", "t.yaml", "--report", "html={0}"], "out.html"),
    ("splicewright.toml", "", ["job", "t.csv", "--report", "xlsx={0}"], "out.xlsx"),
    ("b.json", BASELINE, ["check", "t.csv", "--baseline", "{read}", "--report", "json={0}"], "out.json"),
]  # fmt: skip
LINKS: dict[str, Callable[[Path, Path], None]] = {
    "link": lambda link, to: link.symlink_to(to),
    "link by a relative path": lambda link, to: link.symlink_to(os.path.relpath(to, link.parent)),
    "hard link": lambda link, to: link.hardlink_to(to),
}
SPELLED: dict[str, Callable[[str], str]] = {
    "as it is": lambda place: place,
    "from here": lambda place: f"./{place}",
    "round about": lambda place: f"aside/.././{place}",
    "whole": lambda place: str(Path(place).absolute()),
    "through a folder": lambda place: f"again/{place}",
}


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "aside").mkdir()
    (tmp_path / "again").symlink_to(tmp_path, target_is_directory=True)
    return tmp_path


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def prepared(name: str, text: str) -> Path:
    """Write what is read, and what stands beside it."""
    Path("aside/t.csv").write_text(TABLE)
    Path("t.csv").write_text(TABLE)
    Path("t.yaml").write_text(FINE)
    if name == "connectors.csv":
        assert run("catalogue", "new", "new").exit_code == 0
        return Path("new", name)
    Path(name).write_text(text)
    return Path(name)


@pytest.mark.parametrize("link", LINKS)
@pytest.mark.parametrize(("name", "text", "words", "place"), WRITTEN)
def test_what_is_read_is_never_written_over(
    folder: Path, name: str, text: str, words: list[str], place: str, link: str
) -> None:
    read = prepared(name, text)
    before = read.read_bytes()
    whole = Path(*place.split("|"))
    whole.parent.mkdir(exist_ok=True)
    LINKS[link](folder / whole, read.absolute())
    for spelled in SPELLED.values():
        target = spelled(place.partition("|")[0])
        result = run(*(word.format(target, read=read) for word in words))
        assert (result.exit_code, "is the file that is read; name another place" in result.stderr) == (2, True), target
    assert read.read_bytes() == before
    assert (folder / whole).read_bytes() == before
    assert not list(folder.rglob("*.new"))


@pytest.mark.parametrize("spelled", SPELLED)
@pytest.mark.parametrize("read", ["in.csv", "link.csv", "./in.csv", ".", "aside/..", "again"])
def test_table_is_not_replaced_by_its_own_report(spelled: str, read: str) -> None:
    Path("in.csv").write_text(TABLE)
    Path("link.csv").symlink_to("in.csv")
    result = run("check", read, "--report", f"csv={SPELLED[spelled]('in.csv')}")
    assert (result.exit_code, "is the file that is read" in result.stderr) == (2, True)
    assert Path("in.csv").read_text() == TABLE


def test_earlier_report_in_a_folder_is_written_anew_and_one_that_is_named_is_not() -> None:
    Path("in.csv").write_text(TABLE)
    kinds = {kind: f"report{ENDINGS[kind][0]}" for kind in REPORTS if kind != "json"}
    words = [word for kind, place in kinds.items() for word in ("--report", f"{kind}={place}")]
    assert run("check", ".", *words).exit_code == 0
    before = {place: Path(place).read_bytes() for place in kinds.values()}
    assert run("check", ".", *words).exit_code == 0
    assert {place: Path(place).read_bytes() for place in kinds.values()} == before
    assert run("check", "report.csv", "--report", "csv=report.csv").exit_code == 2
    assert Path("report.csv").read_bytes() == before["report.csv"]


def test_report_of_a_job_is_the_users_to_check() -> None:
    Path("in.csv").write_text(TABLE)
    assert run("job", "in.csv", "--report", "csv=.").exit_code == 0
    assert run("check", ".", "--report", "csv=joints.csv").exit_code == 2


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (FINE, ["choose", "--report", "html=out.html"]),
        (BOX, ["box", "--report", "html=out.html"]),
        ("joints: [{joint: {conductors: [{size: 12 AWG, count: 2}]}}]", ["job", "--report", "xlsx=out.xlsx"]),
        (LINE, ["batch", "--resume", "--output", "out.ndjson"]),
    ],
)
def test_file_that_is_standard_input_is_not_written_over(text: str, words: list[str]) -> None:
    Path("in").write_text(text)
    Path(words[-1].rpartition("=")[2]).symlink_to("in")
    with Path("in").open("rb") as stream:
        command = [sys.executable, "-m", "splicewright", *words]
        ended = subprocess.run(command, stdin=stream, capture_output=True, check=False, env=dict(os.environ))
    assert (ended.returncode, b"is the file that is read" in ended.stderr) == (2, True), ended.stderr
    assert Path("in").read_text() == text


def test_baseline_may_be_written_anew_from_itself() -> None:
    Path("in.csv").write_text(TABLE)
    assert run("check", ".", "--write-baseline", "b.json").exit_code == 0
    assert run("check", ".", "--baseline", "b.json", "--write-baseline", "b.json").exit_code == 0


#: What writes one file of a kind, with the words of its command.
KINDS = [
    *[(kind, ["check", "in.csv", "--report", f"{kind}={{0}}"]) for kind in REPORTS],
    ("baseline", ["check", "in.csv", "--write-baseline", "{0}"]),
    *[(kind, ["job", "in.csv", "--report", f"{kind}={{0}}"]) for kind in ("xlsx", "html")],
    ("html", ["choose", "in.yaml", "--report", "html={0}"]),
    ("html", ["box", "box.yaml", "--report", "html={0}"]),
    ("lines", ["batch", "in.ndjson", "--output", "{0}"]),
]
FOLDERS = [["job", "in.csv", "--report", "csv={0}"], ["rules", "pages", "{0}"]]


def _inputs() -> None:
    for name, text in {"in.csv": TABLE, "in.yaml": FINE, "box.yaml": BOX, "in.ndjson": LINE}.items():
        Path(name).write_text(text)


@pytest.mark.parametrize(("kind", "words"), KINDS)
def test_file_with_the_ending_of_another_kind_is_refused_with_the_right_word(kind: str, words: list[str]) -> None:
    _inputs()
    every = {ending for endings in ENDINGS.values() for ending in endings} | {".ods", ".xls", ".yaml", ".CSV"}
    for ending in sorted(every - set(ENDINGS[kind]) - {one.upper() for one in ENDINGS[kind]}):
        result = run(*(word.format(f"out{ending}") for word in words))
        assert (result.exit_code, f"write out{ENDINGS[kind][0]}" in result.stderr) == (2, True), ending
        assert not Path(f"out{ending}").exists()
    for ending in ENDINGS[kind]:
        assert run(*(word.format(f"out{ending}") for word in words)).exit_code < 2, ending
        assert Path(f"out{ending}").is_file()


def test_workbook_has_its_ending_or_goes_into_a_device() -> None:
    _inputs()
    for place in ("out", "out.xlsz"):
        result = run("job", "in.csv", "--report", f"xlsx={place}")
        assert (result.exit_code, f"write {place}.xlsx" in result.stderr) == (2, True)
    assert run("job", "in.csv", "--report", f"xlsx={os.devnull}").exit_code < 2


@pytest.mark.parametrize("words", FOLDERS)
def test_folder_is_not_called_like_a_file(words: list[str]) -> None:
    _inputs()
    for ending in sorted({ending for endings in ENDINGS.values() for ending in endings}):
        result = run(*(word.format(f"out{ending}") for word in words))
        assert (result.exit_code, "name one, such as out/" in result.stderr) == (2, True), ending
        assert not Path(f"out{ending}").exists()
