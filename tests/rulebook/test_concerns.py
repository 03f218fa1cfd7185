"""The file of concerns is read as strictly as the rules, and every concern is settled by rules that there are."""

from __future__ import annotations

from pathlib import Path

import pytest

from splicewright import shipped
from splicewright.faults import Fault, Faults
from splicewright.question.fact_kinds import fact_kinds
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import load_rulebook, read_rulebook
from splicewright.rulebook.concerns import FILE, concern_words, concerns_that_hurt, read_concerns
from splicewright.rulebook.model import Need, Rule

RULES = """\
ruleset: environment
about: What the place asks.
through: 2023
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
"""
GOOD = """\
about: What is asked of any joint.
concerns:
  - id: water
    asks: Whether it stands the water.
    hurts: true
    article: {nfpa70: '110.11'}
    cases:
      - when:
          - condition: {place: wet}
          - place: {exposure: [wet, buried]}
        needs: [place.depth, {conductor.insulation_stated: conductor.insulation}]
        settled_by: [environment/buried-is-wet]
  - id: room
    asks: Whether there is room.
    of_connector: true
    article: {nfpa70: '314.16', nfpa70-2017: '314.17'}
    cases:
      - when: always
        no_rule: {nfpa70-2017: '312.7', nfpa70-2020: '312.8', nfpa70-2023: '312.9'}
through: {nfpa70: 2023}
"""
SHIPPED_CODES = sorted(CODES)


def folder(tmp_path: Path, text: str) -> Path:
    (tmp_path / "nfpa70").mkdir(exist_ok=True)
    (tmp_path / "nfpa70" / "environment.yaml").write_text(RULES, encoding="utf-8")
    (tmp_path / FILE).write_text(text, encoding="utf-8")
    return tmp_path


def faults(tmp_path: Path, text: str, code: str = "nfpa70-2023") -> list[str]:
    with pytest.raises(Faults) as caught:
        read_rulebook(folder(tmp_path, text), code)
    return [str(fault) for fault in caught.value.faults]


def test_good_file_becomes_concerns_in_its_order(tmp_path: Path) -> None:
    water, room = read_rulebook(folder(tmp_path, GOOD), "nfpa70-2023").concerns
    assert (water.id, water.asks, water.hurts, water.of_connector) == (
        "water",
        "Whether it stands the water.",
        True,
        False,
    )
    assert (room.id, room.hurts, room.of_connector) == ("room", False, True)
    (rule,) = water.rules
    assert (rule.id, rule.file, rule.line, len(rule.when)) == ("concern/water/1", "concerns.yaml", 3, 2)
    case = rule.effect.case
    assert case is not None
    assert case.needs == (
        Need("place.depth", "place.depth"),
        Need("conductor.insulation_stated", "conductor.insulation"),
    )
    assert (case.settled_by, case.no_rule) == (("environment/buried-is-wet",), False)


@pytest.mark.parametrize(
    ("code", "article", "no_rule"),
    [("nfpa70-2017", "314.17", "312.7"), ("nfpa70-2020", "314.16", "312.8"), ("nfpa70-2023", "314.16", "312.9")],
)
def test_article_is_that_of_the_edition_or_of_its_family(tmp_path: Path, code: str, article: str, no_rule: str) -> None:
    _, room = read_concerns(folder(tmp_path, GOOD) / FILE, code)
    case = room.rules[0].effect.case
    assert case is not None
    assert (room.article, case.article, case.no_rule) == (article, no_rule, True)


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ("about: What is asked of any joint.\n", "", 1, "about: is required"),
        ("id: water", "id: Water", 3, "is not a phrase of plain words"),
        ("id: room", "id: water", 13, "stands twice"),
        ("    asks: Whether it stands the water.\n", "", 3, "asks: is required"),
        ("hurts: true", "hurts: very", 5, "hurts"),
        ("hurts: true", "hurtz: true", 5, "did you mean 'hurts'?"),
        ("    article: {nfpa70: '110.11'}\n", "", 3, "article: is required"),
        ("article: {nfpa70: '110.11'}", "article: '110.11'", 6, "is a map of sections by code or edition"),
        ("article: {nfpa70: '110.11'}", "article: {nfpa70: 110.11}", 6, "is a map of sections by code or edition"),
        ("article: {nfpa70: '110.11'}", "article: {nfpa70-2020: '110.11'}", 6, "has no section for nfpa70-2023"),
        ("nfpa70-2017: '314.17'", "nfpa70-2071: '314.17'", 16, "did you mean 'nfpa70-2017'?"),
        ("nfpa70-2023: '312.9'", "nfpa70-2020-: '312.9'", 19, "did you mean 'nfpa70-2020'?"),
        (", nfpa70-2023: '312.9'", "", 19, "has no section for nfpa70-2023"),
        ("exposure: [wet", "exposure: [wett", 10, "did you mean 'wet'?"),
        ("- place: {exposure", "- plaice: {exposure", 10, "did you mean 'place'?"),
        ("when: always", "when: never", 18, "must be a list of patterns"),
        ("place.depth,", "place.depht,", 11, "did you mean 'place.depth'?"),
        ("place.depth,", "7,", 11, "is a fact, or {fact: leaf to ask for}"),
        ("place.depth,", "{a: b, c: d},", 11, "is a fact, or {fact: leaf to ask for}"),
        (": conductor.insulation}", ": conductor.insulatoin}", 11, "did you mean 'conductor.insulation'?"),
        ("place.depth,", "place.depth_stated,", 11, "place.depth_stated is a measure, which nobody states"),
        (
            ": conductor.insulation}",
            ": conductor.insulation_stated}",
            11,
            "write {conductor.insulation_stated: leaf to ask for}",
        ),
        (
            "        settled_by: [environment/buried-is-wet]\n",
            "",
            8,
            "says neither by which rules it is settled (settled_by) nor no_rule",
        ),
        ("settled_by: [environment/buried-is-wet]", "settled_by: []", 8, "says neither by which rules"),
        (
            "settled_by: [environment/buried-is-wet]",
            "settled_by: [environment/buried-is-wet]\n        no_rule: {nfpa70: '1'}",
            8,
            "no rule settles it, so nothing is needed and nothing settles it",
        ),
        (
            "settled_by: [environment/buried-is-wet]",
            "settled_by: [environment/burried-is-wet]",
            3,
            "did you mean 'environment/buried-is-wet'?",
        ),
        (
            "settled_by: [environment/buried-is-wet]",
            "settled_by: [environment/soaked]",
            3,
            'settled_by: "environment/soaked" is not known',
        ),
        (
            "condition: {place: wet}",
            "condition: {place: weet}",
            3,
            "no rule concludes {place: weet}; \"place: weet\" is not known; did you mean 'place: wet'?",
        ),
        ("condition: {place: wet}", "condition: {heat: wet}", 3, "no rule concludes {heat: wet}"),
        ("hurts: true", "hurts: true\n    hurts: true", 6, 'the key "hurts" stands twice'),
        ("concerns:\n", "concerns: &a\n", 2, "anchors and aliases are not allowed"),
    ],
)
def test_fault_names_file_line_and_what_to_write(tmp_path: Path, old: str, new: str, line: int, says: str) -> None:
    assert old in GOOD
    found = faults(tmp_path, GOOD.replace(old, new, 1))
    assert any(one.startswith(f"{FILE}:{line}:") and says in one for one in found), found


def test_every_fault_is_told_at_once_with_the_concern_it_is_of(tmp_path: Path) -> None:
    bad = GOOD.replace("exposure: [wet", "exposure: [wett").replace("when: always", "when: never")
    with pytest.raises(Faults) as caught:
        read_concerns(folder(tmp_path, bad) / FILE, "nfpa70-2023")
    assert [(fault.line, fault.part) for fault in caught.value.faults] == [(10, "water"), (18, "room")]


def misread(tmp_path: Path, concerns: str, rules: str) -> tuple[Fault, ...]:
    """The faults of a folder with these concerns and rules."""
    folder(tmp_path, concerns)
    (tmp_path / "nfpa70" / "environment.yaml").write_text(rules, encoding="utf-8")
    with pytest.raises(Faults) as caught:
        read_rulebook(tmp_path, "nfpa70-2023")
    return caught.value.faults


BAD_RULE = RULES.replace("exposure: buried}\n    con", "exposure: burried}\n    con")


def test_faults_of_concerns_and_of_rules_are_told_together(tmp_path: Path) -> None:
    found = misread(tmp_path, GOOD.replace("id: room", "id: Room"), BAD_RULE)
    assert {fault.file for fault in found} >= {"nfpa70/environment.yaml", FILE}


@pytest.mark.parametrize(("rules", "line"), [(BAD_RULE, 7), ("rules: [", 2)])
def test_rules_that_were_misread_are_told_alone_and_not_as_lacking_too(tmp_path: Path, rules: str, line: int) -> None:
    found = misread(tmp_path, GOOD, rules)
    assert [(fault.file, fault.line) for fault in found] == [("nfpa70/environment.yaml", line)]


def test_conditions_that_might_be_meant_are_told_in_order(tmp_path: Path) -> None:
    rules = "".join(
        RULES[RULES.index("  - id:") :].replace("buried-is-wet", f"one-{word}").replace("place: wet", f"kind: {word}")
        for word in ("oak", "elm", "ash")
    )
    found = misread(tmp_path, GOOD.replace("condition: {place: wet}", "condition: {sort: of-tree}"), RULES + rules)
    assert str(found[0]).endswith("use one of: kind: ash, kind: elm, kind: oak, place: wet")


def test_folder_without_the_file_has_no_concerns(tmp_path: Path) -> None:
    assert read_concerns(tmp_path / FILE, "nfpa70-2023") == ()


def test_folder_without_any_rule_is_told_no_rule_that_is_lacking(tmp_path: Path) -> None:
    path = folder(tmp_path, GOOD)
    (path / "nfpa70" / "environment.yaml").unlink()
    assert read_rulebook(path, "nfpa70-2023").rules == ()


def test_a_rule_of_another_edition_settles_too(tmp_path: Path) -> None:
    path = folder(tmp_path, GOOD)
    old = RULES.replace("    when:", "    editions: '2017'\n    when:", 1)
    (path / "nfpa70" / "environment.yaml").write_text(old, encoding="utf-8")
    assert read_rulebook(path, "nfpa70-2023").rules == ()
    assert len(read_rulebook(path, "nfpa70-2023").concerns) == 2


def test_digest_changes_with_any_word_of_a_concern_and_not_with_its_layout(tmp_path: Path) -> None:
    digests = [
        read_rulebook(folder(tmp_path, text), "nfpa70-2023").digest
        for text in (GOOD, "# a remark\n" + GOOD, GOOD.replace("stands the water", "bears the water"))
    ]
    assert digests[0] == digests[1] != digests[2]


# --- those that are shipped ------------------------------------------------------------


@pytest.mark.parametrize("code", SHIPPED_CODES)
def test_every_case_that_arises_in_an_edition_is_settled_by_one_of_its_rules(code: str) -> None:
    book = load_rulebook(code)
    known = {rule.id for rule in book.rules}
    concluded = {rule.effect.concludes for rule in book.rules}
    unsettled = {
        rule.id: sorted(_waits_for(rule) - concluded)
        for concern in book.concerns
        for rule in concern.rules
        if rule.effect.case and not rule.effect.case.no_rule and not known & set(rule.effect.case.settled_by)
    }
    assert book.concerns
    assert [rule_id for rule_id, never in unsettled.items() if not never] == []


def _waits_for(rule: Rule) -> set[tuple[str, str]]:
    """Give the conditions without which a rule never fires."""
    tests = [test for pattern in rule.when if pattern.scope == "condition" for test in pattern.tests]
    return {(test.name.partition(".")[2], str(test.values[0])) for test in tests if len(test.values) == 1}


@pytest.mark.parametrize("code", SHIPPED_CODES)
def test_every_concern_has_its_article_in_each_edition(code: str) -> None:
    for concern in load_rulebook(code).concerns:
        assert concern.article
        assert all(rule.effect.case and rule.effect.case.article for rule in concern.rules)


def test_what_is_asked_for_is_a_leaf_that_a_question_may_leave_out() -> None:
    asked = {
        need.leaf
        for concern in load_rulebook("nfpa70-2023").concerns
        for rule in concern.rules
        if rule.effect.case
        for need in rule.effect.case.needs
    }
    assert asked == {
        "circuit.amps",
        "circuit.continuous",
        "circuit.overcurrent_device",
        "circuit.nameplate_amps",
        "circuit.overcurrent_amps",
        "circuit.volts",
        "conductor.insulation",
        "place.current_carrying",
        "place.depth",
        "place.room",
        "work.wiring_age",
    }
    assert not [leaf for leaf in asked if fact_kinds()[leaf].reads]


def test_concerns_that_hurt_stand_first() -> None:
    hurts = [concern.hurts for concern in load_rulebook("nfpa70-2023").concerns]
    assert hurts == sorted(hurts, reverse=True)
    assert set(list(concern_words())[: sum(hurts)]) == concerns_that_hurt()


def test_words_of_the_concerns_are_those_of_the_file() -> None:
    concerns = read_concerns(shipped.folder("rulesets") / FILE, "nfpa70-2017")
    assert concern_words() == {concern.id: concern.asks for concern in concerns}
