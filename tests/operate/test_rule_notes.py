"""What is probably not meant in valid rules is noted by a check as by a trial, and fails neither."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from splicewright import shipped
from splicewright.answering import Chooser
from splicewright.catalogue import Connector
from splicewright.cli.main import main
from splicewright.operate.amendment_check import stacks
from splicewright.operate.rule_check import Checked, check_rulesets
from splicewright.operate.rule_notes import RuleNote, notes_of_all, rule_notes
from splicewright.project.reading import read_project
from splicewright.question.vocabulary import CODES
from splicewright.reports.rules import counts_plain, print_counts
from splicewright.rulebook import Rule
from splicewright.rulebook.amendment_files import AmendmentText, read_amendment_text
from splicewright.trials.trial import Trial, run_trial
from tests.api.small import small_rulesets

NOTE = RuleNote("ours.yaml", 5, "ours/one", "does nothing new", "leave it out")
FIRM = """\
ruleset: our-firm
about: How we work.
amends: every-code
rules:
  - id: no-push-ins-in-wet-kitchens
    when:
      - joint: {tags: {includes: kitchen}}
      - place: {exposure: wet}
    bar: {method: push-in}
    says: Kitchens are loaded hard; we use a lever there.
    source: common-practice
    examples:
      fires: [{joint: {tags: [kitchen]}, place: {exposure: wet}}]
      silent: [{place: {exposure: wet}}, {joint: {tags: [kitchen]}}, {}]
  - id: the-same-again
    when:
      - place: {exposure: wet}
      - joint: {tags: {includes: kitchen}}
    bar: {method: push-in}
    says: We use a lever there.
    source: common-practice
    examples:
      fires: [{joint: {tags: [kitchen]}, place: {exposure: wet}}]
      silent: [{place: {exposure: wet}}]
  - id: too-hot
    when: always
    demand: {degrees: {at-least: 300 degC}}
    says: Hot.
    source: common-practice
    examples: {fires: [{}, {}]}
"""
_TOLD = [
    (14, "no-push-ins-in-wet-kitchens", "examples/silent/2: fails by more than one test"),
    (15, "the-same-again", "does on the same joints what our-firm/no-push-ins-in-wet-kitchens does already"),
    (25, "too-hot", "no connector of the catalogue shop passes what it asks of degrees"),
    (30, "too-hot", "examples/fires/1: asks what examples/fires/0 asks already"),
]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return small_rulesets(tmp_path / "rulesets")


def ours(checked: Checked) -> list[RuleNote]:
    assert checked.faults == ()
    return [note for note in checked.notes if note.rule.startswith("our-firm/")]


def test_a_check_notes_what_a_trial_notes(folder: Path) -> None:
    tried = run_trial(
        Trial(folder, None, "nfpa70-2023", (), None, (AmendmentText("our-firm", "our-firm.yaml", FIRM.encode()),))
    )
    (folder / "amendments").mkdir()
    (folder / "amendments" / "our-firm.yaml").write_text(FIRM)
    noted = {(note["rule"], note["line"], note["says"], note["write"]) for note in tried.told["notes"]}
    checked = check_rulesets(folder, kept=True)
    assert {(note.rule, note.line, note.says, note.write) for note in ours(checked)} == noted
    for note, (line, rule, says) in zip(ours(checked), _TOLD, strict=True):
        assert (note.line, note.rule) == (line, f"our-firm/{rule}")
        assert says in note.says
    assert check_rulesets(folder).notes == ()  # a reload goes by faults alone


def test_amendments_of_a_project_are_checked_with_the_rest(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "our-firm.yaml").write_text(FIRM)
    (tmp_path / "splicewright.toml").write_text('amendment_files = "rules/"\namendments = ["our-firm"]\n')
    project = read_project(tmp_path / "splicewright.toml")
    checked = check_rulesets(folder, kept=True, project=project)
    assert checked.amendments == ("our-firm",)
    assert len(ours(checked)) == len(_TOLD)
    (tmp_path / "rules" / "our-firm.yaml").write_text(FIRM.replace("fires: [{}, {}]", "fires: [{}], silent: [{}]"))
    (fault,) = check_rulesets(folder, project=read_project(tmp_path / "splicewright.toml")).faults
    assert (fault.file, fault.part) == (str(tmp_path / "rules" / "our-firm.yaml"), "our-firm/too-hot")


def test_a_near_miss_one_thing_away_proves_its_test_though_measures_change_with_it() -> None:
    chooser = Chooser(shipped.folder("rulesets"))
    text = """\
ruleset: ours
about: How.
amends: every-code
rules:
  - id: little-load
    when:
      - circuit: {amps: {above: 0}}
      - conductor: {load: {above: 0}}
    caution: true
    says: Little.
    source: common-practice
    examples:
      fires: [{circuit: {amps: 5, serves: lighting}}]
      silent: [{circuit: {serves: lighting}}, {}]
"""
    (rule,) = read_amendment_text(text.encode(), "ours.yaml").rules
    (note,) = rule_notes([rule], (), "nfpa70-2023", chooser.catalogue("shop"))
    assert note.says.startswith("examples/silent/1: fails by more than one test")


def test_cautions_that_say_different_things_do_different_things() -> None:
    chooser = Chooser(shipped.folder("rulesets"))
    (rule,) = [one for one in chooser.holding.rulebook("nfpa70-2023").rules if one.id == "scope/current-in-the-water"]
    twice = replace(rule, id="scope/again")
    other = replace(twice, says="Else.")
    noted = [[*rule_notes([rule, one], (), "nfpa70-2023", chooser.catalogue("shop"))] for one in (other, twice)]
    assert [len(one) for one in noted] == [0, 1]


def test_shipped_rules_have_no_note() -> None:
    chooser = Chooser(shipped.folder("rulesets"))
    laid = stacks(chooser.holding.files.amendments.fit, CODES)
    assert notes_of_all(chooser, laid, chooser.catalogue("shop")) == []


@pytest.mark.parametrize(("notes", "last"), [((), "no note"), ((NOTE,), "1 note"), ((NOTE, NOTE), "2 notes")])
def test_notes_are_counted_in_the_last_line(
    notes: tuple[RuleNote, ...], last: str, capsys: pytest.CaptureFixture[str]
) -> None:
    print_counts(Checked((), examples=7, notes=notes))
    printed = capsys.readouterr().out
    assert printed.splitlines()[-1] == f"7 examples run, no fault, {last}"
    assert printed.count("does nothing new; leave it out [ours.yaml:5: ours/one]") == len(notes)
    assert counts_plain(Checked((), notes=notes))["notes"] == [note.to_dict() for note in notes]


def test_notes_fail_no_check(folder: Path) -> None:
    (folder / "amendments").mkdir()
    (folder / "amendments" / "our-firm.yaml").write_text(FIRM)
    ended = CliRunner().invoke(main, ["rules", "check", "--folder", str(folder)])
    assert ended.exit_code == 0
    assert ended.stdout.splitlines()[-1].endswith(f"no fault, {len(_TOLD) + 1} notes")  # one is the folder's


_WHENS = {
    "always": "always",
    "kitchen": "[{joint: {tags: {includes: kitchen}}}]",
    "wet-kitchen": "[{place: {exposure: wet}}, {joint: {tags: {includes: kitchen}}}]",
    "bath": "[{joint: {tags: {includes: bath}}}]",
}
_EFFECTS = {
    "no-levers": "bar: {method: lever}",
    "levers": "demand: {method: lever}",
    "neither": "bar: {method: [lever, push-in]}",
    "either": "demand: {method: [lever, push-in]}",
    "sealed": "demand: {sealed: true}",
    "spare": "demand: {method: push-in, spare_ports: {at-least: 1}}",
    "joint": "bar: joint",
}
#: What a rule with each effect leaves of connectors, as far as their listings tell; None where it takes none away.
_LEFT: Mapping[str, Callable[[Connector], bool] | None] = {
    "no-levers": lambda one: one.method != "lever",
    "levers": lambda one: one.method == "lever",
    "neither": lambda one: one.method not in ("lever", "push-in"),
    "either": lambda one: one.method in ("lever", "push-in"),
    "sealed": lambda one: one.attributes.get("sealed") is True,
    "spare": lambda one: one.method == "push-in",
    "joint": None,
}


def one_rule(rule_id: str, when: str, effect: str) -> Rule:
    text = f"""\
ruleset: ours
about: How.
amends: every-code
rules:
  - id: {rule_id}
    when: {when}
    {effect}
    says: So we do it.
    source: common-practice
    examples: {{fires: [{{joint: {{tags: [kitchen]}}}}], silent: [{{}}]}}
"""
    (rule,) = read_amendment_text(text.encode(), "ours.yaml").rules
    return rule


def test_rules_that_together_leave_no_connector_where_one_fires_with_the_other_are_noted() -> None:
    catalogue = Chooser(shipped.folder("rulesets")).holding.index("shop").catalogue
    within = {("always", name) for name in _WHENS} | {(name, name) for name in _WHENS} | {("kitchen", "wet-kitchen")}
    noted = 0
    pairs = itertools.product(itertools.product(_WHENS, _EFFECTS), repeat=2)
    keys = itertools.product(_WHENS, _EFFECTS)
    rules = {key: one_rule("-".join(key), _WHENS[key[0]], _EFFECTS[key[1]]) for key in keys}
    for one, other in pairs:
        left = [_LEFT[effect] for _, effect in (one, other)]
        emptied = all(left) and not any(all(keep(each) for keep in left if keep) for each in catalogue.connectors)
        expected = emptied and bool({(one[0], other[0]), (other[0], one[0])} & within)
        notes = list(rule_notes([rules[one]], [rules[other]], "nfpa70-2023", catalogue))
        found = [note for note in notes if "it leaves no connector" in note.says]
        assert bool(found) == expected, (one, other)
        assert all(f"ours/{'-'.join(other)}" in note.says for note in found)
        noted += bool(found)
    assert noted > 20
