"""`splicewright job` from tables to a takeoff and back: columns are kept, numbers are numbers, faults have cells."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
import orjson
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner, Result

from splicewright import plan_job
from splicewright.cli.main import main
from splicewright.sheets.joints import is_head
from tests.sheets.tables import ods, workbook

HEAD = ["Tag", "quantity", "size", "count", "box", "# Drawing", "# Ordered"]
ROWS: list[list[Any]] = [
    ["a", 3, "12 AWG", 2, "JB-1", "=E-1", 7],
    ["a", None, "14 AWG", 1, None, None, None],
    ["b", 2, "12 AWG", 3, "JB-1", "E-2", None],
    ["c", 1, "10 AWG", 2, None, None, None],
]
COLUMNS = ["--columns", "Tag=id"]
JOINTS: list[dict[str, Any]] = [
    {
        "id": "a",
        "quantity": 3,
        "joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "14 AWG", "count": 1}]},
    },
    {"id": "b", "quantity": 2, "joint": {"conductors": [{"size": "12 AWG", "count": 3}]}},
    {"id": "c", "quantity": 1, "joint": {"conductors": [{"size": "10 AWG", "count": 2}]}},
]
BOXES = [{"id": "JB-1", "wires": [{"size": "12 AWG", "count": 12}, {"size": "14 AWG", "count": 3}]}]


def text(sign: str) -> str:
    rows = [HEAD, *ROWS]
    return "".join(sign.join("" if cell is None else str(cell) for cell in row) + "\n" for row in rows)


def run(folder: Path, name: str, data: bytes | str, *options: str) -> Result:
    (folder / name).write_bytes(data if isinstance(data, bytes) else data.encode())
    return CliRunner().invoke(main, ["job", str(folder / name), *options])


def cells(path: Path, sheet: str) -> list[list[Any]]:
    return [list(row) for row in openpyxl.load_workbook(path)[sheet].iter_rows(values_only=True)]


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.csv", text(",")),
        ("a.csv", text(";")),
        ("a.tsv", text("\t")),
        ("a.xlsx", workbook(["Level 2"], HEAD, *ROWS[:1], *ROWS[1:])),
        ("a.ods", ods(HEAD, *[["" if cell is None else cell for cell in row] for row in ROWS])),
    ],
)
def test_tables_are_the_job_that_they_say(tmp_path: Path, name: str, data: bytes | str) -> None:
    if name == "a.xlsx":  # what begins like a formula is one there
        data = workbook(["Level 2"], HEAD, [*ROWS[0][:5], "E-1", 7], *ROWS[1:])
    result = run(tmp_path, name, data, *COLUMNS, "--format", "json")
    assert orjson.loads(result.stdout) == plan_job({"joints": JOINTS, "boxes": BOXES, "stock": {}})


def test_parquet_has_the_same_columns(tmp_path: Path) -> None:
    columns = {heading: [str(row[at] or "") or None for row in ROWS] for at, heading in enumerate(HEAD)}
    columns["count"] = [row[3] for row in ROWS]
    pq.write_table(pa.table(columns), tmp_path / "a.parquet")
    result = CliRunner().invoke(main, ["job", str(tmp_path / "a.parquet"), *COLUMNS, "--format", "json"])
    assert orjson.loads(result.stdout) == plan_job({"joints": JOINTS, "boxes": BOXES, "stock": {}})
    (tmp_path / "a.parquet").write_bytes(b"no")
    result = CliRunner().invoke(main, ["job", str(tmp_path / "a.parquet")])
    assert (result.exit_code, "is no Parquet file" in result.stderr) == (2, True)


def test_report_keeps_every_column_and_follows_the_plan(tmp_path: Path) -> None:
    out = tmp_path / "takeoff.xlsx"
    result = run(tmp_path, "a.csv", text(","), *COLUMNS, "--report", f"xlsx={out}", "--format", "json")
    answer = orjson.loads(result.stdout)
    head, *rows = cells(out, "Joints")
    assert head[: len(HEAD)] == HEAD
    assert rows[0][: len(HEAD)] == ["a", 3, "12 AWG", 2, "JB-1", "=E-1", "7"]
    assert openpyxl.load_workbook(out)["Joints"]["F2"].data_type == "s"
    made = dict(zip(head, rows[0], strict=True))
    (use,) = answer["joints"][0]["connectors"]
    assert (made["answer"], made["answer connector"], made["answer method"]) == (
        "options", use["connector"], use["method"]
    )  # fmt: skip
    assert " mm)" in made["answer strip"]
    assert rows[1][len(HEAD) :] == [None] * (len(head) - len(HEAD))
    takeoff = cells(out, "Takeoff")
    assert takeoff[1][:4] == [use["connector"], use["name"], use["method"], 6]
    assert takeoff[1][takeoff[0].index("minutes")] == "not known"
    assert cells(out, "Boxes")[1][0] == "JB-1"
    assert cells(out, "Stock plan")[1][0] == use["connector"]
    assert not any(
        is_head(sheet[0]) for name in ("Takeoff", "Wire", "Boxes", "Problems") if (sheet := cells(out, name))
    )


def test_report_is_read_again_to_the_same_answer(tmp_path: Path) -> None:
    out = tmp_path / "takeoff.xlsx"
    first = run(tmp_path, "a.csv", text(","), *COLUMNS, "--report", f"xlsx={out}", "--format", "json")
    again = CliRunner().invoke(main, ["job", str(out), *COLUMNS, "--format", "json"])
    assert again.stdout == first.stdout
    run(tmp_path, "a.csv", text(","), *COLUMNS, "--report", f"csv={tmp_path / 'out'}")
    again = CliRunner().invoke(main, ["job", str(tmp_path / "out" / "joints.csv"), *COLUMNS, "--format", "json"])
    assert again.stdout == first.stdout
    assert {one.name for one in (tmp_path / "out").iterdir()} == {
        "joints.csv", "takeoff.csv", "wire.csv", "stock-plan.csv", "boxes.csv", "problems.csv"
    }  # fmt: skip


def test_what_tables_can_not_say_stands_beside_them(tmp_path: Path) -> None:
    (tmp_path / "beside.yaml").write_text("stock: {spare_percent: 50}\ndefaults: {circuit: {amps: 8}}\n")
    beside = ["--with", str(tmp_path / "beside.yaml")]
    result = run(tmp_path, "a.csv", text(","), *COLUMNS, *beside, "--format", "json")
    assert orjson.loads(result.stdout)["takeoff"][0]["spare_count"] == 3
    (tmp_path / "beside.yaml").write_text("id: x\njoints: []\n")
    result = run(tmp_path, "a.csv", text(","), *COLUMNS, *beside)
    assert (result.exit_code, "beside.yaml:2: /joints: joints stand in the tables" in result.stderr) == (2, True)
    (tmp_path / "beside.yaml").write_text("stock: {aim: least}\n")
    result = run(tmp_path, "a.csv", text(","), *COLUMNS, *beside)
    assert (result.exit_code, "beside.yaml:1: /stock/aim: " in result.stderr) == (2, True)
    (tmp_path / "beside.yaml").write_text("[]\n")
    assert run(tmp_path, "a.csv", text(","), *COLUMNS, *beside).exit_code == 2


def test_figures_of_ones_own_shelf_are_summed_and_what_is_unknown_is_not_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "shelf").mkdir()
    (tmp_path / "splicewright.toml").write_text('catalogue = "ours"\ncatalogues = "shelf/"\n')
    takes = "takes: [{materials: [copper], constructions: [solid], combinations: [%s]}]"
    common = "method: twist-on, volts: 600 V, degrees: 105 degC, insulated: true, grounding: also"
    (tmp_path / "shelf" / "ours.yaml").write_text(
        "catalogue: ours\nnote: of this test\nconnectors:\n"
        f"  - {{id: small, {common}, {takes % '{10 AWG: 2}'}, on_hand: 4, pack: 50, price: 9.5, minutes: 1.5}}\n"
        f"  - {{id: large, {common}, {takes % '{12 AWG: 3}'}, on_hand: 40}}\n"
    )
    rows = "id,quantity,size,count\na,60,10 AWG,2\nb,3,12 AWG,3\n"
    result = run(tmp_path, "a.csv", rows, "--report", f"xlsx={tmp_path / 'out.xlsx'}")
    assert result.exit_code == 0, result.output
    assert "On hand  large: 40 on hand, 0 to buy; small: 4 on hand, 100 to buy" in result.stdout
    assert "Minutes  90 by the catalogue's figures, and not known of 1 of 2 connectors" in result.stdout
    answer = orjson.loads(run(tmp_path, "a.csv", rows, "--format", "json").stdout)
    assert [line["shelf"]["to_buy_count"] for line in answer["takeoff"]] == [0, 100]
    assert answer["shelf"] == {"cost": 19, "without_cost": ["large"], "minutes": 90, "without_minutes": ["large"]}
    head, large, small, whole = cells(tmp_path / "out.xlsx", "Takeoff")
    told = [dict(zip(head, row, strict=True)) for row in (large, small, whole)]
    wanted = ("pieces", "on the shelf", "to buy", "packs", "cost", "minutes")
    assert [[one[key] for key in wanted] for one in told] == [
        [3, 40, 0, None, "not known", "not known"],
        [60, 4, 100, 2, 19, 90],
        [63, None, None, None, "19, and 1 of 2 not known", "90, and 1 of 2 not known"],
    ]


def test_catalogue_may_stand_beside_the_tables(tmp_path: Path) -> None:
    (tmp_path / "beside.yaml").write_text(
        "catalogue:\n  catalogue: ours\n  note: of this test\n  connectors:\n"
        "    - {id: block, method: terminal-block, volts: 600 V, degrees: 105 degC, insulated: true, grounding: also,\n"
        "       takes: [{materials: [copper], constructions: [solid], combinations: [{12 AWG: 1, 14 AWG: 1}]}],\n"
        "       strip: [{from: 12 AWG, to: 12 AWG, strip: 13 mm}, {from: 14 AWG, to: 14 AWG, strip: 10 mm}],\n"
        "       on_hand: 3}\n"
    )
    rows = "id,size,count\na,12 AWG,1\na,14 AWG,1\n"
    beside = ["--with", str(tmp_path / "beside.yaml")]
    result = run(tmp_path, "a.csv", rows, *beside, "--report", f"xlsx={tmp_path / 'out.xlsx'}")
    head, first, _ = cells(tmp_path / "out.xlsx", "Joints")
    assert first[head.index("answer connector")] == "block", result.output
    told = str(first[head.index("answer strip")])
    assert ("12 AWG" in told, "14 AWG" in told, "13 mm" in told, "10 mm" in told) == (True, True, True, True)
    assert "block: 3 on hand, 0 to buy" in result.stdout


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ("id,size,count\na,12 AWG,x\n", 'a.csv:2: count: "x" is not a number'),
        ("id,sizee,count\na,12 AWG,2\n", "a.csv:1: sizee: unknown column \"sizee\"; did you mean 'size'?"),
        ("a,b\n1,2\n", "holds no table of joints"),
        ("a,b\n1,2\n", 'such as --columns "Wire=size,Qty=count", and pass over what is none of these by a=#'),
        ("Tag,Qty,Wire,Rev,By\na,2,12 AWG,r,m\n", 'such as --columns "Tag=id,Qty=quantity,Wire=size", and'),
        (b"id,size\n\x81\n", "a.csv:2: is not UTF-8"),
        ("id,size,code\na,12 AWG,nfpa70-2020\nb,12 AWG,nfpa70-2023\n", 'a.csv:3: code: "nfpa70-2023" differs from'),
    ],
)
def test_table_that_may_be_misread_is_refused_by_cell(tmp_path: Path, data: str | bytes, says: str) -> None:
    result = run(tmp_path, "a.csv", data, "--report", f"csv={tmp_path / 'out'}")
    assert (result.exit_code, says in result.stderr) == (2, True), result.stderr
    assert not (tmp_path / "out").exists()


def test_joint_that_is_not_valid_is_told_by_its_cell_and_spoils_no_other(tmp_path: Path) -> None:
    rows = "id,size,count,exposure,box\na,12 AWG,2,sunny,\nb,12 AWG,2,dry,\nc,12 AWG,240,dry,JB\n"
    result = run(tmp_path, "a.csv", rows, "--report", f"xlsx={tmp_path / 'out.xlsx'}")
    assert result.exit_code == 1
    assert "a.csv:2: exposure: " in result.stderr
    assert "a.csv:4: box: what the joints of this box have together, wires/0/count: 240" in result.stderr
    told = {row[0]: row for row in cells(tmp_path / "out.xlsx", "Problems")[1:]}
    assert (told["a"][2], told["a"][4]) == ("error", "line 2")


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--report", "pdf=a"], '--report: "pdf" is not known; use one of: xlsx, csv'),
        (["--report", "xlsx"], "write xlsx=takeoff.xlsx"),
        (["--report", "xlsx=/nowhere/a.xlsx"], "/nowhere/a.xlsx: No such file"),
    ],
)
def test_report_that_can_not_be_written_is_told(tmp_path: Path, options: list[str], says: str) -> None:
    result = run(tmp_path, "a.csv", text(","), *COLUMNS, *options)
    assert result.exit_code == 2
    assert says in result.stderr


@pytest.mark.parametrize(("name", "report"), [("a.xlsx", "xlsx={0}/a.xlsx"), ("joints.csv", "csv={0}")])
def test_table_that_is_read_is_not_written_over(tmp_path: Path, name: str, report: str) -> None:
    data = workbook(HEAD[1:5], ROWS[2][1:5]) if name == "a.xlsx" else text(",")
    result = run(tmp_path, name, data, *COLUMNS, "--report", report.format(tmp_path))
    assert (result.exit_code, "is the file that is read" in result.stderr) == (2, True)
    assert [one.name for one in tmp_path.iterdir()] == [name]
    assert (tmp_path / name).read_bytes() == (data if isinstance(data, bytes) else data.encode())


def test_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    result = CliRunner().invoke(main, ["job", str(tmp_path / "no.csv")])
    assert (result.exit_code, "no.csv: No such file" in result.stderr) == (2, True)


def test_document_has_the_same_report(tmp_path: Path) -> None:
    joints = [{**JOINTS[0], "pigtails": [{"size": "12 AWG"}]}, *JOINTS[1:]]
    job = orjson.dumps({"joints": joints, "stock": {}})
    result = run(tmp_path, "a.json", job, "--report", f"xlsx={tmp_path / 'out.xlsx'}")
    assert result.exit_code == 0
    assert [row[:3] for row in cells(tmp_path / "out.xlsx", "Joints")[1:]] == [
        ["a", 3, "options"], ["b", 2, "options"], ["c", 1, "options"]
    ]  # fmt: skip
    (wire,) = cells(tmp_path / "out.xlsx", "Wire")[1:]
    assert wire == ["pigtail", "12 AWG", "copper", "ungrounded", None, 3, 0.5, 1.5]
    assert run(tmp_path, "a.json", job, *COLUMNS).exit_code == 2
