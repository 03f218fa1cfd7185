"""A joint that no connector takes is made as the fewest joints that the catalogue can make, and hides no bar."""

from __future__ import annotations

import random
import shutil
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from splicewright import shipped
from splicewright.answering import choose, shipped_chooser
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.choice.matching import Match
from splicewright.question.model import Question, as_plain
from splicewright.question.read import read_question
from splicewright.remedies import split_search, splitting
from splicewright.remedies.splitting import Split, split
from splicewright.tables.jumpers import jumper_length
from splicewright.units import size
from tests.choice.invariants import Asking
from tests.remedies.each_remedy import remedies, tied
from tests.remedies.each_split import fewest
from tests.seeds import seeds

TWELVE = {"size": "12 AWG", "insulation": "THHN"}
GROUND = {"size": "12 AWG", "insulation": "bare"}
LEAD = {"size": "18 AWG", "construction": "fine-stranded", "insulation": "TFFN"}


def question(*conductors: dict[str, Any], **parts: Any) -> Question:
    return read_question({"joint": {"conductors": list(conductors)}, **parts}).question


def found(*conductors: dict[str, Any], **parts: Any) -> Split:
    one = split(question(*conductors, **parts), shipped_chooser().holding)
    assert one is not None
    return one


LARGE = {
    "grounded": [{**TWELVE, "count": 12, "role": "grounded"}],
    "ungrounded": [{**TWELVE, "count": 12}],
    "equipment grounding": [{**GROUND, "count": 20}],
    "insulation not stated": [{"size": "12 AWG", "count": 12, "role": "grounded"}],
    "24 of 10 AWG": [{"size": "10 AWG", "count": 24, "insulation": "THHN"}],
    "24 of aluminum": [{**TWELVE, "count": 24, "material": "aluminum"}],
    "with luminaire leads": [{**TWELVE, "count": 3}, {**LEAD, "count": 9}],
    "aluminum with copper": [{"size": "10 AWG", "count": 4, "material": "aluminum"}, {**TWELVE, "count": 6}],
    "of 4/0 AWG": [{"size": "4/0 AWG", "count": 12, "insulation": "THHN"}],
    "of mixed sizes": [{"size": "10 AWG", "count": 5}, {**TWELVE, "count": 5}, {"size": "14 AWG", "count": 5}],
    "grounds of two circuits": [{**GROUND, "count": 10}, {**GROUND, "count": 10, "circuit": "B"}],
    "a tap on one that is not cut": [{**TWELVE, "path": "through"}, {**TWELVE, "count": 11}],
    "24 kinds": [
        {"size": of, "construction": built, "insulation": letters}
        for of in ("14 AWG", "12 AWG", "10 AWG")
        for built in ("solid", "stranded")
        for letters in ("THHN", "TW", "THW", "XHHW-2")
    ],
}
LUMINAIRE = {"kind": "luminaire"}


@pytest.fixture(scope="module")
def asking() -> Asking:
    return Asking(0)


@pytest.mark.slow
@pytest.mark.parametrize("name", LARGE)
def test_split_asked_again_joint_by_joint_is_made_of_options_only(asking: Asking, name: str) -> None:
    given = {"joint": {"conductors": LARGE[name]}, "circuit": LUMINAIRE if "leads" in name else {}}
    case = asking.case({**given, "limit": 100})
    assert case.answer["outcome"] == "no-connector"
    assert [remedy["kind"] for remedy in case.answer["remedies"]] in (["split"], ["pigtail"])
    assert list(remedies(shipped_chooser(), case)) == []


def test_twelve_grounded_conductors_are_two_joints_and_one_jumper() -> None:
    one = found({**TWELVE, "count": 12, "role": "grounded"})
    assert len(one.joints) == 2
    assert [jumper.between for jumper in one.jumpers] == [(0, 1)]
    (jumper,) = one.jumpers
    assert (str(jumper.conductor.size), jumper.conductor.role, jumper.sized_by) == ("12 AWG", "grounded", "largest")
    assert (jumper.length.value, jumper.length.unit) == jumper_length()
    assert one.proven


@pytest.fixture(scope="module")
def tiny(tmp_path_factory: pytest.TempPathFactory) -> LoadedRules:
    folder = tmp_path_factory.mktemp("small") / "rulesets"
    shutil.copytree(shipped.folder("rulesets"), folder)
    shutil.copy(Path(__file__).parent / "tiny.yaml", folder / "catalogues")
    return LoadedRules(folder)


def small(seed: int) -> Question:
    """Give a joint of three to six conductors, mostly too many for the tiny catalogue."""
    rng = random.Random(seed)
    role = rng.choice(["ungrounded", "grounded", "equipment-grounding"])
    metals = rng.choice([["copper"], ["copper"], ["copper", "aluminum"], ["aluminum"]])
    kinds = [
        {
            "size": rng.choice(["14 AWG", "12 AWG", "12 AWG", "10 AWG"]),
            "material": rng.choice(metals),
            "construction": rng.choice(["solid", "solid", "stranded"]),
            "insulation": "THHN",
            "role": role,
        }
        for _ in range(rng.randint(1, 3))
    ]
    many = rng.choices(kinds, k=rng.randint(3, 6))
    circuit: dict[str, Any] = {"kind": "luminaire"}  # for which no size is too small for its device
    if metals == ["copper"] and rng.random() < 0.5:
        circuit["overcurrent_amps"] = rng.choice([15, 20, 30])
    return question(*many, catalogue="tiny", circuit=circuit)


@pytest.mark.parametrize("seed", seeds(60, fast=20))
def test_fewest_joints_are_what_trying_everything_finds(tiny: LoadedRules, seed: int) -> None:
    one = small(seed)
    if tiny.match(one).outcome != "no-connector":
        one = question(*as_plain(one)["joint"]["conductors"] * 2, catalogue="tiny", circuit=as_plain(one)["circuit"])
    parts = split(one, tiny)
    most = 4 if sum(each.count for each in one.joint.conductors) < 6 else 3
    expected = fewest(one, tiny, most)
    if parts is not None and len(parts.joints) <= most:
        assert parts.proven
        assert expected == len(parts.joints)
    else:
        assert expected is None


def test_generated_joints_are_split_into_two_three_four_and_more(tiny: LoadedRules) -> None:
    counted = Counter(len(one.joints) for seed in range(60) if (one := split(small(seed), tiny)))
    assert {2, 3, 4, 5} <= counted.keys()


def test_joint_that_no_connector_takes_for_another_reason_is_not_split(tiny: LoadedRules) -> None:
    one = question({**TWELVE, "count": 6, "insulation": "THWN-2"}, catalogue="tiny", place={"exposure": "wet"})
    assert tiny.match(one).outcome == "no-connector"
    assert split(one, tiny) is None


def test_tails_of_copper_join_aluminum_that_no_joint_takes_more_than_one_of(tiny: LoadedRules) -> None:
    one = question({**TWELVE, "count": 3, "material": "aluminum"}, catalogue="tiny")
    parts = split(one, tiny)
    assert parts is not None
    assert parts.by_tails
    assert len(parts.joints) == 4
    hub = parts.joints[0].joint.conductors
    assert [(each.count, each.material) for each in hub] == [(3, "copper")]


def test_listed_joints_are_preferred_to_bracketed_ones(tiny: LoadedRules) -> None:
    parts = split(question({"size": "10 AWG", "count": 4, "insulation": "THHN"}, catalogue="tiny"), tiny)
    assert parts is not None
    assert {option.fill.basis for option in parts.options} == {"listed"}


# --- jumpers -------------------------------------------------------------------------------


def test_jumper_is_as_large_as_the_largest_conductor_where_no_device_is_known() -> None:
    one = found({"size": "6 AWG", "insulation": "THHN"}, {**TWELVE, "count": 11})
    assert {(str(jumper.conductor.size), jumper.sized_by) for jumper in one.jumpers} == {("6 AWG", "largest")}


def test_jumper_sized_by_its_device_stands_between_no_larger_conductors() -> None:
    one = found({"size": "10 AWG", "count": 2, "insulation": "THHN"}, {**TWELVE, "count": 12}, circuit=AMPS_20)
    assert {(str(jumper.conductor.size), jumper.sized_by) for jumper in one.jumpers} == {("12 AWG", "device")}
    with_larger = [joint for joint in one.joints if joint.joint.conductors[0].size > size("12 AWG")]
    assert len(with_larger) == 1


AMPS_20 = {"overcurrent_amps": 20}


def test_no_jumper_is_smaller_than_its_device_asks() -> None:
    neutrals = [{"size": "6 AWG", "insulation": "THHN"}, {**TWELVE, "count": 11}]
    feeder = {"kind": "feeder", "overcurrent_amps": 40}  # whose neutrals may be smaller
    one = found(*({**each, "role": "grounded"} for each in neutrals), circuit=feeder)
    assert {str(jumper.conductor.size) for jumper in one.jumpers} == {"6 AWG"}


def test_equipment_grounding_jumper_is_sized_by_the_grounding_table() -> None:
    # 6 AWG stands in the joint; Table 250.122 asks 12 AWG copper behind 20 A.
    one = found({"size": "6 AWG", "insulation": "bare"}, {**GROUND, "count": 20}, circuit=AMPS_20)
    assert {str(jumper.conductor.size) for jumper in one.jumpers} <= {"6 AWG", "12 AWG"}
    smaller = [
        found({"size": "14 AWG", "insulation": "bare", "count": 20}, GROUND, circuit={"overcurrent_amps": amps})
        for amps in (15, 20)
    ]
    sizes = [{str(jumper.conductor.size) for jumper in one.jumpers} for one in smaller]
    assert "14 AWG" not in sizes[1]


def test_leads_get_a_jumper_that_suits_their_device() -> None:
    one = found({**LEAD, "count": 10}, circuit={"kind": "luminaire", "overcurrent_amps": 15})
    assert {(str(jumper.conductor.size), jumper.sized_by) for jumper in one.jumpers} == {("14 AWG", "device")}


def test_jumper_is_sound_and_has_no_end_of_its_own() -> None:
    one = found({**LEAD, "count": 10, "end": "bonded"}, circuit=LUMINAIRE)
    assert {(jumper.conductor.end, jumper.conductor.condition) for jumper in one.jumpers} == {("plain", "sound")}


def test_conductors_keep_their_circuits() -> None:
    one = found({**GROUND, "count": 10}, {**GROUND, "count": 10, "circuit": "B"})
    labels = Counter(each.circuit for joint in one.joints for each in joint.joint.conductors for _ in range(each.count))
    assert labels == {"A": 10 + 2, "B": 10}  # both ends of the jumper among them


def test_neutral_of_a_multiwire_circuit_is_asked_as_one_in_each_joint() -> None:
    one = found({**TWELVE, "count": 12, "role": "grounded"}, circuit={"multiwire": True})
    made_up = [choose(as_plain(joint))["options"][0]["make_up"] for joint in one.joints]
    assert all("grounding/multiwire-neutral-pigtailed" in {step["rule"] for step in steps} for steps in made_up)


def test_jumpers_tie_all_joints_without_a_loop() -> None:
    for conductors in LARGE.values():
        one = split(question(*conductors, circuit=LUMINAIRE), shipped_chooser().holding)
        if one is not None:
            assert tied(len(one.joints), [jumper.between for jumper in one.jumpers])


def test_what_a_split_asks_of_the_box_is_cited() -> None:
    (remedy,) = choose(as_plain(question({**TWELVE, "count": 12})))["remedies"]
    assert remedy["box_allowances"] == 0
    assert remedy["sources"]["box_allowances"]["section"] == "314.16(B)(1)"
    assert remedy["sources"]["length"] == remedy["sources"]["size"] == {"kind": "common-practice"}
    (remedy,) = choose(as_plain(question({**TWELVE, "count": 12}, place={"enclosure": "equipment"})))["remedies"]
    assert "box_allowances" not in remedy


# --- what is not split ---------------------------------------------------------------------


@pytest.mark.parametrize(
    "conductors",
    [
        [{**TWELVE, "count": 6}, {**TWELVE, "count": 6, "role": "grounded"}],
        [{**TWELVE, "count": 11}, {**GROUND}],
        [{**TWELVE, "count": 6}, {**TWELVE, "count": 6, "circuit": "B"}],
        [{**TWELVE, "count": 6, "role": "grounded"}, {**TWELVE, "count": 6, "role": "grounded", "circuit": "B"}],
        [{**GROUND, "count": 10}, {**TWELVE, "count": 10, "role": "isolated-grounding"}],
    ],
)
def test_a_short_circuit_is_never_split(conductors: list[dict[str, Any]]) -> None:
    answer = choose(as_plain(question(*conductors)))
    assert answer["outcome"] == "barred"
    assert answer["remedies"] == []


def test_three_metals_are_parted_though_the_joint_is_barred() -> None:
    metals = ("copper", "aluminum", "copper-clad-aluminum")
    one = question(*({**TWELVE, "material": metal} for metal in metals))
    answer = choose(as_plain(one))
    assert answer["outcome"] == "barred"
    assert [remedy["kind"] for remedy in answer["remedies"]] == ["pigtail"]
    for part in answer["remedies"][0]["questions"]:
        assert len({each["material"] for each in part["joint"]["conductors"]}) < 3


def test_a_bar_that_offers_no_split_keeps_three_metals_from_it() -> None:
    metals = ("copper", "aluminum", "copper-clad-aluminum")
    one = question(*({**TWELVE, "material": metal} for metal in metals), TWELVE, place={"enclosure": "raceway"})
    assert not [remedy for remedy in choose(as_plain(one))["remedies"] if "jumpers" in remedy]


@pytest.mark.parametrize("conductors", [[{**TWELVE, "count": 2}], [TWELVE]])
def test_pairs_and_single_ends_are_not_split(conductors: list[dict[str, Any]]) -> None:
    assert split(question(*conductors), shipped_chooser().holding) is None


# --- bounds ----------------------------------------------------------------------------------


def test_twenty_four_kinds_are_divided_in_order_within_bounds(monkeypatch: pytest.MonkeyPatch) -> None:
    holding = shipped_chooser().holding
    asked = []
    match = LoadedRules.match
    monkeypatch.setattr(LoadedRules, "match", lambda self, one: asked.append(one) or match(self, one))
    one = split(question(*LARGE["24 kinds"]), holding)
    assert one is not None
    assert not one.proven
    assert len(asked) <= 2 * split_search.MOST_ASKED + len(one.joints) + 1


@pytest.mark.parametrize("bound", ["MOST_ASKED", "MOST_FILLED", "MOST_STEPS"])
def test_no_split_is_found_within_a_bound_of_nothing(monkeypatch: pytest.MonkeyPatch, bound: str) -> None:
    monkeypatch.setattr(split_search, bound, 0)
    assert split(question({**TWELVE, "count": 12}), shipped_chooser().holding) is None


# --- what must not come of it ------------------------------------------------------------------


def test_no_jumper_is_made_up_where_the_tables_have_none(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(splitting, "least_for_device", lambda *_: None)
    leads = question({**LEAD, "count": 10}, circuit={"kind": "luminaire", "overcurrent_amps": 15})
    assert split(leads, shipped_chooser().holding) is None


def test_split_whose_joints_are_answered_otherwise_with_their_own_labels_is_not_given(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    match = LoadedRules.match
    shorted = question(TWELVE, {**TWELVE, "role": "grounded"})

    def answered(self: LoadedRules, one: Question) -> Match:
        labelled = any(each.circuit for each in one.joint.conductors)
        return match(self, shorted if labelled and one != whole else one)

    whole = question({**TWELVE, "count": 12})
    assert split(whole, shipped_chooser().holding) is not None
    monkeypatch.setattr(LoadedRules, "match", answered)
    assert split(whole, shipped_chooser().holding) is None
