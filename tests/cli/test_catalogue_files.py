"""A shelf entered in tables and written as tables, from the command line."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner, Result

from splicewright.catalogue import read_catalogue
from splicewright.cli.main import main
from tests.scratch import ROOT
from tests.shelf.tables import SOUND, column, ods_workbook, workbook


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, ["catalogue", *map(str, arguments)])


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    (tmp_path / "shelf.xlsx").write_bytes(workbook(SOUND))
    return tmp_path / "shelf.xlsx"


@pytest.mark.parametrize("name", ["shelf.xlsx", "shelf"])
def test_new_tables_are_written_and_their_examples_passed_over(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    result = run("new", path)
    assert result.exit_code == 0
    assert f"splicewright catalogue import {path}" in result.stdout
    assert "is there already" in run("new", path).stderr
    assert run("new", path, "--force").exit_code == 0
    refused = run("import", path, "--output", tmp_path / "mine.yaml")
    assert refused.exit_code == 2
    assert "has no connector" in refused.stderr
    assert not (tmp_path / "mine.yaml").exists()


def test_import_writes_a_catalogue_that_is_read(tmp_path: Path, shelf: Path) -> None:
    output = tmp_path / "mine.yaml"
    result = run("import", shelf, "--output", output)
    assert (result.exit_code, result.stdout.splitlines()[-1]) == (0, f"{output}: 1 connector of {shelf}")
    assert [one.id for one in read_catalogue(output).connectors] == ["mine"]
    again = run("import", shelf, "--output", output)
    assert again.exit_code == 2
    assert "--force" in again.stderr
    before = output.read_bytes()
    assert run("import", shelf, "--output", output, "--force").exit_code == 0
    assert output.read_bytes() == before


def test_every_fault_is_told_by_its_cell_and_nothing_is_written(tmp_path: Path) -> None:
    path, output = tmp_path / "shelf.xlsx", tmp_path / "mine.yaml"
    connectors, fillings = column("connectors", "method", "twist-onn"), column("fillings", "size", "14")
    path.write_bytes(workbook({"connectors": connectors["connectors"], "fillings": fillings["fillings"]}))
    result = run("import", path, "--output", output)
    assert result.exit_code == 2
    told = result.stderr.splitlines()
    assert told[0].startswith(f"{path}: connectors!B2: method: ")
    assert told[1].startswith(f"{path}: fillings!C2: size: ")
    assert told[2] == f"{path}: 2 faults; nothing was written"
    assert not output.exists()
    as_json = json.loads(run("import", path, "--output", output, "--format", "json").stdout)
    assert (as_json["written"], [one["cell"] for one in as_json["faults"]]) == (None, ["connectors!B2", "fillings!C2"])


def test_what_contradicts_itself_is_written_only_anyway(tmp_path: Path) -> None:
    path, output = tmp_path / "shelf.xlsx", tmp_path / "mine.yaml"
    head, row = SOUND["connectors"]
    connectors = [[*head, "reusable", "irreversible"], [*row, "yes", "yes"]]
    path.write_bytes(workbook({**SOUND, "connectors": connectors}))
    refused = run("import", path, "--output", output)
    assert refused.exit_code == 2
    assert "error: " in refused.stderr
    assert "1 fault; nothing was written; --anyway writes it all the same" in refused.stderr
    assert not output.exists()
    assert run("import", path, "--output", output, "--anyway").exit_code == 0
    checked = run("check", path)
    assert checked.exit_code == 1
    assert f"{path} connectors!" in checked.stdout
    assert "1 file: 1 error" in checked.stdout
    assert run("check", output).exit_code == 1


def test_tables_are_checked_with_their_faults(tmp_path: Path, shelf: Path) -> None:
    assert run("check", shelf).exit_code == 0
    shelf.write_bytes(workbook(column("fillings", "size", "14")))
    told = json.loads(run("check", shelf, "--format", "json").stdout)["faults"]
    assert [(one["cell"], one["level"]) for one in told] == [(f"{shelf} fillings!C2", "error")]
    assert run("check", tmp_path / "none.xlsx").exit_code == 2
    (tmp_path / "folder").mkdir()
    assert "no file connectors.csv" in run("check", tmp_path / "folder").stderr
    run("import", shelf, "--output", tmp_path / "folder" / "mine.yaml")
    shelf.write_bytes(workbook(SOUND))
    run("import", shelf, "--output", tmp_path / "folder" / "mine.yaml")
    assert "1 file: 0 errors" in run("check", tmp_path / "folder").stdout


def test_ods_workbook_is_imported_and_checked(tmp_path: Path) -> None:
    path, output = tmp_path / "shelf.ods", tmp_path / "mine.yaml"
    path.write_bytes(ods_workbook(column("fillings", "size", "14")))
    refused = run("import", path, "--output", output)
    assert refused.exit_code == 2
    assert f"{path}: fillings!C2: size: " in refused.stderr
    assert f"{path} fillings!C2: " in run("check", path).stdout
    path.write_bytes(ods_workbook(SOUND))
    assert run("import", path, "--output", output).exit_code == 0
    assert [one.id for one in read_catalogue(output).connectors] == ["mine"]


def test_import_as_json_tells_what_was_written(tmp_path: Path, shelf: Path) -> None:
    output = tmp_path / "mine.yaml"
    told = json.loads(run("import", shelf, "--output", output, "--format", "json").stdout)
    assert (told["written"], told["connectors"], told["faults"]) == (str(output), 1, [])


@pytest.mark.parametrize("name", ["out.xlsx", "out"])
def test_export_is_imported_as_the_same(tmp_path: Path, shelf: Path, name: str) -> None:
    first, second, tables = tmp_path / "mine.yaml", tmp_path / "again" / "mine.yaml", tmp_path / name
    second.parent.mkdir()
    run("import", shelf, "--output", first)
    result = run("export", first, "--output", tables)
    assert (result.exit_code, result.stdout) == (0, f"{tables}: 1 connector of {first}\n")
    assert run("import", tables, "--output", second).exit_code == 0
    assert read_catalogue(first).digest == read_catalogue(second).digest


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["new", "shelf.ods"], "tables are a workbook"),
        (["import", "old.xlsm", "--output", "mine.yaml"], "neither a workbook (.xlsx, .ods) nor a folder"),
        (["import", "nowhere.xlsx", "--output", "mine.yaml"], "No such file"),
        (["import", "connectors.csv", "--output", "mine.yaml"], "name the folder that they are in"),
        (["import", "nowhere.xlsx", "--output", "mine.json"], "a catalogue is a .yaml file"),
        (["import", "nowhere.xlsx", "--output", "Our Shelf.yaml"], "kebab-case"),
        (["export", "shp", "--output", "out.xlsx"], "did you mean 'shop'?"),
        (["export", "./nowhere.yaml", "--output", "out.xlsx"], "can't be read"),
        (["new", "/nowhere/at/all.xlsx"], "No such file"),
        (["new", "/proc/nowhere"], "/proc/nowhere"),
    ],
)
def test_what_can_not_be_done_exits_with_2(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], says: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("old.xlsm").write_bytes(workbook(SOUND))
    result = run(*arguments)
    assert result.exit_code == 2
    assert says in result.stderr


def test_file_that_is_no_workbook_is_told(tmp_path: Path) -> None:
    path = tmp_path / "shelf.xlsx"
    path.write_bytes(b"no workbook")
    result = run("import", path, "--output", tmp_path / "mine.yaml")
    assert result.exit_code == 2
    assert f"{path}: is no XLSX workbook" in result.stderr


def test_from_cartons_to_answers_as_the_page_tells_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    told = page.partition("## Enter your own connectors\n")[2].partition("\n## ")[0]
    commands = [line for block in told.split("```sh\n")[1:] for line in block.partition("```")[0].splitlines()]
    monkeypatch.chdir(tmp_path)
    assert [line.split()[:3] for line in commands[:2]] == [
        ["splicewright", "catalogue", "new"],
        ["splicewright", "catalogue", "import"],
    ]
    assert run(*commands[0].split()[2:]).exit_code == 0
    book = openpyxl.load_workbook("shelf.xlsx")
    book["connectors"].append(["nut-medium", "twist-on"])
    head = [cell.value for cell in book["connectors"][1]]
    entered = {"places": "dry, damp", "volts": "600 V", "degrees": "105 °C", "insulated": "yes", "strip": "1/2 in",
               "grounding": "also", "tool": "none"}  # fmt: skip
    for heading, value in entered.items():
        book["connectors"].cell(book["connectors"].max_row, head.index(heading) + 1).value = value
    book["fillings"].append(["nut-medium", 1, "14 AWG", "solid, stranded", "copper", None, 2, 4])
    book.save("shelf.xlsx")
    assert run(*commands[1].split()[2:]).exit_code == 0
    subprocess.run(["sh", "-c", commands[2]], check=True)
    asked = '{"joint": {"conductors": [{"size": "14 AWG", "count": 3}]}}'
    answer = json.loads(CliRunner().invoke(main, ["choose", "-", "--format", "json"], input=asked).stdout)
    assert [one["connector"] for one in answer["options"]] == ["nut-medium"]
    assert answer["catalogue"]["name"] == "our-shelf"
    assert "demo" not in answer["catalogue"]
