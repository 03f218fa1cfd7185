"""Files of amendments are read strictly: every fault with its line, the part and what to write."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from marshmallow import Schema, fields

from splicewright import shipped
from splicewright.faults import Faults
from splicewright.rulebook.amendment_files import (
    FOLDER,
    MOST_KNOWN,
    AmendmentFiles,
    AmendmentSchema,
    AmendmentText,
    AuthoritySchema,
    read_amendment,
    read_amendment_text,
)
from splicewright.rulebook.schema import SourceSchema
from splicewright.strict_fields import Text
from splicewright.yaml_text import cut_texts

HEAD = "ruleset: ours\nabout: What we ask.\namends: every-code\n"
RULE = """rules:
  - id: no-push-ins
    when: [{joint: {tags: {includes: kitchen}}}]
    bar: {method: push-in}
    says: We use levers there.
    source: common-practice
    examples: {fires: [{joint: {tags: [kitchen]}}], silent: [{}]}
"""
BY = "by: {authority: A, document: B, section: '1', obtained: page}\n"


def read(text: str, file: str = "rules/ours.yaml"):
    return read_amendment_text(text.encode(), file)


def faults(text: str, file: str = "rules/ours.yaml") -> list[str]:
    with pytest.raises(Faults) as raised:
        read(text, file)
    return [str(fault) for fault in raised.value.faults]


#: Every text that a file may have, each on a line of its own.
_TEXTS = """\
ruleset: ours
about: What we ask.
amends: every-code
by:
  authority: County
  document: Ordinance 12
  section: '4'
  obtained: page
  checked: 2026-01-02
withdraws:
  - rule: service/clear-housing-shows-the-ends
    says: Not here.
    by:
      authority: County
      document: Ordinance 12
      section: '4'
      obtained: page
      checked: 2026-01-02
rules:
  - id: no-push-ins
    when: [{joint: {tags: {includes: kitchen}}}]
    excuses:
      - place: {site: [indoors]}
        because: It is dry there.
    step:
      phase: tug
      do: Tug at each.
      value: 6 in
    says: We use levers there.
    note: Since last year.
    source:
      document: Ordinance 12
      section: '4'
      obtained: page
      checked: 2026-01-02
    by:
      authority: County
      document: Ordinance 12
      section: '4'
      obtained: page
      checked: 2026-01-02
    replaces: service/clear-housing-shows-the-ends
    succeeds: environment/buried-is-wet
    examples: {fires: [{joint: {tags: [kitchen]}}], silent: [{}]}
"""
_CLOSED = ("obtained", "phase", "amends", "place", "when", "examples")
_TEXT_LINES = [
    (number, key)
    for number, line in enumerate(_TEXTS.splitlines(), start=1)
    if (key := line.strip(" -").partition(":")[0]) not in _CLOSED and line.rstrip()[-1] != ":"
]


def test_every_text_of_the_schemas_is_among_those_that_are_crossed():
    def texts(schema: Schema) -> Iterator[str]:
        for key, field in schema.fields.items():
            inner = field.inner if isinstance(field, fields.List) else field
            if isinstance(inner, fields.Nested):
                yield from texts(inner.schema)
            elif isinstance(inner, Text):
                yield key

    named = {*texts(AmendmentSchema()), *texts(AuthoritySchema()), *texts(SourceSchema())}
    assert named | {"because", "do", "value"} == {key for _, key in _TEXT_LINES}
    assert read(_TEXTS).name == "ours"


@pytest.mark.parametrize("blank", ["", " ", "-", "\u00a0", "\u2007\u202f", "\u2060", " \u2014 ", "\u200b", "...", "\t"])
@pytest.mark.parametrize(("number", "key"), _TEXT_LINES)
def test_a_text_without_words_is_told_at_its_line(number: int, key: str, blank: str):
    lines = _TEXTS.splitlines()
    before = lines[number - 1].partition(key)[0]
    lines[number - 1] = f"{before}{key}: {json.dumps(blank)}"
    told = [one for one in faults("\n".join(lines) + "\n") if one.startswith(f"rules/ours.yaml:{number}: ")]
    assert told, faults("\n".join(lines) + "\n")


_PLAIN = ("about", "says", "note", "because", "do", "authority", "document")


@pytest.mark.parametrize(("number", "key"), [one for one in _TEXT_LINES if one[1] in _PLAIN])
def test_a_sentence_that_a_comment_cuts_is_told_and_one_in_quotes_is_whole(number: int, key: str):
    lines = _TEXTS.splitlines()
    before = lines[number - 1].partition(key)[0]
    for text, whole in (("bin #3; it was recalled", False), ("'bin #3; it was recalled'", True), ("bin#3", True)):
        lines[number - 1] = f"{before}{key}: {text}"
        if whole:
            assert read("\n".join(lines) + "\n").name == "ours"
        else:
            (told,) = faults("\n".join(lines) + "\n")
            assert told.startswith(f"rules/ours.yaml:{number}: ")
            assert "ends before #, behind which all is a comment; put the whole text into quotes" in told


def test_no_shipped_rule_or_amendment_is_cut_by_a_comment():
    files = sorted(path for path in shipped.folder("rulesets").rglob("*.yaml") if path.parent.name != "catalogues")
    assert len(files) > 30
    cut = [(path.name, at) for path in files for at in cut_texts(path.read_bytes()) if at.rpartition("/")[2] in _PLAIN]
    assert cut == []


def test_an_amendment_says_what_it_is_for_and_its_rules_are_its_own():
    found = read(HEAD + BY + RULE)
    (rule,) = found.rules
    assert (found.name, found.about, found.amends) == ("ours", "What we ask.", ("every-code",))
    assert (rule.id, rule.amendment, rule.replaces, rule.code, rule.editions) == (
        "ours/no-push-ins",
        "ours",
        None,
        None,
        None,
    )
    assert rule.by == found.by
    assert rule.cited() == {
        "source": {"kind": "common-practice"},
        "amendment": "ours",
        "by": {"authority": "A", "document": "B", "section": "1", "obtained": "page"},
    }
    assert (rule.file, rule.line) == ("rules/ours.yaml", 6)


def test_a_rule_and_a_withdrawal_may_have_a_right_of_their_own():
    own = "{authority: C, document: D, section: '2', obtained: memory}"
    text = HEAD + BY + f"withdraws:\n  - {{rule: a/b, says: Why., by: {own}}}\n  - {{rule: c/d, says: Why.}}\n" + RULE
    found = read(text.replace("    examples", f"    by: {own}\n    replaces: e/f\n    examples"))
    assert [one.by and one.by.authority for one in found.withdraws] == ["C", "A"]
    assert [one.line for one in found.withdraws] == [6, 7]
    assert (found.rules[0].by.authority, found.rules[0].replaces) == ("C", "e/f")


@pytest.mark.parametrize(
    ("amends", "holds"),
    [
        ("every-code", {"nfpa70-2017", "nfpa70-2020", "nfpa70-2023"}),
        ("nfpa70", {"nfpa70-2017", "nfpa70-2020", "nfpa70-2023"}),
        ("[nfpa70-2020, nfpa70-2023]", {"nfpa70-2020", "nfpa70-2023"}),
    ],
)
def test_it_holds_for_what_it_amends(amends: str, holds: set[str]):
    found = read(HEAD.replace("every-code", amends) + RULE)
    assert {code for code in ("nfpa70-2017", "nfpa70-2020", "nfpa70-2023") if found.holds_for(code)} == holds


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (HEAD, "rules/ours.yaml:1: changes nothing; write rules or withdraws"),
        (HEAD.replace("ours", "our") + RULE, "ruleset: is 'our'; the file's name says 'ours'"),
        (HEAD.replace("every-code", "nfpa70-2021") + RULE, '3: amends: "nfpa70-2021" is not known; did you mean'),
        (HEAD.replace("every-code", "[every-code, iec]") + RULE, '3: amends/1: "iec" is not known'),
        (HEAD.replace("every-code", "[]") + RULE, "3: amends: names nothing; use one of:"),
        (HEAD + "by: the county\n" + RULE, '4: by: "the county" is no authority; write by: {authority, document,'),
        (HEAD + "by: {authority: A}\n" + RULE, "4: by/document: is required"),
        (HEAD + "withdraws: [{rule: a/b}]\n", "4: a/b: says: is required"),
        (HEAD + "withdrawn: []\n" + RULE, "unknown key; did you mean 'withdraws'?"),
        (HEAD + RULE.replace("    bar", "    editions: 2023\n    bar"), "an amendment says once, at its head"),
        (HEAD + RULE.replace("kitchen}", "Kitchen}"), 'tags/includes: "Kitchen" is no tag: small letters'),
        (HEAD + RULE.replace("push-in}", "push-on}"), "did you mean 'push-in'?"),
        (HEAD.replace("ours", "Ours") + RULE, "is not a phrase like coastal-county"),
        ("", "the document is empty"),
        ("a: &x 1\n", "anchors and aliases are not allowed"),
        ("!!python/object/apply:os.system [true]\n", "the tag"),
        ("a: 1\n" + "#" * 250_000, "has more than 250,000 bytes"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(text: str, told: str):
    assert any(told in fault for fault in faults(text)), faults(text)


def test_every_fault_of_a_file_is_told():
    text = HEAD.replace("every-code", "iec") + RULE.replace("push-in}", "push-on}").replace("kitchen}", "Kitchen}")
    assert len(faults(text)) == 3


def test_the_files_of_a_folder_and_others_beside_them_are_known_by_name(tmp_path: Path):
    (tmp_path / "ours.yaml").write_text(HEAD + RULE)
    (tmp_path / "broken.yaml").write_text("a: [")
    theirs = AmendmentText("theirs", "x/theirs.yaml", (HEAD + RULE).replace("ours", "theirs").encode())
    again = AmendmentText("ours", "x/ours.yaml", (HEAD + RULE).encode())
    found = AmendmentFiles(tmp_path, (theirs, again))
    assert found.names == ("broken", "ours", "theirs")
    assert set(found.fit) == {"theirs"}
    assert "is called like another amendment" in str(found.faults[-1])
    assert found.amendment("theirs") is found.amendment("theirs")
    with pytest.raises(Faults, match=r"broken\.yaml:2: not YAML"):
        found.amendment("broken")
    with pytest.raises(KeyError):
        found.amendment("nobodys")


def test_a_folder_that_is_not_there_has_none(tmp_path: Path):
    assert AmendmentFiles(tmp_path / "none").names == ()


def test_too_many_are_each_refused(tmp_path: Path):
    for number in range(MOST_KNOWN + 1):
        (tmp_path / f"a{number}.yaml").write_text(HEAD.replace("ours", f"a{number}") + RULE)
    found = AmendmentFiles(tmp_path)
    assert found.fit == {}
    assert "there are 101 amendments; at most 100 can be" in str(found.faults[0])


@pytest.mark.parametrize("path", sorted((shipped.folder("rulesets") / FOLDER).glob("*.yaml")), ids=lambda one: one.stem)
def test_shipped_ones_say_that_they_are_invented(path: Path):
    assert "(Invented, as an example.)" in read_amendment(path).about
