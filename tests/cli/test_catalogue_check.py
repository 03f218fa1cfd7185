"""`splicewright catalogue check`: faults with their lines, and how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from splicewright.cli.main import main
from tests.shelf.tables import SOUND, column, ods_workbook

GOOD = """\
catalogue: own
note: Mine.
unstated: "no"
connectors:
  - id: cap
    method: twist-on
    takes:
      - materials: [copper]
        constructions: [solid]
        combinations: [{14 AWG: 2 to 3}, {12 AWG: 2}]
    places: [dry]
    volts: 600 V
    degrees: 90 degC
    insulated: true
    grounding: also
    tool: none
    strip: 12 mm
"""


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["catalogue", "check", *arguments])


def written(folder: Path, text: str, name: str = "own.yaml") -> str:
    path = folder / name
    path.write_text(text)
    return str(path)


def test_a_good_file_has_nothing_told(tmp_path: Path) -> None:
    result = run(written(tmp_path, GOOD))
    assert (result.exit_code, result.stdout) == (0, "1 file: 0 errors, 0 warnings\n")


@pytest.mark.parametrize(
    ("old", "new", "strict", "code", "told"),
    [
        ("600 V", "660 V", False, 0, "12: warning: cap: volts: is 660 V"),
        ("600 V", "660 V", True, 1, "12: warning: cap: volts: is 660 V"),
        ("600 V", "600", False, 1, "12: error: cap: volts: '600' is not a number of volts"),
        ("tool: none", "tool: none\n    reusable: true\n    irreversible: true", False, 1, "17: error: cap: reusable"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(
    tmp_path: Path, old: str, new: str, strict: bool, code: int, told: str
) -> None:
    name = written(tmp_path, GOOD.replace(old, new))
    result = run(name, *["--strict"] * strict)
    assert result.exit_code == code
    assert f"{name}:{told}" in result.stdout
    assert "look for" in result.stdout


def test_json_has_each_fault_by_its_parts(tmp_path: Path) -> None:
    name = written(tmp_path, GOOD.replace("600 V", "660 V"))
    told = json.loads(run(name, "--format", "json").stdout)
    assert told["files"] == [name]
    (fault,) = told["faults"]
    assert fault["line"] == 12
    assert {"file", "connector", "part", "level", "says", "look_for"} <= fault.keys()


def test_a_file_that_is_no_yaml_ends_with_2(tmp_path: Path) -> None:
    assert run(written(tmp_path, "- {")).exit_code == 2


def test_nothing_in_a_folder_is_passed_over(tmp_path: Path) -> None:
    written(tmp_path, GOOD)
    written(tmp_path, GOOD.replace("600 V", "600"), "old.yml")
    (tmp_path / "shelf.ods").write_bytes(ods_workbook(column("fillings", "size", "14")))
    for name, rows in SOUND.items():
        (tmp_path / f"{name}.csv").write_text("\n".join(",".join(map(str, row)) for row in rows).replace("solid", "s"))
    told = json.loads(run(str(tmp_path), "--format", "json").stdout)
    assert told["files"] == [str(tmp_path), *(str(tmp_path / name) for name in ("shelf.ods", "old.yml", "own.yaml"))]
    assert [one["file"] for one in told["faults"]] == [*told["files"][:3], told["files"][2]]  # by its name, and within


def test_file_that_a_project_would_not_take_is_told_by_its_name(tmp_path: Path) -> None:
    name = written(tmp_path, GOOD, "old.yml")
    assert (
        f"{name}: warning: a project with this folder is refused for it; call it old.yaml" in run(str(tmp_path)).stdout
    )
    assert "1 file: 0 errors, 0 warnings" in run(name).stdout  # named, it is meant whatever it is called


def test_files_of_the_project_are_meant_where_none_is_named(tmp_path: Path) -> None:
    (tmp_path / "shelf").mkdir()
    written(tmp_path / "shelf", GOOD.replace("600 V", "660 V"))
    project = written(tmp_path, 'catalogue = "own"\ncatalogues = "shelf/"\n', "splicewright.toml")
    result = CliRunner().invoke(main, ["--project", project, "catalogue", "check"])
    assert result.exit_code == 0, result.stderr
    assert "1 file: 0 errors, 1 warning" in result.stdout


def test_no_file_and_no_project_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = run()
    assert result.exit_code == 2
    assert "name a catalogue file" in result.stderr
