"""The floor holds under every code edition, and whatever falls below it is told by file, line and entry."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.choice.floor import FloorEntry, floor_counts, floor_faults, read_floor
from splicewright.faults import Faults
from splicewright.operate.rule_check import Checked, check_rulesets
from splicewright.question.vocabulary import CODES
from splicewright.reports.rules import print_counts
from splicewright.yaml_text import read_data_file
from tests.api.small import small_rulesets

ENTRY = """\
# What nothing may change.
- id: {id}
  says: Two solid ends go into ports.
  question: {{joint: {{conductors: [{{size: 12 AWG, count: 2}}]}}}}
  expect: {expect}
"""


def entry(expect: str = "{outcome: options}", name: str = "two-ends") -> str:
    return ENTRY.format(id=name, expect=expect)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return small_rulesets(tmp_path / "rulesets")


def faults(folder: Path, text: str, codes: tuple[str, ...] = ("nfpa70-2023",)) -> list[str]:
    (folder / "floor.yaml").write_text(text)
    return [str(fault) for fault in floor_faults(folder, Chooser(folder).holding.match, [(code, ()) for code in codes])]


def read(text: str) -> list[FloorEntry]:
    return read_floor(read_data_file(text.encode(), "floor.yaml"))


def misread(text: str) -> list[str]:
    with pytest.raises(Faults) as raised:
        read(text)
    return [str(fault) for fault in raised.value.faults]


# --- how many there are


def test_joints_and_good_ones_are_counted(folder: Path) -> None:
    assert floor_counts(folder) == (0, 0)
    wanted = (
        "{outcome: options}",
        "{outcome: barred}",
        "{outcome: options, never: {method: lever}}",
        "{outcome: options}",
    )
    (folder / "floor.yaml").write_text("".join(entry(expect, f"entry-{at}") for at, expect in enumerate(wanted)))
    assert floor_counts(folder) == (2, 2)


@pytest.mark.parametrize(
    ("floor", "told"), [((41, 10), ["floor: 41 joints and 10 good ones hold under each edition"]), ((0, 0), [])]
)
def test_the_count_is_printed_where_there_is_a_floor(capsys, floor: tuple[int, int], told: list[str]) -> None:
    print_counts(Checked((), floor=floor))
    assert [line for line in capsys.readouterr().out.splitlines() if line.startswith("floor")] == told


# --- what answers are held to


def test_folder_without_the_file_is_asked_nothing(folder: Path) -> None:
    assert floor_faults(folder, Chooser(folder).holding.match, [(code, ()) for code in CODES]) == []


@pytest.mark.parametrize(
    "expect",
    [
        "{outcome: options}",
        "{outcome: [barred, options]}",
        "{always: {insulated: true, volts: {at-least: 600 V}}}",
        "{never: {method: push-in}}",
        "{never: {method: lever, sealed: true}}",
        "{outcome: options, always: {materials: {includes: copper}}, never: {grounding: only}}",
    ],
)
def test_answer_that_is_as_expected_is_no_fault(folder: Path, expect: str) -> None:
    assert faults(folder, entry(expect)) == []


@pytest.mark.parametrize(
    ("expect", "says"),
    [
        (
            "{outcome: [barred, refer]}",
            "the outcome is options with lever-2-port (lever) first, and has to be barred or refer",
        ),
        ("{always: {sealed: true}}", "offers lever-2-port (lever), which lacks what each one offered has to have"),
        ("{never: {method: lever}}", "offers lever-2-port (lever), which is never to be offered"),
        ("{never: {volts: {below: 601 V}}}", "offers lever-2-port (lever), which is never to be offered"),
    ],
)
def test_answer_below_the_floor_is_told_by_line_entry_and_code(folder: Path, expect: str, says: str) -> None:
    assert faults(folder, entry(expect)) == [
        f"floor.yaml:2: two-ends: nfpa70-2023: {says}: Two solid ends go into ports."
    ]


def test_outcome_with_no_connector_is_told_by_itself(folder: Path) -> None:
    text = entry().replace("count: 2", "count: 9")
    assert faults(folder, text) == []  # a shelf need not carry what takes it
    (catalogue,) = (folder / "catalogues").glob("*.yaml")
    catalogue.write_text("demo: true\n" + catalogue.read_text())
    assert faults(folder, text) == [
        (
            "floor.yaml:2: two-ends: nfpa70-2023: the outcome is no-connector, and has to be options: "
            "Two solid ends go into ports."
        )
    ]


def test_each_code_is_asked(folder: Path) -> None:
    found = faults(folder, entry("{outcome: barred}"), tuple(CODES))
    assert [one.split(": ")[2] for one in found] == list(CODES)


def test_catalogue_that_is_not_there_is_told(folder: Path) -> None:
    text = entry().replace("question: {", "question: {catalogue: truck, ")
    (fault,) = faults(folder, text)
    assert fault.startswith("floor.yaml:2: two-ends: nfpa70-2023: ")
    assert "truck" in fault


# --- how it is read


def test_entry_keeps_its_line_and_what_it_expects() -> None:
    first, second = read(entry() + entry("{never: {method: push-in}}", "other"))
    assert (first.id, first.line, first.outcomes, first.always, first.never) == ("two-ends", 2, ("options",), (), ())
    assert (second.id, second.line, second.outcomes) == ("other", 7, ())
    assert [(one.attribute, one.values) for one in second.never] == [("method", ("push-in",))]


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [
        (
            "says:",
            "sayz:",
            ["2: two-ends: says: is required", "3: two-ends: sayz: unknown key; did you mean 'says'?"],
        ),
        (
            "{outcome: options}",
            "{outcom: options}",
            ["5: two-ends: expect/outcom: unknown key; did you mean 'outcome'?"],
        ),
        (
            "{outcome: options}",
            "{outcome: bared}",
            ["5: two-ends: expect/outcome: \"bared\" is not known; did you mean 'barred'?"],
        ),
        (
            "{outcome: options}",
            "{}",
            ["5: two-ends: expect: expects nothing; write one or more of: outcome, always, never"],
        ),
        (
            "{outcome: options}",
            "{never: {metod: push-in}}",
            [
                (
                    "5: two-ends: expect/never/metod: no connector has this attribute: "
                    "\"metod\" is not known; did you mean 'method'?"
                )
            ],
        ),
        (
            "{outcome: options}",
            "{always: {volts: {at-least: {fact: circuit.volts}}}}",
            ["5: two-ends: expect/always: compares with a fact of the question; write the value itself"],
        ),
        ("id: two-ends", "id: Two ends", ["2: Two ends: id: is not a phrase of plain words like box-room"]),
        ("size: 12 AWG", "size: 12 AGW", None),
        (
            "question: {",
            "question: {code: nfpa70-2023, ",
            ["4: two-ends: question/code: is asked under every code, edition and amendment; leave it out"],
        ),
        ("question: {joint", "question: {joynt", None),
    ],
)
def test_what_is_wrong_is_told_with_its_line_and_the_nearest_word(was: str, now: str, told: list[str] | None) -> None:
    text = entry()
    assert was in text
    found = misread(text.replace(was, now))
    if told is None:
        assert [one.partition(": question/")[0] for one in found] == ["floor.yaml:4: two-ends"] * len(found)
        assert found
    else:
        assert found == [f"floor.yaml:{one}" for one in told]


def test_id_that_stands_twice_is_told() -> None:
    assert misread(entry() + entry()) == ["floor.yaml:7: two-ends: id: stands twice"]


@pytest.mark.parametrize(
    ("text", "line"), [("", 1), ("- id: [", 2), ("# nothing\nabout: a floor\n", 2), ("- a floor\n", 1)]
)
def test_text_that_is_no_list_of_entries_is_told(text: str, line: int) -> None:
    (fault,) = misread(text)
    assert fault.startswith(f"floor.yaml:{line}: ")


# --- the shipped floor


def test_shipped_floor_holds_under_every_code_edition() -> None:
    rulesets = shipped.folder("rulesets")
    assert floor_faults(rulesets, Chooser(rulesets).holding.match, [(code, ()) for code in CODES]) == []


def test_shipped_floor_has_what_nothing_may_allow_and_ten_good_joints_that_nothing_may_refuse() -> None:
    entries = read((shipped.folder("rulesets") / "floor.yaml").read_text())
    good = [one for one in entries if one.id.startswith("good-")]
    assert len(entries) - len(good) >= 25
    assert len(good) == 10
    assert all(one.outcomes == ("options",) for one in good)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("file", "was", "now", "falls"),
    [
        (
            "nfpa70/grounding.yaml",
            "bar: joint\n    says: Ungrounded and grounded",
            "caution: true\n    says: Ungrounded and grounded",
            "line-with-neutral",
        ),
        (
            "nfpa70/metal-compatibility.yaml",
            "demand: {intermixed: true}",
            "demand: {insulated: true}",
            "aluminum-against-copper",
        ),
        (
            "nfpa70/construction.yaml",
            "no-nicked-conductor\n    when:\n      - conductor: {condition: nicked}",
            "no-nicked-conductor\n    when:\n      - conductor: {condition: burnt}",
            "nicked-end",
        ),
    ],
)
def test_rule_that_no_longer_bars_falls_below_the_shipped_floor(
    tmp_path: Path, file: str, was: str, now: str, falls: str
) -> None:
    folder = Path(shutil.copytree(shipped.folder("rulesets"), tmp_path / "rulesets"))
    text = (folder / file).read_text()
    assert text.count(was) == 1
    (folder / file).write_text(text.replace(was, now))
    assert {fault.part for fault in floor_faults(folder, Chooser(folder).holding.match, [("nfpa70-2020", ())])} == {
        falls
    }


def test_rules_are_held_to_the_floor_by_the_check_of_rulesets(folder: Path) -> None:
    assert check_rulesets(folder).faults == ()
    (folder / "floor.yaml").write_text(entry("{outcome: refer}"))
    assert [(fault.file, fault.line, fault.part) for fault in check_rulesets(folder).faults] == [
        ("floor.yaml", 2, "two-ends")
    ] * len(CODES)
