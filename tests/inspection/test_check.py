"""The answer to a check: its verdict, its address, what stands beside it, whole and brief."""

from __future__ import annotations

from typing import Any

import orjson
import pytest

from splicewright import check_splice, choose
from splicewright.answering import Chooser, shipped_chooser
from splicewright.json_pointer import value_at
from splicewright.rulebook.examples import PLAIN
from tests.as_sent import apart_from_as_sent
from tests.inspection.checking import LEVER, TWIST_ON, checked, given, rules

TOLD = ("violations", "unproven", "confirmed", "cautions", "referrals")


def test_the_parts_stand_in_one_order() -> None:
    assert list(checked(LEVER, id="a")) == [
        "id", "answer", "verdict", "assumed", "judged", "counts", "proposed", "violations", "unproven", "confirmed",
        "unjudged", "options", "cautions", "referrals", "rules", "rulesets", "catalogue",
    ]  # fmt: skip


def test_the_address_covers_the_proposal_and_how_much_is_told_but_not_the_id() -> None:
    answer = checked(LEVER)["answer"]
    assert checked(LEVER, id="b")["answer"] == answer
    others = [
        checked({**LEVER, "taped": False}),
        checked(LEVER, limit=1),
        checked(LEVER, explain="brief"),
        checked(LEVER, include=["rules"]),
        checked(LEVER, only={"methods": ["lever"]}),
        choose(PLAIN),
    ]
    assert len({answer, *(other["answer"] for other in others)}) == len(others) + 1


def test_two_lengths_that_differ_in_unit_have_addresses_of_their_own() -> None:
    assert checked({**LEVER, "strip": {"value": 1.1, "unit": "cm"}})["answer"] != checked(LEVER)["answer"]


@pytest.mark.parametrize("explain", ["full", "brief"])
def test_what_was_judged_is_told_as_the_choice_tells_it(explain: str) -> None:
    question = {
        "joint": {"conductors": [{"size": "12 AWG", "insulation": "THHN"}, {"size": "14 AWG"}]},
        "explain": explain,
    }
    answer = checked(LEVER, **question)
    assert answer["judged"] == choose(question)["judged"]
    asked = {one["concern"]: one["asks"] for one in answer["judged"] if "asks" in one}
    assert asked == {
        "overcurrent": "/circuit/overcurrent_amps",
        "continuous-load": "/circuit/continuous",
        "ampacity": "/circuit/amps",
        "many-conductors": "/place/current_carrying",
        "box-room": "/place/room",
    }


def test_what_is_to_be_stated_of_a_conductor_is_pointed_to_as_it_was_sent() -> None:
    ends = [{"size": "12 AWG", "insulation": "THHN"}, {"size": "14 AWG"}]
    for at, conductors in ((1, ends), (0, ends[::-1])):
        answer = checked(LEVER, joint={"conductors": conductors}, circuit={"amps": 8})
        (ampacity,) = [one for one in answer["judged"] if one["concern"] == "ampacity"]
        assert ampacity["asks"] == f"/joint/conductors/{at}/insulation"


def test_the_options_beside_are_those_of_the_choice_less_the_one_proposed() -> None:
    chosen = choose({**PLAIN, "limit": 100})
    answer = checked(LEVER, limit=100)
    assert answer["options"] == [option for option in chosen["options"] if option["connector"] != "lever-2-port"]
    assert answer["counts"]["options"] == len(answer["options"])


def test_options_beyond_the_limit_are_counted() -> None:
    answer, whole = checked(LEVER, limit=2), checked(LEVER, limit=100)
    assert answer["options"] == whole["options"][:2]
    assert answer["counts"] == whole["counts"]
    assert whole["counts"]["options"] == len(whole["options"])


def test_the_fill_of_the_connector_is_told_and_a_reading_marked() -> None:
    conductors = {"conductors": [{"size": "12 AWG"}, {"size": "13 AWG"}]}
    assert checked(TWIST_ON)["proposed"]["fill"]["basis"] == "listed"
    assert checked(TWIST_ON, joint=conductors)["proposed"]["fill"]["basis"] == "bracketed"
    assert "fill" not in checked({"connector": "twist-on-extra-large"})["proposed"]


def test_every_rule_that_is_cited_is_told_with_its_source() -> None:
    answer = checked({**TWIST_ON, "tugged": False, "signs": ["stray-strands"]}, circuit={"serves": "motor"})
    cited = {rule for part in TOLD for rule in rules(answer[part])}
    cited |= {one["compared"]["tolerance"] for one in answer["confirmed"] if "compared" in one}
    cited |= {
        one["rule"]
        for option in answer["options"]
        for part in ("meets", "preferred", "make_up")
        for one in option[part]
    }
    assert set(answer["rules"]) == cited


def test_points_stand_in_the_order_of_their_rules() -> None:
    answer = checked(
        {"connector": "push-in-2-port", "signs": ["stray-strands", "conductor-moves"]}, circuit={"volts": 1000}
    )
    for part in ("violations", "unproven", "confirmed"):
        found = [one["rule"] for one in answer[part]]
        assert found
        assert found == sorted(found)


def test_brief_leaves_out_proofs_and_what_is_borne_out_and_stays_small() -> None:
    load = {"amps": 12, "overcurrent_amps": 20}
    joint = {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]}
    told: dict[str, Any] = {"id": "hoist-motor-lead", "circuit": load, "joint": joint}
    answer, whole = (checked({**TWIST_ON, "tugged": False}, explain=explain, **told) for explain in ("brief", "full"))
    assert not {"rules", "confirmed"} & set(answer)
    assert answer["counts"] == whole["counts"]
    assert whole["counts"]["confirmed"] == len(whole["confirmed"]) > 0
    for part in ("violations", "unproven"):
        assert [{key: one[key] for key in one if key != "from"} for one in whole[part]] == answer[part]
    assert len(orjson.dumps(answer)) < 3000


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("confirmed", {"confirmed"}),
        ("rules", {"rules"}),
        ("assumed", {"assumed"}),
        ("judged", {"judged"}),
        ("cautions", {"cautions"}),
        ("fill", {"proposed", "options"}),
        ("meets", {"options"}),
        ("preferred", {"options"}),
        ("make_up", {"options"}),
        ("proofs", {"violations", "unproven"}),
        ("digests", {"rulesets", "catalogue"}),
        ("refusals", set()),
        ("findings", set()),
    ],
)
def test_what_is_included_adds_to_its_parts_and_to_nothing_else(name: str, parts: set[str]) -> None:
    proposal = {"connector": "twist-on-medium", "tugged": False, "pre_twisted": True}
    brief, some = (checked(proposal, **said) for said in ({"explain": "brief"}, {"include": [name]}))
    assert {part for part in {**brief, **some} if brief.get(part) != some.get(part)} == {"answer", *parts}


def test_what_a_check_says_to_include_goes_before_what_the_call_says() -> None:
    said = check_splice(given(LEVER, include=["rules"]), explain="full", include=["confirmed"])
    assert said == checked(LEVER, include=["rules"])
    called = check_splice(given(LEVER), explain="brief", include=["confirmed"])
    assert "confirmed" in called
    assert called["answer"] == checked(LEVER, include=["confirmed"])["answer"]


def test_every_point_leads_to_what_was_sent_or_assumed_the_proposal_first() -> None:
    proposal = {"connector": "push-in-2-port", "signs": ["stray-strands"], "tugged": False}
    question = {"circuit": {"volts": 1000}, "place": {"exposure": "wet"}}
    answer = checked(proposal, **question)
    points = [one for part in TOLD for one in answer[part]]
    pointers = [pointer for one in points for pointer in one.get("at", ())]
    assert {one["asks"] for one in answer["unproven"]} == {"/proposal/strip"}
    for pointer in pointers:
        assert value_at(given(proposal, **question), pointer) is not None or pointer in answer["assumed"], pointer
    for one in answer["violations"]:
        of_proposal = [pointer.startswith("/proposal/") for pointer in one["at"]]
        assert of_proposal == sorted(of_proposal, reverse=True)
    assert any(one["at"] == ["/proposal/signs"] for one in answer["violations"])


def test_narrowed_check_offers_only_what_is_carried_beside_the_splice_itself() -> None:
    carried = ["lever-2-port", "push-in-2-port"]
    answer, whole = checked(LEVER, only={"connectors": carried}, limit=100), checked(LEVER, limit=100)
    assert [one["connector"] for one in answer["options"]] == ["push-in-2-port"]
    assert answer["verdict"] == whole["verdict"] == "sound"


def test_another_chooser_may_answer() -> None:
    chooser = Chooser()
    answer = check_splice(given(LEVER), chooser)
    assert answer["rulesets"]["digest"] == chooser.engine("nfpa70-2023").rulebook.digest
    assert answer["catalogue"]["digest"] == chooser.catalogue("shop").digest


def test_the_order_of_conductors_and_signs_changes_nothing() -> None:
    ends = [{"size": "12 AWG"}, {"size": "14 AWG", "construction": "stranded"}, {"size": "12 AWG"}]
    signs = ["stray-strands", "conductor-moves"]
    first = checked({**TWIST_ON, "signs": signs}, joint={"conductors": ends})
    second = checked({**TWIST_ON, "signs": signs[::-1]}, joint={"conductors": ends[::-1]})
    assert orjson.dumps(apart_from_as_sent(first)) == orjson.dumps(apart_from_as_sent(second))


def test_unsound_beats_unproven() -> None:
    answer = checked({"connector": "lever-2-port", "tugged": False})
    assert (answer["verdict"], {one["asks"] for one in answer["unproven"]}) == ("unsound", {"/proposal/strip"})


def test_a_referral_leaves_nothing_to_say_and_stays_unproven() -> None:
    answer = checked(LEVER, circuit={"kind": "fire-alarm"})
    assert answer["verdict"] == "unproven"
    assert [one for one in answer["unproven"] if "asks" not in one]
    assert answer["options"] == []


@pytest.mark.parametrize("method", ["push-in", "lever"])
def test_where_no_connector_of_a_method_would_do_each_reason_names_those_it_holds_for(method: str) -> None:
    answer = checked({"method": method}, circuit={"volts": 1000})
    listed = [one.id for one in shipped_chooser().catalogue("shop").connectors if one.method == method]
    (volts,) = [violation for violation in answer["violations"] if violation["rule"] == "ratings/connector-volts"]
    assert set(volts["connectors"]) <= set(listed)
    told = {connector for violation in answer["violations"] for connector in violation["connectors"]}
    assert told == set(listed)


def test_a_refused_connector_is_told_every_reason_that_the_choice_tells() -> None:
    question: dict[str, Any] = {"conductor": 0, "circuit": {"volts": 1000}, "place": {"exposure": "wet"}}
    question.pop("conductor")
    chosen = choose({**PLAIN, **question})
    (reasons,) = [refusal["because"] for refusal in chosen["refusals"] if refusal["connector"] == "lever-2-port"]
    answer = checked(LEVER, **question)
    assert {(reason["rule"], reason["says"]) for reason in reasons} <= {
        (violation["rule"], violation["says"]) for violation in answer["violations"]
    }
