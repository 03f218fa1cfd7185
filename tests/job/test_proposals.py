"""A joint of a job with a proposal is judged as its check alone is, whichever way it is asked."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import orjson
import pytest
from click.testing import CliRunner

from splicewright import check_splice, choose, plan_job
from splicewright.answering import Chooser
from splicewright.api.app import create_app
from splicewright.cli.main import main
from splicewright.reports.words import departures

JOINT = {"conductors": [{"size": "12 AWG", "count": 2, "insulation": "THHN"}]}
GOOD = {"connector": "lever-2-port", "strip": {"value": 11, "unit": "mm"}, "tugged": True}
PROPOSALS = {
    "good": GOOD,
    "short": {**GOOD, "strip": {"value": 4, "unit": "mm"}},
    "silent": {"connector": "lever-2-port"},
    "wrong": {"connector": "push-in-2-port", "signs": ["bare-metal-outside"]},
    "unknown": {"method": "split-bolt", "torque": {"value": 3.95445125, "unit": "N-m"}},
}
DEFAULTS = {"place": {"movement": "vibrating"}, "circuit": {"amps": 4, "overcurrent_amps": 15}}
JOB = {
    "code": "nfpa70-2020",
    "defaults": DEFAULTS,
    "joints": [{"id": name, "quantity": 2, "joint": JOINT, "proposal": one} for name, one in PROPOSALS.items()],
}


def alone(name: str) -> dict[str, Any]:
    asked = {"code": "nfpa70-2020", "joint": JOINT, **DEFAULTS, "proposal": PROPOSALS[name]}
    return check_splice(asked, explain="brief")


def pointed(points: list[dict[str, Any]], at: int) -> list[dict[str, Any]]:
    def moved(one: Any) -> Any:
        return [f"/joints/{at}{pointer}" for pointer in one] if isinstance(one, list) else f"/joints/{at}{one}"

    return [{key: moved(one) if key in ("at", "asks") else one for key, one in point.items()} for point in points]


@pytest.mark.parametrize("at", range(len(PROPOSALS)))
def test_each_is_judged_as_a_check_of_its_own(at: int) -> None:
    joint, found = plan_job(JOB)["joints"][at], alone(list(PROPOSALS)[at])
    assert joint["check"] == {
        "verdict": found["verdict"],
        "violations": pointed(found["violations"], at),
        "unproven": pointed(found["unproven"], at),
        "proposed": {key: word for key, word in found["proposed"].items() if key in ("connector", "method")},
        "kept": joint["check"]["kept"],
    }


def test_http_and_the_command_answer_as_python_does(tmp_path: Path) -> None:
    answer = plan_job(JOB)
    assert create_app().test_client().post("/v1/jobs", json=JOB).get_json() == answer
    path = tmp_path / "job.json"
    path.write_bytes(orjson.dumps(JOB))
    ended = CliRunner().invoke(main, ["job", str(path), "--format", "json"])
    assert json.loads(ended.stdout) == answer
    assert ended.exit_code == 1


def test_the_check_of_files_finds_the_same_verdicts(tmp_path: Path) -> None:
    path = tmp_path / "job.json"
    path.write_bytes(orjson.dumps(JOB))
    ended = CliRunner().invoke(main, ["check", "--report", "json", str(path)])
    told = json.loads(ended.stdout)["findings"]
    for at, name in enumerate(PROPOSALS):
        check = plan_job(JOB)["joints"][at]["check"]
        wrong = {one["rule"] for one in told if one["joint"] == name and one["level"] == "error"}
        assert wrong == {one["rule"] for one in check["violations"]}
        asked = {one["rule"] for one in told if one["joint"] == name and one["level"] == "warning"}
        assert asked == {one["rule"] for one in check["unproven"]}


def test_an_unsound_one_is_a_problem_and_the_rest_are_none() -> None:
    answer = plan_job(JOB)
    verdicts = {joint["id"]: joint["check"]["verdict"] for joint in answer["joints"]}
    unsound = [name for name, verdict in verdicts.items() if verdict == "unsound"]
    assert [(one["id"], one["outcome"]) for one in answer["problems"]] == [(name, "unsound") for name in unsound]
    assert {"unsound", "unproven"} <= set(verdicts.values())
    assert answer["counts"]["made"] == 2 * len(PROPOSALS)


def test_what_is_wrong_with_a_proposal_is_an_error_of_its_joint_alone() -> None:
    wrong = [{"connector": "lever-2-prt"}, {"connector": "lever-2-port", "tuged": True}, {}]
    answer = plan_job({"joints": [{"joint": JOINT, "proposal": one} for one in (*wrong, GOOD)]}, Chooser())
    errors = [[error["pointer"] for error in one.get("errors", ())] for one in answer["joints"]]
    assert errors == [["/joints/0/proposal/connector"], ["/joints/1/proposal/tuged"], ["/joints/2/proposal"], []]
    assert "errors" not in answer["joints"][3]


def test_a_proposal_is_part_of_the_address_and_null_is_none() -> None:
    def address(*more: dict[str, Any]) -> str:
        return str(plan_job({"joints": [{"joint": JOINT, **one} for one in more]})["answer"])

    assert address({"proposal": GOOD}) != address({"proposal": PROPOSALS["silent"]}) != address({})
    assert address({"proposal": None}) == address({})


OPTIONS = [one["connector"] for one in choose({"joint": JOINT, "limit": 100})["options"]]
PRICES = {one: {"each": 1 + len(OPTIONS) - at} for at, one in enumerate(OPTIONS)}  # what is best costs most
STOCKS: dict[str, Any] = {
    "none": {},
    "fewest-types": {"stock": {"aim": "fewest-types", "carry": [OPTIONS[0]]}},
    "least-cost": {"stock": {"aim": "least-cost", "prices": PRICES}},
}


def joints(*proposed: dict[str, Any]) -> list[dict[str, Any]]:
    return [{"id": f"j{at}", "quantity": 3, "joint": JOINT, "proposal": one} for at, one in enumerate(proposed)]


@pytest.mark.parametrize("stock", STOCKS)
def test_joints_are_made_with_what_is_proposed_where_nothing_speaks_against_it(stock: str) -> None:
    asked = [*joints(*({"connector": one} for one in OPTIONS)), {"id": "free", "quantity": 5, "joint": JOINT}]
    answer = plan_job({"joints": asked, **STOCKS[stock]})
    *proposed, free = answer["joints"]
    bought = {line["connector"]: line["count"] for line in answer["takeoff"]}
    for one, (rank, connector) in zip(proposed, enumerate(OPTIONS, start=1), strict=True):
        assert one["check"]["verdict"] != "unsound"
        assert one["check"]["kept"] is True
        assert [(use["connector"], use["rank"], use["count"]) for use in one["connectors"]] == [(connector, rank, 3)]
        assert one["counts"]["options"] == len(OPTIONS)
        assert bought[connector] == 3 + sum(use["count"] for use in free["connectors"] if use["connector"] == connector)
    if "stock_plan" in answer:
        plan = answer["stock_plan"]
        assert plan["proven_optimal"] is True
        assert {one["connector"] for one in plan["types"]} == set(OPTIONS)
        assert plan["counts"] == {"made": 3 * len(OPTIONS) + 5, "not_made": 0, "first_choices": plan_firsts(answer)}


def plan_firsts(answer: dict[str, Any]) -> int:
    return sum(use["count"] for one in answer["joints"] for use in one["connectors"] if use["rank"] == 1)


def test_a_method_proposed_keeps_the_plan_to_its_connectors() -> None:
    both = joints({"method": "twist-on", "pre_twisted": True}, {"method": "lever"})
    for stock in STOCKS.values():
        for one in plan_job({"joints": both, **stock})["joints"]:
            assert {use["method"] for use in one["connectors"]} == {one["check"]["proposed"]["method"]}
            assert one["check"]["kept"] is True


def test_one_without_a_price_is_told_so_though_others_have_one() -> None:
    prices = {one: price for one, price in PRICES.items() if one != "lever-2-port"}
    answer = plan_job({"joints": joints(GOOD), "stock": {"aim": "least-cost", "prices": prices}})
    assert [(one["outcome"], one["connectors"]) for one in answer["problems"]] == [("no-price", ["lever-2-port"])]
    assert [line["connector"] for line in answer["takeoff"]] == ["lever-2-port"]


def test_what_departs_from_a_proposal_is_told_everywhere(tmp_path: Path) -> None:
    short = {**GOOD, "strip": {"value": 4, "unit": "mm"}}
    path = tmp_path / "job.json"
    path.write_bytes(orjson.dumps({"id": "home", "joints": joints(GOOD, short)}))
    answer = json.loads(CliRunner().invoke(main, ["job", str(path), "--format", "json"]).stdout)
    assert [one["check"]["kept"] for one in answer["joints"]] == [True, False]
    made = answer["joints"][1]["connectors"][0]["connector"]
    assert made != "lever-2-port"
    sheet, tables = tmp_path / "job.html", tmp_path / "tables"
    told = CliRunner().invoke(
        main, ["job", str(path), "--report", f"html={sheet}", "--report", f"csv={tables}", "--language", "es"]
    )
    assert f"Departs  from what is proposed for j1 (lever-2-port; made with {made})" in told.stdout
    page = sheet.read_text("utf-8")
    assert page.count("Se hace de otro modo que el propuesto (lever-2-port).") == 1
    assert "No según lo propuesto para: j1 (lever-2-port)" in page
    written = "".join(one.read_text("utf-8") for one in sorted(tmp_path.rglob("*.csv")))
    assert "answer proposal" in written
    assert '"sound, made with it"' in written
    assert '"unsound, departs from lever-2-port"' in written


def test_one_that_is_unsound_departs_only_where_the_plan_has_something_else() -> None:
    short = {**GOOD, "strip": {"value": 4, "unit": "mm"}}
    stock = {"aim": "fewest-types", "carry": []}
    kept, wrong = plan_job({"joints": joints(GOOD, short), "stock": stock})["joints"]
    assert wrong["check"]["verdict"] == "unsound"
    assert [use["connector"] for use in wrong["connectors"]] == ["lever-2-port"]
    assert [one["check"]["kept"] for one in (kept, wrong)] == [True, True]
    assert list(departures([kept, wrong])) == []
