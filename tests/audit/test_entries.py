"""Files of every kind give their entries with their places; what is nothing of ours is passed over, or told."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.audit.entries import AuditEntry, NotOurs, read_entries
from splicewright.audit.files import CheckedFile
from tests.audit.folder import write
from tests.sheets.tables import ods, workbook

QUESTION = "joint: {conductors: [{size: 12 AWG}]}\n"


def entries(folder: Path, name: str, text: str | bytes, *, named: bool = True) -> list[AuditEntry]:
    write(folder, {name: text})
    return list(read_entries(CheckedFile(folder / name, name, named)))


def faults(found: list[AuditEntry]) -> list[tuple[str, int, str]]:
    return [(judged.rule, spot.line, judged.says) for entry in found for judged, spot in entry.faults]


@pytest.mark.parametrize(
    ("name", "text", "lines"),
    [
        ("a.yaml", QUESTION, [1]),
        ("a.yml", "---\n" + QUESTION + "---\n" + QUESTION, [2, 4]),
        ("a.yaml", "- id: a\n  " + QUESTION + "- " + QUESTION, [1, 3]),
        ("a.json", '{"joint": {}}', [1]),
        ("a.json", '[{"joint": {}},\n {"joint": {}}]', [1, 2]),
        ("a.ndjson", '{"joint": {}}\n\n{"joint": {}}\n', [1, 3]),
        ("a.jsonl", '{"joint": {}}', [1]),
        ("a.csv", "id,size\na,12 AWG\na,14 AWG\nb,12 AWG\n", [2, 4]),
        ("a.xlsx", workbook(["id", "size"], ["a", "12 AWG"], ["b", "12 AWG"]), [2, 3]),
    ],
)
def test_each_entry_has_its_line(tmp_path: Path, name: str, text: str | bytes, lines: list[int]) -> None:
    found = entries(tmp_path, name, text)
    assert [entry.kind for entry in found] == ["question"] * len(lines)
    assert [entry.spot("").line for entry in found] == lines


def test_json_that_yaml_would_not_take_is_read(tmp_path: Path) -> None:
    (found,) = entries(tmp_path, "a.json", '{"id": "\\ud83d\\ude00", "joint": {}}')
    assert found.value["id"] == "😀"


def test_proposal_columns_make_a_check(tmp_path: Path) -> None:
    found = entries(tmp_path, "a.csv", "size,count,method\n12 AWG,2,push-in\n12 AWG,2,\n")
    assert [entry.kind for entry in found] == ["check", "question"]


@pytest.mark.parametrize(
    ("name", "text", "rule", "line", "says"),
    [
        ("a.yaml", "id: a\njoint: {conductors: [\n", "input/unreadable", 3, "not YAML"),
        ("a.yaml", "a: 1\n", "input/unrecognized", 1, "has none of the keys"),
        ("a.yaml", "[]", "input/unrecognized", 1, "holds no entry"),
        ("a.yaml", QUESTION + "---\njiont: 1\n", "input/unrecognized", 3, "did you mean 'joint'?"),
        ("a.json", '{"joint": 1,}', "input/unreadable", 1, "not JSON"),
        ("a.ndjson", '{"joint": {}}\n{"joint": \n', "input/unreadable", 2, "not JSON"),
        ("a.ndjson", '{"joint": {}}\n{"jiont": 1}\n', "input/unrecognized", 2, "did you mean 'joint'?"),
        ("a.ndjson", "\n", "input/unrecognized", 1, "holds no entry"),
        ("a.ndjson", '{"joint": "' + "x" * 1_000_000 + '"}\n', "input/unreadable", 1, "longer than"),
        ("a.csv", b"id,size\nfu\x81,12 AWG\n", "input/unreadable", 2, "not UTF-8"),
        ("a.ods", b"no", "input/unreadable", 1, "is no ODS workbook"),
        ("a.csv", "id,size\n".encode("utf-16")[:-1], "input/unreadable", 1, "no whole UTF-16"),
        ("a.csv", "a,b\n1,2\n", "input/unrecognized", 1, "is no table of joints"),
        ("a.csv", "Joint,Wire,Count\na,12 AWG,2\n", "input/unrecognized", 1, "\"Wire\"; did you mean 'size'?"),
        ("a.xlsx", b"PK", "input/unreadable", 1, "is no XLSX workbook"),
        ("a.xlsx", workbook(["a", "b"]), "input/unrecognized", 1, "no sheet of it is a table of joints"),
        ("a.txt", QUESTION, "input/unrecognized", 1, "no kind of file that is read here"),
        ("a.csv", "id,size,exposr\na,12 AWG,dry\n", "input/invalid", 1, "did you mean 'exposure'?"),
    ],
)
def test_fault_of_a_named_file_is_told_with_its_line(
    tmp_path: Path, name: str, text: str | bytes, rule: str, line: int, says: str
) -> None:
    ((found_rule, found_line, found_says),) = faults(entries(tmp_path, name, text))
    assert (found_rule, found_line) == (rule, line)
    assert says in found_says


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("ci.yaml", "on: push\njobs: {}\n"),
        ("chart.yaml", "{{ template }}\n"),
        ("a.json", '{"runs": []}'),
        ("broken.json", "{"),
        ("log.ndjson", '{"level": "info"}\n'),
        ("log.ndjson", "not json\n"),
        ("empty.ndjson", ""),
        ("files.csv", "name,size,modified\na,1,2\n"),
        ("files.csv", "name;size;modified\na;1;2\n"),
        ("latin.csv", "name,größe\n".encode("latin-1")),
        ("empty.csv", ""),
        ("prices.xlsx", workbook(["part", "price"], ["a", 3])),
    ],
)
def test_file_in_a_folder_that_is_nothing_of_ours_is_passed_over(tmp_path: Path, name: str, text: str | bytes) -> None:
    with pytest.raises(NotOurs):
        entries(tmp_path, name, text, named=False)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.yaml", "id: a\njoint: {conductors: [\n"),
        ("a.yaml", "jiont: {}\n"),
        ("a.json", '{"joint": 1,}'),
        ("a.ndjson", '{"joint": \n'),
        ("a.csv", b"id,size,count\nfu\x81,12 AWG,2\n"),
        ("a.csv", "id,size,count\na,12 AWG,2\n".encode("utf-16-le")),
        ("a.csv", "Joints of the boathouse\nid\tsize\tcount\na\t12 AWG\t\0\n"),
        ("a.ods", b"PK"),
        ("a.csv", "id,siez,count\na,12 AWG,2\n"),
        ("a.xlsx", b"PK"),
    ],
)
def test_file_in_a_folder_that_was_meant_for_us_is_not_passed_over(
    tmp_path: Path, name: str, text: str | bytes
) -> None:
    assert faults(entries(tmp_path, name, text, named=False))


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.csv", "id;size;count\na;12 AWG;2\n"),
        ("a.csv", "sep=|\r\nid|size|count\r\na|12 AWG|2\r\n"),
        ("a.tsv", "id\tsize\tcount\na\t12 AWG\t2\n"),
        ("a.csv", "Joints of the boathouse,,\n\nid,size,count\na,12 AWG,2\n"),
        ("a.csv", "id,size,count\na,12 AWG,2\n".encode("utf-16")),
        ("a.xlsx", workbook(["Boathouse"], [], ["id", "size", "count"], ["a", "12 AWG", 2])),
        ("a.ods", ods(["Boathouse"], [], ["id", "size", "count"], ["a", "12 AWG", 2])),
    ],
)
def test_table_in_a_folder_is_read_however_it_is_written(tmp_path: Path, name: str, text: str | bytes) -> None:
    (entry,) = entries(tmp_path, name, text, named=False)
    assert entry.value == {"id": "a", "joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}
    assert entry.faults == ()


def test_what_is_no_table_of_joints_is_told_with_the_nearest_headings(tmp_path: Path) -> None:
    for head, hint in (
        ("sizee,a1,b1,c1,d1", "did you mean 'size'?"),
        ("a1,b1,c1,d1", "`splicewright template` writes"),
    ):
        ((_, _, says),) = faults(entries(tmp_path, "a.csv", f"{head}\n1\n"))
        assert says.startswith("is no table of joints: fewer than half of its headings are known")
        assert hint in says


def test_folder_in_the_place_of_a_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").mkdir()
    ((rule, _, _),) = faults(list(read_entries(CheckedFile(tmp_path / "a.yaml", "a.yaml", named=True))))
    assert rule == "input/unreadable"


def test_very_large_file_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splicewright.audit.entries.LARGEST_DOCUMENT", 10)
    ((rule, _, says),) = faults(entries(tmp_path, "a.yaml", QUESTION))
    assert (rule, says) == ("input/unreadable", "is larger than 10 bytes")


def test_head_that_can_not_be_read_itself_is_nothing_of_ours(tmp_path: Path) -> None:
    with pytest.raises(NotOurs):
        entries(tmp_path, "a.csv", b"\x00\n", named=False)
    with pytest.raises(NotOurs):
        entries(tmp_path, "a.csv", b"h," * 1_000, named=False)
