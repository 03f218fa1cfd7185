"""What people who write rules get wrong: each mistake is told with file, line, rule, and what to write instead."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from splicewright.refusals import Says
from splicewright.rulebook.amendment_files import AmendmentText
from splicewright.trials.trial import Trial, Tried, run_trial
from tests.api.small import RULES, small_rulesets

_FIRM = """\
ruleset: our-firm
about: How we work.
amends: every-code
rules:
  - id: no-push-ins-in-kitchens
    when:
      - joint: {tags: {includes: kitchen}}
    bar: {method: push-in}
    says: Kitchens are loaded hard; we use a lever there.
    source: common-practice
    examples:
      fires: [{joint: {tags: [kitchen]}}]
      silent: [{}]
"""
_ID = "no-push-ins-in-kitchens"
_TEST = "joint: {tags: {includes: kitchen}}"
_BAR = "bar: {method: push-in}"
_SAYS = "Kitchens are loaded hard; we use a lever there."
_FIRES = "[{joint: {tags: [kitchen]}}]"
_RULE = _FIRM[_FIRM.index("  - id:") :]
_EXAMPLES = _FIRM[_FIRM.index("    examples:") :]
_WHEN = "    when:\n      - " + _TEST + "\n"
#: What is written instead of what, on which line it is told, what is told, and what to write where that is a word.
_FAULTS: list[tuple[str, str, int, str, str | None]] = [
    # YAML
    ("    when:", "\twhen:", 6, "indent with blanks, not with tabs", None),
    ("hard; we", "hard: we", 9, "put a text that has a colon and a blank into quotes", None),
    ("Kitchens are", '"Kitchens" are', 9, "put the whole text into quotes, '…'", None),
    ("push-in}", "push-in", 9, "close what { or [ opened", None),
    ("      silent", "     silent", 13, "let all keys of one map begin at the same column", None),
    ("    source: ", "    source: common-practice\n    source: ", 11, 'the key "source" stands twice', None),
    ("[kitchen]", "&k [kitchen]", 12, "anchors and aliases are not allowed; write the value out", None),
    ("rules:", "---\nrules:", 4, "write one a file", None),
    # keys
    ("about:", "abuot:", 2, "unknown key; did you mean 'about'?", "about"),
    ("bar:", "bars:", 8, "unknown key; did you mean 'bar'?", "bar"),
    ("    source: common-practice\n", "", 5, "every rule has a source, or says common-practice", None),
    (_EXAMPLES, "", 5, "examples: is required", None),
    (_WHEN, "", 5, "when: is required", None),
    (f"    {_BAR}\n", "", 5, "does nothing; a rule does exactly one of: conclude, demand, bar", None),
    (f"    {_BAR}\n", f"    {_BAR}\n    caution: true\n", 5, "has bar and caution; a rule does exactly one of", None),
    (f"    {_BAR}\n    says: {_SAYS}\n", f"    says: {_SAYS}\n    {_BAR}\n", 5, "write id, when, bar, says", None),
    ("id: no-push", "id: No-push", 5, "is not a phrase of plain words like buried-is-wet", None),
    ("id: no-push", "id: our-firm/no-push", 5, "the file's name is put before it", "no-push-ins-in-kitchens"),
    ("ruleset: our-firm", "ruleset: our-firms", 1, "the file's name says 'our-firm'", None),
    ("every-code", "nfpa-70", 3, "did you mean 'nfpa70'?", "nfpa70"),
    ("every-code", "nfpa70-2022", 3, "did you mean 'nfpa70-2023'?", "nfpa70-2023"),
    ("every-code", "nfpa70-2017", 1, "amends nfpa70-2017, and nfpa70-2023 is asked", None),
    ("    when:", "    editions: 2020-\n    when:", 6, "an amendment says once, at its head, what it amends", None),
    (_RULE, _RULE * 2, 14, "this id stands at our-firm.yaml:5 too", None),
    (_FIRM[_FIRM.index("rules:") :], "rules: []\n", 1, "changes nothing; write rules or withdraws", None),
    ("{includes: kitchen}", "{includes: <kitchen>}", 7, "<kitchen> is to be replaced by your own words", None),
    # conditions
    (f"      - {_TEST}", f"        {_TEST}", 6, "write a list, [{…}], or each pattern behind a hyphen", None),
    (_TEST, f"{{{_TEST}, place: {{exposure: wet}}}}", 7, "write 2 patterns, joint and place", None),
    (_TEST, "joint: {exposure: wet}", 7, "is a fact of place; write a pattern of it", "place"),
    (_TEST, "joints: {count: 2}", 7, "did you mean 'joint'?", "joint"),
    (_TEST, "place: {expossure: wet}", 7, "did you mean 'exposure'?", "exposure"),
    (_TEST, "place: {exposure: soaked}", 7, "use one of: dry, damp, wet, buried, submerged", None),
    (_TEST, "place: {exposure: {not: wet}}", 7, "use one of: other-than", None),
    (_TEST, "place: {exposure: {other-than: [wet, damp]}}", 7, "list those that are meant, without an operator", None),
    (_TEST, "place: {exposure: []}", 7, "an empty list allows nothing", None),
    (_TEST, "joint: {count: {atleast: 2}}", 7, "did you mean 'at-least'?", "at-least"),
    (_TEST, "joint: {count: '>= 2'}", 7, '">= 2" is written {at-least: 2}', "{at-least: 2}"),
    (_TEST, "conductor: {size: '<10 AWG'}", 7, "is written {below: 10 AWG}", "{below: 10 AWG}"),
    (_TEST, "place.exposure: wet", 7, "is written place: {exposure: …}", "place"),
    (_TEST, "or: [{joint: {count: 2}}]", 7, "all patterns must hold; write a rule for each", None),
    (_TEST, "not: {joint: {count: 2}}", 7, "write {other-than: word}", None),
    (_TEST, "joint: {count: {at-least: two}}", 7, "is not a whole number", None),
    (_TEST, "place: {dwelling: 'yes'}", 7, "is neither true nor false; write true, without quotes", "true"),
    (_TEST, "joint: {tags: {includes: My Kitchen}}", 7, "small letters, digits", "my-kitchen"),
    (_TEST, "joint: {tags: {has: kitchen}}", 7, "write {includes: word}", None),
    (_TEST, "condition: {place: wett}", 6, "no rule concludes {place: wett}; ", "wet"),
    (_TEST, "condition: {plaice: wet}", 6, 'the condition "plaice" is not known; did you mean', "place"),
    (_TEST, "condition: {room: hot}", 6, "a fact of a question is tested under joint, place and so on", None),
    (_TEST, "condition: {place: {not: wet}}", 7, "absence can't be tested", None),
    (_TEST, "condition: {place: wet, space: hot}", 7, "write one pattern for each", None),
    # conditions that pass in silence where nobody looks: a rule that never fires, or always
    (_TEST, "joint: {count: {}}", 7, "compares with nothing; write a value", None),
    (_TEST, "joint: {count: {at-least: 5, at-most: 2}}", 6, "no value of joint.count passes all", None),
    (_TEST, "joint: {count: {above: 2, below: 3}}", 6, "so that the rule never fires", None),
    (_TEST, "place: {exposure: wet}\n      - place: {exposure: dry}", 6, "no value of place.exposure passes all", None),
    # units
    (_TEST, "place: {ambient: {above: 40}}", 7, "write a number, a space and one of: degC, degF", None),
    (_TEST, "place: {ambient: {above: 40 V}}", 7, "'40 V' is not a temperature", None),
    (_TEST, "conductor: {size: {at-least: 12}}", 7, "has no unit; write '12 AWG' or '12 mm2'", None),
    (_TEST, "conductor: {size: {at-least: 12 gauge}}", 7, "did you mean '12 AWG'?", None),
    (_TEST, "circuit: {amps: {at-most: 1000000 A}}", 7, "is not from -999999.9 to 999999.9 A with at most one", None),
    (_TEST, "circuit: {amps: {at-most: 0.25 A}}", 7, "is not from -999999.9 to 999999.9 A with at most one", None),
    (_TEST, "circuit: {amps: {at-most: 9 V}}", 7, "'9 V' is not a number of amperes; write a number", None),
    (_TEST, "circuit: {volts: {at-most: 9 A}}", 7, "'9 A' is not a number of volts; write a number", None),
    # effects
    (_BAR, "bar: {method: pushin}", 8, "did you mean 'push-in'?", "push-in"),
    (_BAR, "bar: lever-2-port", 8, "bars the joint or {method: [...]}", None),
    (_BAR, "bar: {method: []}", 8, "names no method", None),
    (_BAR, "demand: {places: wet}", 8, "write includes, includes-any or includes-all", None),
    (_BAR, "demand: {places: {includes: [wet, dry]}}", 8, "write includes-any or includes-all", None),
    (_BAR, "demand: {seald: true}", 8, "no connector has this attribute: ", "sealed"),
    (_BAR, "demand: {places: {includes-any: []}}", 8, "names nothing", None),
    (_BAR, "demand: {reusable: {}}", 8, "asks nothing; write what it is to be", None),
    (_BAR, "demand: {volts: {at-least: 600 V, at-most: 300 V}}", 8, "no value of volts passes all", None),
    (_BAR, "demand: {volts: {at-least: {fact: circuit.volt}}}", 8, "did you mean 'circuit.volts'?", "circuit.volts"),
    (_BAR, "demand: {volts: {at-least: {fact: joint.count}}}", 8, "compare like with like", None),
    (_BAR, "demand: {amps: {at-least: {fact: circuit.amps}}}", 5, "may be absent; test circuit.amps in `when`", None),
    (_BAR, "prefer: {very: {reusable: true}}", 8, "use one of: strongly, clearly, slightly", None),
    (_BAR, "step: {phase: tugg, do: Pull.}", 8, "did you mean 'tug'?", "tug"),
    (_BAR, "step: {phase: tug}", 8, "says what to do, in plain words", None),
    (_BAR, "caution: Mind it.", 8, "is written true", None),
    (_BAR, "caution: true\n    remedies: [{place: {enclosure: box}}]", 9, "only a bar carries remedies", None),
    (_BAR, f"{_BAR}\n    remedies: [{{place: {{enclosure: boxx}}}}]", 9, "did you mean 'box'?", "box"),
    (_BAR, "conclude: {kitchen: hard}", 5, "no rule tests the condition {kitchen: hard}", None),
    (_BAR, "refuse: {fill: too-few}", 8, "hold always; write when: always", None),
    # sentences
    (_SAYS, " ".join(["word"] * 31), 9, "has 31 words; give the reason in at most 30", None),
    (_SAYS, "''", 9, "has no words", None),
    (_SAYS, "'\u00a0-'", 9, "has no words", None),
    ("hard;", "hard #3;", 9, "ends before #, behind which all is a comment; put the whole text into quotes", None),
    ("hard;", "hard {joint.cout};", 9, "did you mean 'joint.count'?", None),
    ("hard;", "hard {joint.count;", 9, "has a brace that is not closed", None),
    ("hard;", "hard {circuit.amps};", 9, "may be absent; test circuit.amps in `when`", None),
    # sources
    ("common-practice", "our own", 10, "write common-practice or {document, section, obtained}", None),
    ("common-practice", "{document: O, section: 110.10, obtained: page}", 10, "put what is meant into quotes", None),
    ("common-practice", "{document: Ordinance 12, section: '4'}", 10, "source/obtained: is required", None),
    ("common-practice", "{document: O, section: '4', obtained: read}", 10, "use one of: page, memory", None),
    ("common-practice", "{document: O, section: '4', obtained: page, checked: 2026-13-45}", 10, "is a day like", None),
    # examples
    (f"fires: {_FIRES}", "fires: []", 12, "needs at least one question", None),
    ("      silent: [{}]\n", "", 11, "needs a near miss on which the rule is silent", None),
    (_FIRES, "[{joint: {tags: [bath]}}]", 12, "the rule is silent on it: joint.tags is bath there", None),
    (_FIRES, "[kitchen]", 12, "must be a map, a part of a question", None),
    (_FIRES, "[{}]", 12, "the rule is silent on it: joint.tags has no value there", None),
    (_TEST, "joint: {count: {at-least: 60}}", 12, "the rule is silent on it: joint.count is 2 there", None),
    ("silent: [{}]", f"silent: {_FIRES}", 13, "examples/silent/0: the rule fires on it", None),
    ("silent: [{}]", "silent: {}", 13, "must be a list", None),
    ("silent: [{}]", "silent: [{plcae: {exposure: wet}}]", 13, "did you mean 'place'?", "place"),
    ("silent: [{}]", "silent: [{conductor: {material: cu}}]", 13, "write 'copper', not 'cu'", None),
    ("silent: [{}]", "silent: [{proposal: {method: lever}}]", 13, "only for rules that speak of proposed", None),
    ("silent: [{}]", "silent: [{code: nfpa70-2017}]", 13, "each edition that the rule is for; leave it out", None),
    ("silent: [{}]", "silent: [{joint: []}]", 13, "/joint: must be a map of its parts", None),
    ("silent: [{}]", "silent: [{conductor: 12 AWG}]", 13, "/conductor: must be a map", None),
    ("silent: [{}]", "silent: [{joint: {conductors: [5]}, conductor: {material: copper}}]", 13, "an object", None),
    # amendments
    ("rules:", "withdraws: [{rule: environment/buried-is-weet, says: Why.}]\nrules:", 4, "no such rule",
     "environment/buried-is-wet"),
    ("rules:", "withdraws: [{rule: environment/buried-is-wet, says: Why.}]\nrules:", 4, "for which", None),
    ("rules:", "withdraws: [{rule: environment/joint-is-wet-rated}]\nrules:", 4, "says: is required", None),
    ("    examples:", "    replaces: joint-is-wet-rated\n    examples:", 5, "write the whole id",
     "environment/joint-is-wet-rated"),
    ("    examples:", "    succeeds: environment/buried-is-weet\n    examples:", 11, "succeeds: ",
     "environment/buried-is-wet"),
    ("rules:", "by: the county\nrules:", 4, "write by: {authority, document, section, obtained}", None),
    (_BAR, "tolerance: {of: strip, within: 1 mm}", 5, "write by: {authority, document, section, obtained}", None),
    # words that people say, and what stands a level too high
    (_TEST, "conductor: {role: hot}", 7, "\"hot\" is not known; say 'ungrounded'", "ungrounded"),
    (_TEST, "place: {exposure: outdoors}", 7, "say damp where it is sheltered, wet in the weather", None),
    (_BAR, "bar: push-in", 8, "write {method: push-in}", "{method: push-in}"),
    (_BAR, "bar: {methods: push-in}", 8, "did you mean 'method'?", "method"),
    (_BAR, "prefer: {method: lever}", 8, "say before it how strongly: strongly, clearly", "{clearly: {method: …}}"),
    (_BAR, "refuse: {method: push-in}", 8, "what keeps a method out is written bar: {method: [...]}", None),
    (_ID, "No push-ins in kitchens", 5, "write no-push-ins-in-kitchens", "no-push-ins-in-kitchens"),
    ("ruleset: our-firm", "ruleset: Our firm", 1, "write our-firm", "our-firm"),
]  # fmt: skip
#: What is valid and probably not meant.
_NOTED = [
    (_BAR, "demand: {volts: {at-least: 5000 V}}", "no connector of the catalogue shop passes what it asks of volts"),
    ("silent: [{}]", "silent: [{joint: {tags: [bath]}}]", ""),
    (
        f"{_TEST}\n",
        f"{_TEST}\n      - place: {{exposure: wet}}\n",
        "fails by more than one test, so that it proves none",
    ),
    ("silent: [{}]", "silent: [{}, {}]", "examples/silent/1: asks what examples/silent/0 asks already"),
    (_RULE, "", "does on the same joints what environment/joint-is-wet-rated does already"),
]
_COPY = """\
  - id: wet-rated-again
    when: [{condition: {place: wet}}]
    demand: {places: {includes: wet}}
    says: Here too.
    source: common-practice
    examples: {fires: [{place: {exposure: buried}}], silent: [{}]}
"""


@pytest.fixture(scope="module")
def rulesets(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_rulesets(tmp_path_factory.mktemp("mistakes") / "rulesets")


def tried(rulesets: Path, *texts: str) -> Tried:
    names = ("our-firm", "second", "third")
    files = [AmendmentText(name, f"{name}.yaml", text.encode()) for name, text in zip(names, texts, strict=False)]
    return run_trial(Trial(rulesets, None, "nfpa70-2023", (), None, tuple(files)))


def test_without_a_mistake_nothing_is_told(rulesets: Path) -> None:
    found = tried(rulesets, _FIRM)
    assert (found.faults, found.told["notes"]) == ([], [])


@pytest.mark.parametrize(("written", "instead", "line", "says", "write"), _FAULTS)
def test_a_mistake_is_told_where_it_stands_with_what_to_write(
    rulesets: Path, written: str, instead: str, line: int, says: str, write: str | None
) -> None:
    assert written in _FIRM
    found = tried(rulesets, _FIRM.replace(written, instead, 1)).faults
    told = [fault for fault in found if says in fault.says]
    assert told, [*map(str, found)]
    assert {(fault.file, fault.line) for fault in told} == {("our-firm.yaml", line)}
    nearest = {fault.says.nearest for fault in told if isinstance(fault.says, Says)}
    assert write is None or nearest == {write}
    within_the_rule = 5 < line < 14 and "not YAML" not in told[0].says and "twice" not in told[0].says
    assert not within_the_rule or all(fault.part for fault in told if "anchors" not in fault.says)


def test_there_are_enough_of_them() -> None:
    assert len(_FAULTS) + len(_NOTED) - 1 >= 45


@pytest.mark.parametrize(("written", "instead", "says"), _NOTED)
def test_what_is_probably_not_meant_is_noted(rulesets: Path, written: str, instead: str, says: str) -> None:
    text = _FIRM.replace(written, instead or _COPY, 1)
    if "proves none" in says:
        text = text.replace(_FIRES, "[{joint: {tags: [kitchen]}, place: {exposure: wet}}]")
    found = tried(rulesets, text)
    assert found.faults == []
    notes: list[dict[str, Any]] = [note for note in found.told["notes"] if says and says in note["says"]]
    assert bool(notes) is bool(says)
    line = text[: text.index("silent:")].count("\n") + 1 if "examples/" in str(notes) else 5
    assert all((note["file"], note["line"]) == ("our-firm.yaml", line) and note["write"] for note in notes)


def test_all_of_a_file_and_of_every_file_is_told_at_once(rulesets: Path) -> None:
    first = _FIRM.replace(_TEST, "place: {expossure: wet}").replace("push-in}", "pushin}").replace("about:", "abuot:")
    second = _FIRM.replace("our-firm", "second").replace(_FIRES, "[{}]")
    third = _FIRM.replace("our-firm", "third").replace("hard;", "hard {joint.cout};")
    found = tried(rulesets, first, second, third).faults
    assert {(fault.file, fault.line) for fault in found} >= {
        ("our-firm.yaml", 1),
        ("our-firm.yaml", 2),
        ("our-firm.yaml", 7),
        ("our-firm.yaml", 8),
        ("third.yaml", 9),
    }
    assert {(fault.file, fault.line) for fault in tried(rulesets, first, second).faults} >= {("second.yaml", 12)}


def test_what_does_not_go_with_another_edition_that_it_is_for_is_noted(rulesets: Path, tmp_path: Path) -> None:
    folder = small_rulesets(tmp_path / "rulesets")
    text, rule = (folder / RULES).read_text(), "  - id: joint-is-wet-rated\n"
    (folder / RULES).write_text(text.replace(rule, f"{rule}    editions: 2020-\n"))
    gone = _FIRM.replace("rules:", "withdraws: [{rule: environment/joint-is-wet-rated, says: Why.}]\nrules:")
    assert tried(rulesets, gone).told["notes"] == []
    newest = "ruleset: newest\nabout: Us.\namends: nfpa70-2023\n" + _RULE.join(["rules:\n", ""])
    (folder / "amendments").mkdir()
    (folder / "amendments" / "newest.yaml").write_text(newest)
    file = AmendmentText("our-firm", "our-firm.yaml", gone.replace(_RULE, "").replace("rules:\n", "").encode())
    over = run_trial(Trial(folder, None, "nfpa70-2023", ("newest",), None, (file,)))
    assert [note["says"].partition(":")[0] for note in over.told["notes"]] == ["over nfpa70-2017"]
    (folder / "amendments" / "newest.yaml").unlink()
    (note,) = tried(folder, gone).told["notes"]
    assert (note["file"], note["line"]) == ("our-firm.yaml", 4)
    assert note["says"].startswith("over nfpa70-2017: withdraws: nfpa70-2017 has no such rule")


def test_what_one_file_takes_out_of_another_is_told_where_it_does(rulesets: Path) -> None:
    by = "by: {authority: A, document: B, section: '1', obtained: page}\n"
    takes = f"withdraws: [{{rule: our-firm/{_ID}, says: Not we.}}]\n"
    for right in ("", by):
        second = f"ruleset: second\nabout: Us.\namends: every-code\n{right}{takes}"
        found = tried(rulesets, _FIRM, second)
        (note,) = found.told["notes"]
        assert (found.faults, note["file"], note["line"]) == ([], "second.yaml", 4 + bool(right))
        assert note["says"].startswith(f"our-firm/{_ID} (our-firm.yaml:5) is withdrawn")
    county = _FIRM.replace("rules:", f"{by}rules:")
    (fault,) = tried(rulesets, county, f"ruleset: second\nabout: Us.\namends: every-code\n{takes}").faults
    assert (fault.file, fault.line) == ("second.yaml", 4)
    assert f"our-firm/{_ID} rests on B 1 of A, which only an authority sets aside" in fault.says


def test_the_rules_beneath_are_as_they_were(rulesets: Path) -> None:
    assert "buried-is-wet" in (rulesets / RULES).read_text()
