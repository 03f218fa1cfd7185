"""Rule files are read strictly: every fault is named with file, line and the nearest right word."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright.faults import Faults
from splicewright.operate.unread import unread
from splicewright.rulebook import RuleFiles, read_rulebook
from splicewright.rulebook.model import RuleSource

GOOD = """\
ruleset: environment
about: What the place asks.
rules:
  - id: buried-is-wet
    when:
      - place: {exposure: buried}
    conclude: {place: wet}
    says: The ground is wet.
    source: {document: NFPA 70, section: Article 100, obtained: memory}
    examples:
      fires: [{place: {exposure: buried}}]
      silent: [{place: {exposure: damp}}]
through: 2023
"""


def folder(tmp_path: Path, text: str, name: str = "environment", family: str = "nfpa70") -> Path:
    (tmp_path / family).mkdir(exist_ok=True)
    (tmp_path / family / f"{name}.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def faults(tmp_path: Path, text: str) -> list[str]:
    with pytest.raises(Faults) as caught:
        read_rulebook(folder(tmp_path, text), "nfpa70-2023")
    return [str(fault) for fault in caught.value.faults]


def test_good_file_becomes_a_rule_with_its_line(tmp_path: Path) -> None:
    rule = read_rulebook(folder(tmp_path, GOOD), "nfpa70-2023").rule("environment/buried-is-wet")
    assert (rule.file, rule.line, rule.code) == ("nfpa70/environment.yaml", 4, "nfpa70")
    assert rule.source == RuleSource("NFPA 70", "Article 100", None, "memory")


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ("exposure: buried}\n    con", "exposur: buried}\n    con", 6, "did you mean 'exposure'?"),
        ("{exposure: buried}\n    con", "{exposure: burried}\n    con", 6, "did you mean 'buried'?"),
        ("- place: {exp", "- plaice: {exp", 6, "did you mean 'place'?"),
        ("    conclude: {place: wet}\n", "", 4, "does nothing; a rule does exactly one of"),
        (
            "    conclude: {place: wet}\n",
            "    conclude: {place: wet}\n    caution: true\n",
            4,
            "conclude and caution",
        ),
        ("conclude", "concluded", 7, "unknown key; did you mean 'conclude'?"),
        (
            "    source: {document: NFPA 70, section: Article 100, obtained: memory}\n",
            "",
            4,
            "every rule has a source",
        ),
        ("is wet.", "is wet #3; mind it.", 8, "ends before #, behind which all is a comment"),
        ("about: What", "about: Bin #3", 2, "ends before #, behind which all is a comment"),
        ("obtained: memory", "obtained: hearsay", 9, "use one of: page, memory"),
        ("section: Article 100, ", "", 9, "is required"),
        ("      fires: [{place: {exposure: buried}}]\n", "", 10, "is required"),
        ("id: buried-is-wet", "id: Buried", 4, "is not a phrase of plain words"),
        ("ruleset: environment", "ruleset: environ", 1, "the file's name says 'environment'"),
        ("    when:\n      - place: {exposure: buried}", "    when: never", 5, "must be a list of patterns"),
        ("- place: {exposure: buried}", "- place: {}", 6, "needs at least one test"),
        (
            "- place: {exposure: buried}",
            "- place: {depth: {below: 24}}",
            6,
            "write a number, a space and one of: in, ft, mm",
        ),
        ("- place: {exposure: buried}", "- place: {depth: {beneath: 24 in}}", 6, "'beneath\" is not known"),
        ("- place: {exposure: buried}", "- conductor: {size: {at-least: 6}}", 6, "has no unit"),
        ("- place: {exposure: buried}", "- circuit: {gfci: yes}", 6, "is neither true nor false"),
        (
            "- place: {exposure: buried}",
            "- condition: {place: {other-than: wet}}",
            6,
            "absence can't be tested",
        ),
        ("- place: {exposure: buried}", "- joint: {count: two}", 6, "is not a whole number"),
        (
            "- place: {exposure: buried}",
            "- place: {corrosion: {other-than: salt-air}}",
            6,
            "is a list; write {includes: word}",
        ),
        ("conclude: {place: wet}", "demand: {place: wet}", 7, "no connector has this attribute"),
        (
            "conclude: {place: wet}",
            "demand: {places: wet}",
            7,
            "write includes, includes-any or includes-all",
        ),
        ("conclude: {place: wet}", "demand: {places: {includes-any: wet}}", 7, "needs a list"),
        (
            "conclude: {place: wet}",
            "demand: {volts: {at-least: {fact: circuit.volt}}}",
            7,
            "did you mean 'circuit.volts'?",
        ),
        ("conclude: {place: wet}", "bar: splice", 7, "bars the joint or {method"),
        ("conclude: {place: wet}", "bar: {method: [twist-off]}", 7, "did you mean 'twist-on'?"),
        ("conclude: {place: wet}", "refuse: {fill: too-much}", 7, "did you mean 'too-many'?"),
        ("conclude: {place: wet}", "prefer: {mildly: {reusable: true}}", 7, "strongly, clearly, slightly"),
        ("conclude: {place: wet}", "step: {phase: stripp, do: Strip.}", 7, "did you mean 'strip'?"),
        ("conclude: {place: wet}", "step: {phase: strip}", 7, "says what to do"),
        (
            "conclude: {place: wet}",
            "step: {phase: strip, do: Strip., value: {listing: weight}}",
            7,
            "only strip and torque",
        ),
        ("conclude: {place: wet}", "refer: false", 7, "is written true"),
        (
            "conclude: {place: wet}",
            "conclude: {place: wet}\n    remedies: [{place: {enclosure: box}}]",
            8,
            "only a bar",
        ),
        (
            "conclude: {place: wet}",
            "bar: joint\n    remedies: [{place: {enclosure: handhol}}]",
            8,
            "did you mean 'handhole'?",
        ),
        ("conclude: {place: wet}", "bar: joint\n    remedies: [{conductor: {role: grounded}}]", 8, "unknown key"),
        ("conclude: {place: wet}", "bar: joint\n    remedies: {split: true}", 8, "must be a list of small changes"),
        ("    conclude", "    editions: 2020-2017\n    conclude", 7, "ends before it begins"),
        ("    conclude", "    editions: lately\n    conclude", 7, "is not a range of editions"),
        ("    says: The", "    says: The\n    says: The", 9, 'the key "says" stands twice'),
        ("    says: The", "    says: &a The", 8, "anchors and aliases are not allowed"),
    ],
)
def test_fault_names_line_and_what_to_write(tmp_path: Path, old: str, new: str, line: int, says: str) -> None:
    assert old in GOOD
    found = faults(tmp_path, GOOD.replace(old, new, 1))
    wanted = says.replace("'beneath\"", '"beneath"')
    assert any(one.startswith(f"nfpa70/environment.yaml:{line}:") and wanted in one for one in found), found


def test_every_fault_of_every_file_is_told_at_once(tmp_path: Path) -> None:
    folder(tmp_path, GOOD.replace("exposure: buried}\n    con", "exposure: burried}\n    con"))
    folder(tmp_path, GOOD.replace("environment", "vibration").replace("place: wet", "Place: wet"), "vibration")
    with pytest.raises(Faults) as caught:
        read_rulebook(tmp_path, "nfpa70-2023")
    assert {fault.file for fault in caught.value.faults} == {
        "nfpa70/environment.yaml",
        "nfpa70/vibration.yaml",
    }


def test_id_used_twice_is_refused_even_across_folders(tmp_path: Path) -> None:
    folder(tmp_path, GOOD)
    folder(tmp_path, GOOD.replace("through: 2023\n", ""), family="practice")
    with pytest.raises(Faults, match="ids are used once"):
        read_rulebook(tmp_path, "nfpa70-2023")


@pytest.mark.parametrize(
    ("editions", "holding"),
    [("2020-", {"2020", "2023"}), ("2017-2020", {"2017", "2020"}), ("2017", {"2017"})],
)
def test_rule_holds_for_its_editions_only(tmp_path: Path, editions: str, holding: set[str]) -> None:
    path = folder(tmp_path, GOOD.replace("    when:", f"    editions: {editions}\n    when:"))
    found = {year for year in ("2017", "2020", "2023") if read_rulebook(path, f"nfpa70-{year}").rules}
    assert found == holding


@pytest.mark.parametrize(
    ("through", "editions", "says"),
    [
        ("2020", "", "13: through: is 2020, and NFPA 70 is asked through 2023; read the rules here for it"),
        ("2032", "", "13: through: \"2032\" is not known; did you mean '2023'?"),
        ("2023", "2026-", "7: buried-is-wet: editions: '2026-' is not a range of editions: \"2026\" is not known"),
        (
            "2023",
            "2017-2021",
            "7: buried-is-wet: editions: '2017-2021' is not a range of editions: \"2021\" is not known",
        ),
        ("", "", "1: through: is required: the newest edition that every rule here was read for"),
    ],
)
def test_what_is_claimed_wrongly_is_told(tmp_path: Path, through: str, editions: str, says: str) -> None:
    text = GOOD.replace("through: 2023\n", f"through: {through}\n" if through else "")
    told = faults(
        tmp_path, text.replace("    conclude", f"    editions: {editions}\n    conclude") if editions else text
    )
    assert [one.partition("yaml:")[2][: len(says)] for one in told] == [says]


def test_practice_is_of_no_edition(tmp_path: Path) -> None:
    path = folder(tmp_path, GOOD.replace("    conclude", "    editions: 2020-\n    conclude"), family="practice")
    with pytest.raises(Faults) as caught:
        read_rulebook(path, "nfpa70-2023")
    assert [str(fault) for fault in caught.value.faults] == [
        "practice/environment.yaml:7: buried-is-wet: editions: practice is of no edition; leave it out",
        "practice/environment.yaml:14: through: practice is of no edition; leave it out",
    ]


def test_a_rule_is_claimed_for_a_coming_edition_alone_or_with_its_file(tmp_path: Path) -> None:
    coming = "{title: NFPA 70, editions: [2017, 2020, 2023, 2026], through: 2023}"
    (tmp_path / "codes.yaml").write_text(f"about: Made.\ndefault: nfpa70-2023\ncodes:\n  nfpa70: {coming}\n")
    open_range, claimed = GOOD, GOOD.replace("    conclude", "    editions: 2020-2026\n    conclude")
    for text, held in ((open_range, False), (claimed, True), (GOOD.replace("through: 2023", "through: 2026"), True)):
        files = RuleFiles(folder(tmp_path, text))
        assert bool(files.rulebook("nfpa70-2026").rules) is held
        assert [bool(one.rules) for one in unread(files)] == [not held]


def test_digest_changes_with_any_word_of_a_rule(tmp_path: Path) -> None:
    before = read_rulebook(folder(tmp_path, GOOD), "nfpa70-2023").digest
    after = read_rulebook(folder(tmp_path, GOOD.replace("The ground", "Ground")), "nfpa70-2023").digest
    assert before != after


def test_digest_does_not_depend_on_layout_of_the_file(tmp_path: Path) -> None:
    before = read_rulebook(folder(tmp_path, GOOD), "nfpa70-2023").digest
    after = read_rulebook(folder(tmp_path, "# a remark\n" + GOOD), "nfpa70-2023").digest
    assert before == after
