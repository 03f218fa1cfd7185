"""`splicewright check` over files and folders: reports, exit status, baseline."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree as ET

import openpyxl
import pytest
from click.testing import CliRunner, Result

from splicewright.audit.files import UNREAD_TABLES
from splicewright.cli.main import main
from tests.audit.folder import BARRED, FINE, PUSHED_IN, RULE, placed, repository, write
from tests.sheets.tables import workbook

HEAD = ["id", "size", "count", "room", "current carrying"]
WANTING = "joint: {conductors: [{size: 12 AWG, count: 2}]}\n"
REFERRED = FINE.replace("amps: 8", "amps: 8, kind: service")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def check(*words: str) -> Result:
    return CliRunner().invoke(main, ["check", *words])


def found(report: str) -> set[tuple[str, int, str]]:
    """Give file, line and rule of the results of a SARIF file that count."""
    (run,) = json.loads(Path(report).read_text())["runs"]
    places = (
        (result, result["locations"][0]["physicalLocation"])
        for result in run["results"]
        if not result.get("suppressions")
    )
    return {(at["artifactLocation"]["uri"], at["region"]["startLine"], one["ruleId"]) for one, at in places}


def test_repository_with_faults_then_a_baseline_then_one_more_fault(folder: Path) -> None:
    planted = {(file, line, rule) for file, line, _, rule in repository(folder)}
    reports = ("--report", "text", "--report", "sarif=out.sarif", "--report", "junit=out.xml")

    first = check(*reports, "jobs")
    assert first.exit_code == 1
    assert found("out.sarif") == planted
    lines = first.stdout.splitlines()[:-1]
    assert {(line.split(":")[0], int(line.split(":")[1])) for line in lines} == {
        (file, line) for file, line, _ in planted
    }
    assert len(lines) == len(planted) == 5
    failed = [one for one in ET.parse("out.xml").iter("testcase") if len(one)]
    assert {one.get("classname") for one in failed} == {file for file, _, _ in planted}
    assert len(failed) == 5

    assert check("--write-baseline", "splices.json", "jobs").exit_code == 0
    second = check("--baseline", "splices.json", *reports, "jobs")
    assert (second.exit_code, second.stdout.splitlines()[1:]) == (0, ["5 findings in the baseline"])
    assert found("out.sarif") == set()
    assert not [one for one in ET.parse("out.xml").iter("testcase") if len(one) and one.find("skipped") is None]

    site = folder / "jobs" / "site-150.yaml"
    site.write_text(f"# moved down\n{site.read_text()}---\nid: one-more\n{BARRED}")
    third = check("--baseline", "splices.json", *reports, "jobs")
    assert third.exit_code == 1
    assert found("out.sarif") == {("jobs/site-150.yaml", 31, RULE)}
    assert third.stdout.startswith("jobs/site-150.yaml:31:9: error: ")


def test_typo_is_told_with_its_line_and_the_nearest_word(folder: Path) -> None:
    write(folder, {"a.yaml": "#\n" * 37 + placed("exposure: dryy")})
    result = check("a.yaml")
    assert result.exit_code == 1
    assert result.stdout.splitlines()[0] == (
        "a.yaml:40:9: error: /place/exposure: \"dryy\" is not known; did you mean 'dry'? [input/invalid]"
    )


@pytest.mark.parametrize(
    ("text", "statuses"),
    [
        (FINE, {"error": 0, "warning": 0, "note": 0, "never": 0}),
        (WANTING, {"error": 0, "warning": 0, "note": 1, "never": 0}),
        (REFERRED, {"error": 0, "warning": 1, "note": 1, "never": 0}),
        (BARRED, {"error": 1, "warning": 1, "note": 1, "never": 0}),
        ("joint: {}\n", {"error": 1, "warning": 1, "note": 1, "never": 0}),
    ],
)
def test_exit_status_is_told_by_the_gravest_finding(folder: Path, text: str, statuses: dict[str, int]) -> None:
    write(folder, {"a.yaml": text})
    assert {least: check("--fail-on", least, "a.yaml").exit_code for least in statuses} == statuses


def test_level_leaves_out_what_is_less_grave_but_never_what_fails(folder: Path) -> None:
    write(folder, {"a.yaml": WANTING})
    assert "note: " not in check("--level", "warning", "a.yaml").stdout
    assert "note: " in check("--level", "error", "--fail-on", "note", "a.yaml").stdout


def test_every_kind_of_report_is_written_at_once(folder: Path) -> None:
    write(folder, {"jobs/a.yaml": BARRED, "jobs/b.xlsx": workbook(HEAD, ["k", "12 AWG", 2, "yes", 3])})
    kinds = ("json", "ndjson", "sarif", "junit", "text", "csv", "xlsx")
    result = check(*(word for kind in kinds for word in ("--report", f"{kind}=out.{kind}")), "jobs")
    assert (result.exit_code, result.stdout) == (1, "")
    assert json.loads(Path("out.json").read_text())["counts"]["error"] == 1
    told = [json.loads(line) for line in Path("out.ndjson").read_text().splitlines()]
    assert [(one["level"], one["rule"]) for one in told] == [
        ("error", RULE),
        ("note", "concern/ampacity"),
        ("note", "concern/continuous-load"),
        ("note", "concern/overcurrent"),
    ]
    assert openpyxl.load_workbook("out.xlsx")["Answers"]["A3"].value == "k"
    assert Path("out.csv").read_text(encoding="utf-8").splitlines()[2].startswith("k,")


def test_reports_are_the_same_bytes_each_time_and_on_every_day(folder: Path) -> None:
    write(folder, {"jobs/a.yaml": BARRED, "jobs/b.yaml": WANTING})
    kinds = ("json", "ndjson", "sarif", "junit", "text", "csv", "xlsx")
    for day in ("2026-01-01", "2027-06-30"):
        check("--on", day, *(word for kind in kinds for word in ("--report", f"{kind}={day}.{kind}")), "jobs")
    for kind in kinds:
        assert Path(f"2026-01-01.{kind}").read_bytes() == Path(f"2027-06-30.{kind}").read_bytes()


def test_table_of_answers_in_the_folder_is_not_checked_by_the_run_that_writes_it(folder: Path) -> None:
    write(folder, {"a.yaml": FINE})
    for _ in range(2):
        check("--report", "csv=answers.csv", ".")
    assert len(Path("answers.csv").read_text().splitlines()) == 2


def test_waiver_is_judged_by_the_day_asked_for(folder: Path) -> None:
    write(folder, {"a.yaml": f"{BARRED}waive: [{{rule: {RULE}, reason: old run, until: 2026-12-31}}]\n"})
    assert check("--on", "2026-12-31", "a.yaml").exit_code == 0
    assert check("--on", "2027-01-01", "a.yaml").exit_code == 1


def test_stale_baseline_is_told_and_fails_only_if_asked_to(folder: Path) -> None:
    write(folder, {"a.yaml": BARRED})
    check("--write-baseline", "splices.json", "a.yaml")
    write(folder, {"a.yaml": FINE})
    result = check("--baseline", "splices.json", "a.yaml")
    assert (result.exit_code, "[baseline/stale]" in result.stdout) == (0, True)
    assert check("--baseline", "splices.json", "--fail-on", "warning", "a.yaml").exit_code == 1


def test_baseline_in_the_folder_is_not_checked(folder: Path) -> None:
    write(folder, {"a.yaml": FINE})
    check("--write-baseline", "splices.json", ".")
    assert check("--baseline", "splices.json", "--strict", ".").exit_code == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--report", "sarf", "."], "--report: \"sarf\" is not known; did you mean 'sarif'?"),
        (["--report", "xlsx", "."], "a workbook goes to a file"),
        (["--report", "text", "--report", "json", "."], "two reports go to one place"),
        (["--report", "json=a", "--report", "sarif=a", "."], "two reports go to one place"),
        (["nothing", "a.yaml"], "nothing: there is no such file or folder"),
        (
            ["--baseline", "none.json", "."],
            "none.json: No such file or directory; --write-baseline none.json writes one",
        ),
        (["--baseline", "a.yaml", "."], "a.yaml:1: not JSON"),
        (["--baseline", "b.json", "."], "b.json: /version: is required"),
        (["--report", "text=no/such/folder", "."], "no/such/folder: No such file or directory"),
        (["--format", "json", "."], "--format, --explain, --include and --all are for one check"),
        (["-", "a.yaml"], "standard input holds one check"),
        (["--report", "sarif"], "standard input holds one check"),
        (["--strict", "--pass-over", "."], "--strict and --pass-over ask for opposite things"),
    ],
)
def test_bad_usage_exits_with_2_and_says_what_is_wrong(folder: Path, words: list[str], says: str) -> None:
    write(folder, {"a.yaml": FINE, "b.json": "{}"})
    result = check(*words)
    assert result.exit_code == 2
    assert says in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.yaml", BARRED),
        ("a.yaml", "- {id: a}\n- {id: b}\n"),
        ("a.ndjson", "{}"),
        ("a.yaml", f"---\n{FINE}---\n{FINE}x: 1\n"),
    ],
)
def test_single_file_that_holds_no_single_check_gets_findings(folder: Path, name: str, text: str) -> None:
    write(folder, {name: text})
    result = check(name)
    assert result.exit_code == 1
    assert f"{name}:" in result.stdout


def test_single_file_with_one_check_gets_its_whole_verdict(folder: Path) -> None:
    write(
        folder, {"a.yaml": FINE + "proposal: {connector: lever-2-port, strip: {value: 11, unit: mm}, tugged: true}\n"}
    )
    assert check("a.yaml").stdout.startswith("Sound")


def test_colour_is_left_out_where_no_terminal_is(folder: Path) -> None:
    write(folder, {"a.yaml": BARRED, "b.yaml": FINE})
    assert "\x1b" not in check(".").stdout


def test_named_file_that_holds_nothing_to_check_is_an_error_unless_passed_over(folder: Path) -> None:
    write(folder, {"ci.yaml": "on: push\n", "r.md": "text", "a.yaml": FINE})
    assert check("ci.yaml", "r.md", "a.yaml").exit_code == 1
    assert check("--pass-over", "ci.yaml", "r.md", "a.yaml").exit_code == 0


@pytest.mark.parametrize("ending", [*UNREAD_TABLES, *(one.upper() for one in UNREAD_TABLES)])
@pytest.mark.parametrize(
    "data",
    [workbook(HEAD, ["k", "12 AWG", 2, "yes", 3]), b"\xd0\xcf\x11\xe0", b"size\tcount\n", b""],
    ids=["workbook", "older workbook", "text", "empty"],  # a workbook has the time in it
)
def test_table_of_a_kind_that_is_not_read_is_told_by_its_ending(folder: Path, ending: str, data: bytes) -> None:
    write(folder, {f"a{ending}": data, "b.yaml": FINE})
    says = f"a {ending.lower()} file is not read; save it as .xlsx or .csv [input/unrecognized]"
    result = check(".")
    assert (result.exit_code, result.stdout.splitlines()[0]) == (0, f"a{ending}:1: warning: {says}")
    assert "1 file passed over" in result.stdout
    strict = check("--strict", ".")
    assert (strict.exit_code, strict.stdout.splitlines()[0]) == (1, f"a{ending}:1: error: {says}")
    named = check(f"a{ending}")
    assert (named.exit_code, named.stdout.splitlines()[0]) == (1, f"a{ending}:1: error: {says}")
    for command in ("choose", "box", *(["job"] if ending.lower() != ".parquet" else [])):
        other = CliRunner().invoke(main, [command, f"a{ending}"])
        assert (other.exit_code, f"a{ending}: {says.partition(' [')[0]}" in other.stderr) == (2, True), command


def test_table_in_a_text_file_is_told_by_its_ending_and_one_check_in_it_is_read(folder: Path) -> None:
    write(folder, {"a.txt": "id\tsize\tcount\na\t12 AWG\t2\n", "b.yaml": FINE})
    assert "call a table .csv, or .tsv with tabs between its cells" in check("a.txt").stdout
    for command in ("choose", "box", "job"):
        result = CliRunner().invoke(main, [command, "a.txt"])
        assert (result.exit_code, "call a table .csv, or .tsv" in result.stderr) == (2, True), command
    result = check(".")
    assert (result.exit_code, "1 file passed over" in result.stdout) == (0, True)
    assert check("--strict", ".").exit_code == 1
    write(folder, {"c.txt": FINE + PUSHED_IN, "d.txt": "joint: {conductors: [\n"})
    assert check("c.txt").stdout.startswith("Sound")
    assert "d.txt:2: " in check("d.txt").stderr  # it is not YAML, and says so


@pytest.mark.parametrize("command", ["choose", "box", "why"])
def test_table_in_place_of_a_document_is_told(folder: Path, command: str) -> None:
    for name, data in {"a.csv": b"id,size\na,12 AWG\n", "a.tsv": b"id\tsize\n", "a.xlsx": workbook(HEAD)}.items():
        write(folder, {name: data})
        result = CliRunner().invoke(main, [command, name])
        assert (result.exit_code, "`splicewright check` and `splicewright job` read it" in result.stderr) == (2, True)


@pytest.mark.parametrize("strict", [[], ["--strict"]])
def test_tables_of_a_catalogue_are_counted_and_not_checked(folder: Path, strict: list[str]) -> None:
    for path in ("shelf.xlsx", "tables"):
        CliRunner().invoke(main, ["catalogue", "new", path])
    write(folder, {"a.csv": "id,size,count\na,12 AWG,2\n"})
    files = [str(one) for one in Path("tables").iterdir()]
    for words in ([*strict, "."], ["shelf.xlsx", "a.csv", *files], ["--pass-over", "shelf.xlsx", "a.csv", *files]):
        result = check(*words)
        assert (result.exit_code, "1 file, 1 entry: 0 errors, 0 warnings" in result.stdout) == (0, True), result.stdout
        assert result.stdout.splitlines()[-2:] == [
            "1 file with a catalogue's tables, not checked here: splicewright catalogue check shelf.xlsx",
            f"{len(files)} files with a catalogue's tables, not checked here: splicewright catalogue check tables",
        ]
    assert check("shelf.xlsx").exit_code == 0
    result = CliRunner().invoke(main, ["job", "shelf.xlsx"])
    assert (result.exit_code, "`splicewright catalogue check shelf.xlsx` reads them" in result.stderr) == (2, True)
    for place in ("xlsx=shelf.xlsx", "csv=tables/fillings.csv"):
        assert check(".", "--report", place).exit_code == 2


def test_excluded_files_are_not_checked(folder: Path) -> None:
    write(folder, {"old/a.yaml": BARRED, "b.yaml": FINE})
    assert check("--exclude", "old/*", ".").exit_code == 0


def test_file_whose_name_is_no_text_is_told(folder: Path) -> None:
    (folder / b"\xff.yaml".decode("utf-8", "surrogateescape")).write_text(BARRED)
    result = check("--report", "sarif=o.sarif", "--report", "junit=o.xml", "--report", "text", ".")
    assert result.stdout.startswith("\\xff.yaml:3:9: error")
