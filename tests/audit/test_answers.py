"""What an answer, a check or a box says gets its level: error, warning or note."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright import check_splice, choose, fill_box
from splicewright.audit.answers import of_answer, of_box, of_check
from splicewright.audit.finding import Judgement

TWO: dict[str, Any] = {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]}
FULL: dict[str, Any] = {"volts": 120, "amps": 8, "overcurrent_amps": 15, "continuous": False}
PLACE: dict[str, Any] = {"room": True, "current_carrying": 3}


def judged(question: dict[str, Any]) -> list[Judgement]:
    return list(of_answer(choose(question), question))


def test_joint_with_options_and_nothing_wanting_is_not_judged() -> None:
    assert judged({"joint": TWO, "circuit": FULL, "place": PLACE}) == []


def test_bar_on_the_joint_is_an_error_with_what_would_do() -> None:
    (one,) = judged({"joint": TWO, "circuit": FULL, "place": {**PLACE, "enclosure": "raceway"}})
    assert (one.level, one.rule, one.pointer) == ("error", "access/never-inside-a-raceway", "/place/enclosure")
    assert one.hint == "may be made with place.enclosure: box"


def test_referral_is_a_warning_that_is_not_waived() -> None:
    found = judged({"joint": TWO, "circuit": {**FULL, "kind": "service"}})
    assert {(one.level, one.waivable) for one in found if one.rule.startswith("scope/")} == {("warning", False)}


def test_want_of_a_connector_is_a_warning_that_tells_the_nearest() -> None:
    found = judged({"joint": {"conductors": [{"size": "4/0 AWG", "count": 9}]}, "circuit": FULL})
    (one,) = [one for one in found if one.rule == "answer/no-connector"]
    assert one.level == "warning"
    assert "Nearest come" in one.says
    assert one.hint == "may be made as 4 joints tied by jumpers"


def test_want_of_a_connector_among_those_that_are_kept_to_is_told_as_that() -> None:
    (one,) = judged({"joint": TWO, "circuit": FULL, "place": PLACE, "only": {"methods": ["ground-crimp"]}})
    assert one.says.startswith("No connector that the question keeps to may make this joint. Nearest come ")


def test_what_was_not_judged_for_want_of_a_word_is_a_note_that_points_to_it() -> None:
    found = judged(
        {"joint": {"conductors": [TWO["conductors"][0], {"size": "12 AWG"}]}, "place": {**PLACE, "exposure": "wet"}}
    )
    notes = [(one.rule, one.pointer) for one in found if one.level == "note"]
    assert notes == [
        ("concern/overcurrent", "/circuit/overcurrent_amps"),
        ("concern/continuous-load", "/circuit/continuous"),
        ("concern/ampacity", "/circuit/amps"),
        ("concern/insulation", "/joint/conductors/1/insulation"),
    ]


def test_note_tells_the_word_what_it_decides_and_the_article() -> None:
    (one,) = judged(
        {"joint": TWO, "circuit": {name: FULL[name] for name in FULL if name != "continuous"}, "place": PLACE}
    )
    assert one.says == (
        "Not judged, since continuous is not stated: whether a load of three hours or more is met with a quarter more "
        "(210.20(A), 215.3)."
    )


def test_what_no_rule_settles_is_no_note_since_nothing_could_be_stated() -> None:
    question = {"joint": TWO, "circuit": {**FULL, "kind": "feeder", "serves": "motor"}, "place": PLACE}
    unsettled = [one["concern"] for one in choose(question)["judged"] if one.get("why") == "no-rule"]
    assert "overcurrent" in unsettled
    assert judged(question) == []


@pytest.mark.parametrize(
    ("remedies", "hint"),
    [
        ([], None),
        ([{"kind": "connector"}], None),
        (
            [{"patch": [{"op": "add", "path": "/place", "value": {"hazardous": False}}]}],
            "may be made with place.hazardous: no",
        ),
        (
            [{"patch": [{"op": "add", "path": "/place/depth", "value": {"value": 24, "unit": "in"}}]}],
            "may be made with place.depth: 24 in",
        ),
        (
            [
                {
                    "patch": [
                        {"op": "add", "path": f"/joint/conductors/{at}/{leaf}", "value": "UF"}
                        for leaf in ("cable", "insulation")
                        for at in range(2)
                    ]
                }
            ],
            "may be made with conductor.cable: UF and conductor.insulation: UF",
        ),
    ],
)
def test_hint_words_the_first_change_that_leads_to_options(remedies: list[Any], hint: str | None) -> None:
    bar = {"rule": "r/bar", "says": "So."}
    answer = {"outcome": "barred", "bars": [bar], "referrals": [], "judged": [], "remedies": remedies}
    (one,) = of_answer(answer, {"joint": TWO})
    assert one.hint == hint


def test_want_of_a_connector_is_told_also_where_no_refusal_is() -> None:
    answer = {"outcome": "no-connector", "bars": [], "referrals": [], "judged": [], "refusals": [], "counts": {}}
    (one,) = of_answer(answer, {"joint": TWO})
    assert one.says == "No connector of the catalogue may make this joint."


@pytest.fixture(scope="module")
def unsound() -> list[Judgement]:
    asked = {
        "joint": {
            "conductors": [{"size": "14 AWG", "construction": "fine-stranded", "count": 2, "insulation": "THHN"}]
        },
        "circuit": FULL,
        "proposal": {"method": "push-in"},
    }
    return list(of_check(check_splice(asked), asked))


def test_push_in_on_fine_strands_is_an_error_on_the_proposal(unsound: list[Judgement]) -> None:
    (one,) = [judgement for judgement in unsound if judgement.rule == "construction/fine-strands-splay-in-a-push-in"]
    assert (one.level, one.pointer) == ("error", "/proposal/method")
    assert one.hint
    assert one.hint.startswith("may be made with ")


def test_what_a_proposal_does_not_say_is_a_warning(unsound: list[Judgement]) -> None:
    assert ("warning", "/proposal/tugged") in {(judgement.level, judgement.pointer) for judgement in unsound}


def test_check_has_the_notes_of_its_question() -> None:
    asked = {"joint": TWO, "proposal": {"connector": "lever-2-port"}}
    notes = [one for one in of_check(check_splice(asked), asked) if one.level == "note"]
    assert notes == judged({"joint": TWO})
    assert notes


def test_referral_of_a_check_is_not_waived() -> None:
    asked = {"joint": TWO, "circuit": {**FULL, "kind": "service"}, "proposal": {"connector": "lever-2-port"}}
    found = [one for one in of_check(check_splice(asked), asked) if not one.waivable]
    assert found
    assert {one.level for one in found} == {"warning"}


def box(count: int, **more: Any) -> list[Judgement]:
    given = {
        "box": {"name": "4 x 1-1/2 square"},
        "wires": [{"count": count, "size": "12 AWG"}],
        "clamps": "none",
        **more,
    }
    return list(of_box(fill_box(given)))


def test_box_with_room_is_not_judged() -> None:
    assert box(9) == []


def test_box_too_small_is_an_error_that_names_one_that_would_do() -> None:
    (one,) = box(10)
    assert (one.level, one.rule) == ("error", "box/too-small")
    assert "The box has 21 in3, and 22.5 in3 are required; the smallest standard box that does is " in one.says


def test_box_whose_volume_is_not_stated_is_a_note() -> None:
    (one,) = of_box(fill_box({"wires": [{"count": 3, "size": "12 AWG"}], "clamps": "none"}))
    assert (one.level, one.rule, one.pointer) == ("note", "concern/box-room", "/box")


def test_size_that_has_no_volume_is_handed_over() -> None:
    found = box(1, wires=[{"count": 2, "size": "4 AWG"}])
    assert [(one.level, one.rule, one.waivable) for one in found] == [("warning", "box/handed-over", False)]


def test_box_that_falls_short_otherwise_is_an_error() -> None:
    found = box(
        2,
        box={"name": "4 x 1-1/2 square"},
        devices=[{"gangs": 1}],
        wires=[{"size": "12 AWG", "free": {"value": 1, "unit": "in"}}],
    )
    assert ("error", "box/falls-short") in {(one.level, one.rule) for one in found}
