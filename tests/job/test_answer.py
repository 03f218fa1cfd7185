"""A job's answer: outcomes, problems first, takeoff, pigtails, plan, and that it is always the same."""

from __future__ import annotations

import itertools
import math
from decimal import Decimal

import orjson
import pytest

from splicewright import choose, plan_job, shipped, work
from splicewright.answering import Chooser, shipped_chooser
from splicewright.yaml_text import read_yaml
from tests.bench.stock import large_job
from tests.job.asking import BARRED, BOX, PAIR, REFERRED, THREE, TWELVE, job, takeoff
from tests.remedies.changes import without_patches

EXAMPLE = read_yaml((shipped.folder("openapi") / "examples" / "boathouse-job.yaml").read_bytes()).value
PRICES = {
    "lever-3-port": {"each": 0.30},
    "push-in-3-port": {"pack": 17.00, "of": 100},
    "twist-on-medium": {"pack": 9.50, "of": 50},
}


def moved(findings, pointer):
    """Give findings with where they stand under a pointer."""
    return [{**one, "at": [pointer + at for at in one["at"]]} for one in findings]


def test_each_joint_has_the_outcome_and_address_that_choose_gives():
    joints = [{"joint": PAIR}, BARRED, REFERRED, {"joint": TWELVE}]
    answer = job(*joints)
    for found, asked in zip(answer["joints"], joints, strict=True):
        alone = choose({**asked, "explain": "brief"})
        assert (found["outcome"], found["answer"]) == (alone["outcome"], alone["answer"])


def test_problems_stand_before_everything_but_the_address():
    assert list(job(BARRED, id="x"))[:3] == ["id", "answer", "problems"]


def test_a_barred_joint_tells_why_and_what_would_do():
    (problem,) = job({"id": "pipe", "quantity": 4, **BARRED})["problems"]
    alone = choose({**BARRED, "explain": "brief"})
    assert (problem["pointer"], problem["id"], problem["quantity"]) == ("/joints/0", "pipe", 4)
    assert problem["because"] == moved(alone["bars"], "/joints/0") != []
    assert without_patches(problem["remedies"]) == without_patches(alone["remedies"]) != []
    (told,), (by_itself,) = ([one["patch"] for one in of["remedies"]] for of in (problem, alone))
    assert told == [{**one, "path": f"/joints/0{one['path']}"} for one in by_itself]


def test_a_referred_joint_tells_why():
    (problem,) = job(REFERRED)["problems"]
    assert problem["outcome"] == "refer"
    assert problem["because"] == moved(choose({**REFERRED, "explain": "brief"})["referrals"], "/joints/0") != []


def test_alike_work_sent_in_other_orders_tell_each_where_it_was_sent():
    one, other = {"size": "12 AWG", "role": "grounded"}, {"size": "12 AWG"}
    questions = [{"joint": {"conductors": list(some)}} for some in ((one, other), (other, one))]
    problems = job(*questions)["problems"]
    for at, (problem, asked) in enumerate(zip(problems, questions, strict=True)):
        assert problem["because"] == moved(choose(asked | {"explain": "brief"})["bars"], f"/joints/{at}")
    assert problems[0]["because"] != moved(problems[1]["because"], "")


def test_why_a_joint_in_a_box_can_not_be_made_leads_to_what_the_joint_or_its_box_says():
    hidden = {"place": {"reach": "concealed"}}
    boxes = [{**BOX, **hidden, "joints": [{"joint": PAIR}]}, {**BOX, "joints": [{"joint": PAIR, **hidden}]}]
    found = [problem["because"] for problem in plan_job({"boxes": boxes})["problems"]]
    assert [[one["at"] for one in because] for because in found] == [
        [["/boxes/0/place/enclosure", "/boxes/0/place/reach"]],
        [["/boxes/1/place/enclosure", "/boxes/1/joints/0/place/reach"]],
    ]


def test_no_connector_tells_how_many_each_reason_refuses():
    (problem,) = job({"joint": TWELVE})["problems"]
    refusals = choose({"joint": TWELVE})["refusals"]
    for one in problem["because"]:
        refused = [
            r
            for r in refusals
            if any(b["rule"] == one["rule"] and b["says"].startswith(one["says"]) for b in r["because"])
        ]
        assert one["connector_count"] == len(refused)
    counts = [one["connector_count"] for one in problem["because"]]
    assert counts == sorted(counts, reverse=True)


def test_remedies_are_looked_for_in_so_many_different_joints_only(monkeypatch):
    monkeypatch.setattr(work, "MOST_REMEDIES", 1)
    first, again, other = job(BARRED, BARRED, {**BARRED, "joint": THREE})["problems"]
    assert without_patches(first["remedies"]) == without_patches(again["remedies"]) != []
    assert "remedies_looked_for" not in first
    assert other["remedies_looked_for"] is False
    assert "remedies" not in other


def test_joints_that_ask_the_same_are_told_whole_ten_times_only():
    problems = job(*[BARRED] * 12, {**BARRED, "joint": THREE})["problems"]
    assert [problem.get("same_as") for problem in problems] == [None] * 10 + ["/joints/0"] * 2 + [None]
    (first,) = choose({**BARRED, "explain": "brief"})["bars"]
    for at, problem in enumerate(problems[:12]):
        assert problem["because"] == moved([first], f"/joints/{at}")
    for problem in problems[10:12]:
        assert not {"remedies", "remedies_looked_for"} & problem.keys()
    assert problems[12]["remedies"]


def test_without_stock_each_joint_gets_its_best_option():
    answer = job({"quantity": 24, "joint": PAIR}, {"quantity": 3, "joint": PAIR})
    best = choose({"joint": PAIR})["options"][0]["connector"]
    assert takeoff(answer) == {best: (27, 0)}
    assert answer["joints"][0]["connectors"][0]["count"] == 24


@pytest.mark.parametrize(
    ("count", "percent", "spare"), [(1, 10, 1), (10, 10, 1), (11, 10, 2), (10, 0, 0), (3, 33.3, 1), (4, 33.3, 2)]
)
def test_spares_are_rounded_up_for_each_connector(count, percent, spare):
    answer = job({"quantity": count, "joint": PAIR}, stock={"spare_percent": percent})
    assert list(takeoff(answer).values()) == [(count, spare)]
    assert spare == math.ceil(Decimal(count) * Decimal(str(percent)) / 100)


def test_packs_are_whole_and_what_is_over_may_be_bought_singly():
    answer = job({"quantity": 46, "joint": THREE}, stock={"aim": "least-cost", "prices": PRICES, "spare_percent": 10})
    single, packed = answer["takeoff"]
    # A pack of 50 is enough for 45 joints and their spares; the last joint and its spare are cheaper singly.
    assert (packed["connector"], packed["count"], packed["spare_count"]) == ("twist-on-medium", 45, 5)
    assert (packed["pack_count"], packed["per_pack"], packed["bought_count"], packed["cost"]) == (1, 50, 50, 9.5)
    assert (single["connector"], single["count"], single["spare_count"], single["cost"]) == ("lever-3-port", 1, 1, 0.6)
    assert answer["cost"] == 10.1
    assert [use["count"] for use in answer["joints"][0]["connectors"]] == [1, 45]


def test_money_adds_up_without_drift():
    answer = job(
        {"quantity": 3, "joint": THREE}, stock={"prices": {"lever-3-port": {"each": 0.1}}, "carry": ["lever-3-port"]}
    )
    assert answer["cost"] == 0.3


def test_with_fewest_types_each_joint_gets_its_best_option_among_those_carried():
    answer = job({"joint": PAIR}, {"joint": THREE}, stock={})
    held = {one["connector"] for one in answer["stock_plan"]["types"]}
    for joint, asked in zip(answer["joints"], (PAIR, THREE), strict=True):
        options = [option["connector"] for option in choose({"joint": asked, "limit": 100})["options"]]
        best = next(option for option in options if option in held)
        (use,) = joint["connectors"]
        assert (use["connector"], use["rank"]) == (best, options.index(best) + 1)


def test_every_joint_that_can_be_made_has_an_option_among_the_types_of_the_plan():
    answer = plan_job(EXAMPLE)
    held = {one["connector"] for one in answer["stock_plan"]["types"]}
    made = [joint for joint in answer["joints"] if joint["outcome"] == "options"]
    assert len(made) > 15
    assert {use["connector"] for one in made for use in one["connectors"]} <= held


def test_the_counts_of_joints_takeoff_and_plan_agree():
    for aim in ("fewest-types", "least-cost"):
        answer = plan_job({**EXAMPLE, "stock": {**EXAMPLE["stock"], "aim": aim}})
        uses = [use for joint in answer["joints"] for use in joint.get("connectors", ())]
        counted = {
            c: sum(use["count"] for use in uses if use["connector"] == c) for c in {use["connector"] for use in uses}
        }
        assert counted == {one["connector"]: one["count"] for one in answer["takeoff"]}
        assert answer["counts"]["made"] == sum(counted.values())
        assert answer["stock_plan"]["cost"] == answer["cost"]
        assert answer["stock_plan"]["ties_settled"]


def test_least_cost_is_no_dearer_than_fewest_types():
    few, least = (
        plan_job({**EXAMPLE, "stock": {**EXAMPLE["stock"], "aim": aim}}) for aim in ("fewest-types", "least-cost")
    )
    assert least["cost"] < few["cost"]


def test_a_joint_without_a_priced_option_is_a_problem_and_keeps_its_best_option():
    prices = {"direct-burial-resin-kit": {"each": 20}}
    answer = job(
        {"joint": PAIR},
        {"joint": TWELVE | {"conductors": [{"size": "14 AWG", "count": 8}]}},
        stock={"aim": "least-cost", "prices": prices},
    )
    (problem,) = answer["problems"]
    assert (problem["pointer"], problem["outcome"]) == ("/joints/1", "no-price")
    assert answer["unpriced"] == [answer["joints"][1]["connectors"][0]["connector"]]
    assert answer["unpriced"][0] in problem["connectors"]


@pytest.mark.parametrize("aim", ["fewest-types", "least-cost"])
def test_a_plan_ranks_its_joints_as_they_show_it(aim):
    prices = {"lever-5-port": {"each": 0.4}, "push-in-8-port": {"each": 0.2}, "twist-on-large": {"each": 0.3}}
    joints = [
        {"quantity": 3, "joint": PAIR},
        {"quantity": 2, "joint": THREE},
        {"quantity": 4, "joint": PAIR, "place": {"movement": "vibrating"}},
    ]
    answer = job(*joints, stock={"aim": aim, "prices": prices})
    uses = [use for joint in answer["joints"] for use in joint["connectors"]]
    made = sum(use["count"] for use in uses)
    plan = answer["stock_plan"]
    assert plan["mean_rank"] == round(sum(use["rank"] * use["count"] for use in uses) / made, 2)
    assert plan["counts"] == {
        "made": made,
        "not_made": 0,
        "first_choices": sum(use["count"] for use in uses if use["rank"] == 1),
    }
    assert plan["mean_rank"] > 1


def test_what_is_named_in_a_job_has_the_name_that_its_catalogue_gives():
    answer = plan_job(EXAMPLE)
    names = {one.id: one.name for one in shipped_chooser().catalogue("shop").connectors}
    plan = answer["stock_plan"]
    named = [*answer["takeoff"], *plan["types"], *plan["covers"]]
    named += [one for other in plan["alternatives"].values() for one in other["types"]]
    named += [use for joint in answer["joints"] for use in joint.get("connectors", ())]
    assert len(named) > 20
    assert all(one["name"] == names[one["connector"]] for one in named)


def test_what_is_carried_without_a_price_is_not_free():
    answer = job({"joint": THREE}, stock={"aim": "least-cost", "prices": PRICES, "carry": ["lever-5-port"]})
    assert takeoff(answer) == {"lever-3-port": (1, 0)}
    assert (answer["cost"], answer["unpriced"]) == (0.3, [])


def test_what_is_carried_without_a_price_is_used_where_nothing_else_will_do_and_told():
    prices = {"lever-3-port": {"each": 1}}  # it takes no joint of eight
    eight = {"conductors": [{"size": "14 AWG", "count": 8}]}
    (carried, *_) = job({"joint": eight}, stock={})["takeoff"]
    stock = {"aim": "least-cost", "prices": prices, "carry": [carried["connector"]]}
    answer = job({"joint": eight}, stock=stock)
    assert list(takeoff(answer)) == [carried["connector"]]
    assert (answer["cost"], answer["unpriced"], answer["problems"]) == (0, [carried["connector"]], [])


def test_one_type_fewer_names_the_joints_it_leaves():
    joints = (
        {"id": "small", "quantity": 5, "joint": {"conductors": [{"size": "14 AWG", "count": 2}]}},
        {"id": "large", "joint": {"conductors": [{"size": "250 kcmil", "count": 2}]}},
    )
    fewer = job(*joints, stock={})["stock_plan"]["alternatives"]["fewer"]
    assert fewer["not_made"] == ["large"]
    assert (fewer["counts"]["made"], fewer["counts"]["not_made"]) == (5, 1)
    assert sum(one["joint_count"] for one in fewer["types"]) == 5


def test_pigtails_are_counted_with_length_and_color_of_grounding():
    bare = {"conductors": [{"size": "12 AWG", "count": 3, "insulation": "bare"}]}
    answer = job(
        {"quantity": 5, "joint": bare, "pigtails": [{"size": "12 AWG", "role": "equipment-grounding", "count": 2}]}
    )
    (tail,) = answer["pigtails_and_jumpers"]
    assert (tail["count"], tail["color"]) == (10, "green or bare")
    assert tail["size"] == {"value": "12", "unit": "AWG"}
    assert tail["color_source"]["section"] == "250.119"
    assert tail["total"] == {"value": 10 * tail["length"]["value"], "unit": tail["length"]["unit"]}
    assert tail["source"] == {"kind": "common-practice"}


def test_other_roles_have_no_color():
    answer = job({"joint": PAIR, "pigtails": [{"size": "12 AWG"}]})
    assert "color" not in answer["pigtails_and_jumpers"][0]


def test_pigtails_of_a_joint_that_is_not_made_are_not_counted():
    assert job({**BARRED, "pigtails": [{"size": "12 AWG"}]})["pigtails_and_jumpers"] == []


def test_an_overfilled_joint_is_counted_as_what_it_splits_into_where_that_is_asked_for():
    answer = job({"quantity": 3, "joint": TWELVE}, split_overfilled=True)
    (joint,) = answer["joints"]
    assert answer["problems"] == []
    assert joint["outcome"] == "split"
    jumpers = answer["pigtails_and_jumpers"]
    assert [(jumper["kind"], jumper["role"], jumper["count"]) for jumper in jumpers] == [
        ("jumper", "grounded", 3 * (len(joint["joints"]) - 1))
    ]
    uses = [use for part in joint["joints"] for use in part["connectors"]]
    assert (
        sum(use["count"] for use in uses)
        == sum(count for count, _ in takeoff(answer).values())
        == 3 * len(joint["joints"])
    )


def test_without_being_asked_nothing_is_split():
    answer = job({"joint": TWELVE})
    assert answer["takeoff"] == []
    assert "split" in {remedy["kind"] for remedy in answer["problems"][0]["remedies"]}


def test_cautions_are_told_once_and_full_names_their_joints():
    answer = job({"id": "a", "joint": PAIR}, {"id": "b", "quantity": 3, "joint": THREE}, explain="full")
    keys = [(caution["rule"], caution["says"]) for caution in answer["cautions"]]
    assert len(keys) == len(set(keys))
    assert any(caution["joints"] == ["a", "b"] for caution in answer["cautions"])
    times = {"a": 1, "b": 3}
    assert all(one["joint_count"] == sum(map(times.get, one["joints"])) for one in answer["cautions"])


@pytest.mark.slow
def test_the_same_job_gives_the_same_bytes_from_another_process_state():
    one, other = (orjson.dumps(plan_job(EXAMPLE, Chooser())) for _ in range(2))
    assert one == other == orjson.dumps(plan_job(EXAMPLE, shipped_chooser()))


def test_the_order_of_conductors_does_not_change_the_answer():
    mixed = [{"size": "12 AWG", "count": 2}, {"size": "14 AWG"}]
    found = [job({"joint": {"conductors": list(some)}})["answer"] for some in itertools.permutations(mixed)]
    assert found[0] == found[1]


@pytest.mark.parametrize(
    "change",
    [
        {"code": "nfpa70-2017"},
        {"defaults": {"place": {"site": "outdoors"}}},
        {"stock": {}},
        {"stock": {"spare_percent": 1}},
        {"stock": {"effort": 2}},
        {"explain": "full"},
        {"boxes": [BOX]},
        {"split_overfilled": True},
        {"joints": [{"joint": PAIR, "quantity": 2}]},
        {"joints": [{"joint": PAIR, "pigtails": [{"size": "12 AWG"}]}]},
        {"joints": [{"joint": PAIR}, {"joint": 1}]},
    ],
)
def test_the_address_is_of_all_that_decides_the_answer(change):
    plain = {"joints": [{"joint": PAIR}]}
    assert plan_job(plain)["answer"] != plan_job({**plain, **change})["answer"]


@pytest.mark.parametrize("change", [{"id": "x"}, {"code": "nfpa70-2023"}])
def test_the_address_is_not_of_what_does_not_decide(change):
    plain = {"joints": [{"joint": PAIR}]}
    assert plan_job(plain)["answer"] == plan_job({**plain, **change})["answer"]


def test_the_job_is_not_changed():
    before = orjson.dumps(EXAMPLE)
    plan_job(EXAMPLE)
    assert orjson.dumps(EXAMPLE) == before


def test_questions_that_repeat_are_decided_once(monkeypatch):
    chooser = Chooser()
    asked = []
    match = chooser.holding.match
    monkeypatch.setattr(chooser.holding, "match", lambda question: asked.append(question) or match(question))
    plan_job({"joints": [{"joint": PAIR}] * 50}, chooser)
    assert len(asked) == 1


@pytest.mark.slow
def test_a_job_of_two_thousand_joints_is_answered_whole():
    answer = plan_job(large_job(2000, 100))
    assert len(answer["joints"]) == 2000
    assert answer["stock_plan"]["proven_optimal"]


def test_a_job_without_any_joint_that_can_be_made_has_an_empty_plan():
    answer = job(BARRED, stock={"carry": ["lever-3-port"]})
    plan = answer["stock_plan"]
    assert [one["connector"] for one in plan["types"]] == ["lever-3-port"]
    assert plan["alternatives"] == {}
    assert plan["counts"] == {"made": 0, "not_made": 0}
    assert "mean_rank" not in plan
    assert answer["takeoff"] == []
