"""Amendments are laid from left to right, by right where a document stands behind; what does not fit is told."""

from __future__ import annotations

import pytest

from splicewright import shipped
from splicewright.faults import Faults
from splicewright.rulebook import load_rulebook
from splicewright.rulebook.amendment_files import Amendment, read_amendment, read_amendment_text
from splicewright.rulebook.amendment_stack import lay

BASE = load_rulebook("nfpa70-2023")
BY = "by: {authority: County, document: Ordinance 12, section: '4', obtained: page}\n"
SHIPPED = read_amendment(shipped.folder("rulesets") / "amendments" / "coastal-county.yaml")
CLEAR = "service/clear-housing-shows-the-ends"  # a preference of common practice
DEPTH = next(rule.id for rule in BASE.rules if rule.effect.kind == "bar" and rule.source.document)


def amendment(name: str, body: str, *, by: bool = False, amends: str = "every-code") -> Amendment:
    text = f"ruleset: {name}\nabout: What {name} asks.\namends: {amends}\n{BY if by else ''}{body}"
    return read_amendment_text(text.encode(), f"rules/{name}.yaml")


def rule(rule_id: str, effect: str, **more: str) -> str:
    extra = "".join(f"    {key}: {value}\n" for key, value in more.items())
    return (
        f"  - id: {rule_id}\n    when: [{{place: {{site: outdoors}}}}]\n    {effect}\n    says: So we do it.\n"
        f"    source: common-practice\n{extra}"
        "    examples: {fires: [{place: {site: outdoors}}], silent: [{}]}\n"
    )


def withdraws(*rules: str) -> str:
    return "withdraws:\n" + "".join(f"  - {{rule: {one}, says: Not here.}}\n" for one in rules)


def faults(*stack: Amendment) -> list[str]:
    with pytest.raises(Faults) as raised:
        lay(BASE, stack)
    return [str(fault) for fault in raised.value.faults]


def test_nothing_laid_is_the_code_itself():
    assert lay(BASE, ()) is BASE


def test_rules_are_added_withdrawn_and_replaced():
    found = lay(
        BASE,
        [
            amendment("a", withdraws(CLEAR) + "rules:\n" + rule("bars", "bar: joint")),
            amendment("b", "rules:\n" + rule("mind", "caution: true", replaces="a/bars")),
        ],
    )
    before, after = {one.id for one in BASE.rules}, {one.id for one in found.rules}
    assert (before - after, after - before) == ({CLEAR}, {"b/mind"})
    assert [one.id for one in found.rules] == sorted(after)
    assert [(one.rule.id, one.did, one.amendment) for one in found.amended] == [
        ("a/bars", "replaced", "b"),
        (CLEAR, "withdrawn", "a"),
    ]
    assert found.amendments == ("a", "b")
    assert found.about["a"] == "What a asks."


def test_a_rule_is_withdrawn_where_what_stood_in_its_place_is():
    instead = amendment("b", "rules:\n" + rule("mind", "caution: true", replaces="a/bars"))
    again = amendment("c", "rules:\n" + rule("heed", "caution: true", replaces="b/mind"))
    bars = amendment("a", "rules:\n" + rule("bars", "bar: joint"))
    assert lay(BASE, [bars, instead, again]).withdrawn == set()
    gone = lay(BASE, [bars, instead, again, amendment("d", withdraws("c/heed"))])
    assert gone.withdrawn == {"a/bars", "b/mind", "c/heed"}


def test_the_digest_tells_which_amendments_are_laid_and_in_which_order():
    a, b = (amendment(name, "rules:\n" + rule("mind", "caution: true")) for name in "ab")
    digests = [lay(BASE, stack).digest for stack in ([a], [b], [a, b], [b, a])]
    assert len({BASE.digest, *digests}) == 5
    assert lay(BASE, [amendment("a", "rules:\n" + rule("mind", "caution: true"))]).digest == digests[0]


def test_a_rule_of_a_document_is_set_aside_by_an_authority_alone():
    (told,) = faults(amendment("ours", withdraws(DEPTH)))
    assert told.startswith(f"rules/ours.yaml:5: withdraws: {DEPTH} rests on NFPA 70 ")
    assert "which only an authority sets aside: write by: {authority, document, section, obtained}" in told
    assert DEPTH not in {one.id for one in lay(BASE, [amendment("ours", withdraws(DEPTH), by=True)]).rules}
    (told,) = faults(amendment("ours", "rules:\n" + rule("mind", "caution: true", replaces=DEPTH)))
    assert told.startswith(f"rules/ours.yaml:5: ours/mind: replaces: {DEPTH} rests on")


def test_a_rule_that_leads_to_one_of_a_document_is_too():
    waits = rule("waits", "caution: true").replace("{place: {site: outdoors}}]", "{condition: {air: salt}}]", 1)
    published = "source: {document: Ordinance 12, section: '4', obtained: page}"
    body = "rules:\n" + rule("leads", "conclude: {air: salt}") + waits.replace("source: common-practice", published)
    (told,) = faults(amendment("a", body), amendment("b", withdraws("a/leads")))
    assert "a/leads rests on Ordinance 12 4 (by way of a/waits), which only an authority sets aside" in told


def _takes(rule_id: str, way: str) -> str:
    return withdraws(rule_id) if way == "withdraws" else "rules:\n" + rule("ours", "caution: true", replaces=rule_id)


_OF_CODE = next(one.id for one in BASE.rules if one.code and not one.effect.concludes and not one.source.document)
_AT_RULE = rule("short", "bar: joint", by=BY.removeprefix("by: ").strip())


@pytest.mark.parametrize("way", ["withdraws", "replaces"])
@pytest.mark.parametrize(
    ("beneath", "rests_on"),
    [
        (amendment("cty", "rules:\n" + rule("short", "bar: joint"), by=True), "Ordinance 12 4 of County"),
        (amendment("cty", "rules:\n" + _AT_RULE), "Ordinance 12 4 of County"),
        (
            amendment("cty", "rules:\n" + rule("short", "bar: joint", replaces=DEPTH), by=True),
            "Ordinance 12 4 of County",
        ),
        (amendment("cty", "rules:\n" + rule("short", "bar: joint", replaces=_OF_CODE)), f"{_OF_CODE} of nfpa70-2023"),
    ],
)
def test_what_an_authority_says_or_stands_in_place_of_the_code_is_set_aside_by_an_authority_alone(
    beneath: Amendment, rests_on: str, way: str
):
    (told,) = faults(beneath, amendment("hou", _takes("cty/short", way)))
    assert f"{way}: cty/short rests on {rests_on}" in told
    assert told.startswith("rules/hou.yaml:5: ")
    found = lay(BASE, [beneath, amendment("hou", _takes("cty/short", way), by=True)])
    assert "cty/short" not in {one.id for one in found.rules}


def test_a_house_rule_that_leads_to_one_of_an_authority_is_set_aside_by_one_too():
    waits = rule("waits", "caution: true").replace("{place: {site: outdoors}}]", "{condition: {air: salt}}]", 1)
    waits = waits.replace("    examples", f"    {BY}    examples")
    body = "rules:\n" + rule("leads", "conclude: {air: salt}") + waits
    for way in ("withdraws", "replaces"):
        (told, *_) = faults(amendment("a", body), amendment("b", _takes("a/leads", way)))
        assert "a/leads rests on Ordinance 12 4 of County (by way of a/waits)" in told


@pytest.mark.parametrize("rule_id", [one.id for one in SHIPPED.rules])
@pytest.mark.parametrize("way", ["withdraws", "replaces"])
def test_no_rule_of_the_shipped_county_is_set_aside_by_a_house_rule(rule_id: str, way: str):
    (told,) = faults(SHIPPED, amendment("hou", _takes(rule_id, way)))
    assert f"{way}: {rule_id} rests on Ordinance 12 4 of Coastal County" in told


@pytest.mark.parametrize("way", ["withdraws", "replaces"])
def test_a_house_rule_sets_another_aside(way: str):
    house = amendment("a", "rules:\n" + rule("mine", "bar: joint", replaces=CLEAR))
    assert "a/mine" not in {one.id for one in lay(BASE, [house, amendment("hou", _takes("a/mine", way))]).rules}


@pytest.mark.parametrize(
    ("effect", "told"),
    [
        ("tolerance: {of: strip, within: 20 percent}", "allows a figure to be off"),
        ("step: {phase: strip, do: Strip it., value: {listing: strip}, proves: stripped}", "by a listed figure"),
    ],
)
def test_what_could_let_a_splice_pass_is_added_by_an_authority_alone(effect: str, told: str):
    body = "rules:\n" + rule("loose", effect)
    (one,) = faults(amendment("ours", body))
    assert told in one
    assert "write by:" in one


@pytest.mark.parametrize(
    "effect", ["bar: joint", "demand: {insulated: true}", "caution: true", "prefer: {clearly: {clear: true}}"]
)
def test_a_house_rule_that_only_asks_more_needs_no_right(effect: str):
    assert "ours/more" in {one.id for one in lay(BASE, [amendment("ours", "rules:\n" + rule("more", effect))]).rules}


def test_what_is_gone_is_told_with_who_took_it_and_what_to_write():
    first = amendment("a", withdraws(CLEAR))
    (told,) = faults(first, amendment("b", withdraws(CLEAR)))
    assert told == f"rules/b.yaml:5: withdraws: {CLEAR} was withdrawn by a (rules/a.yaml:5); leave it out"
    first = amendment("a", "rules:\n" + rule("mine", "caution: true", replaces=CLEAR))
    (told,) = faults(first, amendment("b", withdraws(CLEAR)))
    assert told == f"rules/b.yaml:5: withdraws: {CLEAR} was replaced by a (rules/a.yaml:5); write a/mine"


def test_a_rule_that_is_not_there_is_told_with_the_nearest():
    (told,) = faults(amendment("a", withdraws("service/clear-housing-shows-ends")))
    assert (
        f"nfpa70-2023 has no such rule: \"service/clear-housing-shows-ends\" is not known; did you mean '{CLEAR}'?"
        in told
    )


def test_a_name_is_used_once():
    one = amendment("a", "rules:\n" + rule("mind", "caution: true"))
    assert faults(one, one) == ["rules/a.yaml:1: is named twice"]
    (told,) = faults(amendment("service", "rules:\n" + rule("mind", "caution: true")))
    assert "has the name of a ruleset of the code" in told
    twice = amendment("a", "rules:\n" + rule("mind", "caution: true") + rule("mind", "bar: joint"))
    (told,) = faults(twice)
    assert "this id stands at rules/a.yaml:5 too" in told


def test_an_amendment_of_another_edition_is_not_laid():
    (told,) = faults(amendment("a", "rules:\n" + rule("mind", "caution: true"), amends="nfpa70-2017"))
    assert told == "rules/a.yaml:1: amends nfpa70-2017, and nfpa70-2023 is asked"


def test_a_condition_that_nothing_concludes_any_longer_is_told():
    only = next(
        one
        for one in BASE.rules
        if one.effect.concludes and sum(other.effect.concludes == one.effect.concludes for other in BASE.rules) == 1
    )
    (told,) = faults(amendment("a", withdraws(only.id), by=True))
    assert "no rule concludes {" + ": ".join(only.effect.concludes) + "}, for which" in told
    assert told.endswith("replace it by a rule that concludes it")


def test_each_verdict_of_fill_keeps_words_and_only_one():
    words = next(one for one in BASE.rules if one.effect.verdict == "too-few")
    (told,) = faults(amendment("a", withdraws(words.id), by=True))
    assert f"with {words.id} withdrawn nothing has words for too-few" in told
    again = (
        "rules:\n  - {id: few, when: always, refuse: {fill: too-few}, says: Too few., source: common-practice, "
        "examples: {fires: [{}]}}\n"
    )
    (told,) = faults(amendment("a", again))
    assert f"the words for too-few stand in {words.id} too; replace that" in told


def test_what_is_wrong_in_the_rules_themselves_is_told_by_the_line_of_the_amendment():
    body = "rules:\n" + rule("waits", "caution: true").replace(
        "{place: {site: outdoors}}]", "{condition: {moon: full}}]", 1
    )
    (told,) = faults(amendment("a", body))
    assert told.startswith("rules/a.yaml:6: a/waits: no rule concludes {moon: full}")


def test_every_fault_of_a_stack_is_told():
    stack = [amendment("a", withdraws("x/y", DEPTH)), amendment("b", withdraws("p/q"))]
    assert len(faults(*stack)) == 3
