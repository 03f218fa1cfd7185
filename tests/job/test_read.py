"""A job that is not valid as a whole is refused with every problem; its own defaults are noted."""

from __future__ import annotations

import pytest

from splicewright.job import plan_job
from splicewright.job.read import read_job
from splicewright.refusals import Refused
from tests.job.asking import PAIR

JOINT = {"joint": PAIR}


def refused(**job):
    with pytest.raises(Refused) as caught:
        plan_job({"joints": [JOINT], **job})
    return {problem.pointer: problem.says for problem in caught.value.problems}


@pytest.mark.parametrize("given", [3, None, [], "job"])
def test_what_is_no_object_is_refused(given):
    with pytest.raises(Refused, match="a job is an object"):
        plan_job(given)


@pytest.mark.parametrize("given", [{}, {"joints": []}, {"joints": [], "boxes": []}])
def test_a_job_without_joint_or_box_is_refused(given):
    with pytest.raises(Refused, match="at least one joint or box"):
        plan_job(given)


@pytest.mark.parametrize(
    ("job", "pointer", "says"),
    [
        ({"jonits": []}, "/jonits", "unknown key; did you mean 'joints'?"),
        ({"code": "nfpa70-2022"}, "/code", "did you mean"),
        ({"catalogue": "shup"}, "/catalogue", "did you mean 'shop'?"),
        ({"amendments": ["x"] * 21}, "/amendments", "0 to 20 are allowed"),
        ({"defaults": {"place": {"exposure": "wett"}}}, "/defaults/place/exposure", "did you mean 'wet'?"),
        ({"defaults": {"joint": PAIR}}, "/defaults/joint", "unknown key"),
        ({"joints": {}}, "/joints", "must be a list"),
        ({"boxes": 1}, "/boxes", "must be a list"),
        ({"stock": {"aim": "least"}}, "/stock/aim", "did you mean"),
        ({"stock": {"carry": ["lever-3-prt"]}}, "/stock/carry/0", "did you mean 'lever-3-port'?"),
        ({"stock": {"carry": ["lever-3-port"] * 2}}, "/stock/carry/1", "names lever-3-port twice"),
        ({"stock": {"spare_percent": 101}}, "/stock/spare_percent", "0 to 100 is allowed"),
        ({"stock": {"prices": []}}, "/stock/prices", "must be an object"),
        ({"stock": {"prices": {str(at): {"each": 1} for at in range(2_001)}}}, "/stock/prices", "at most 2,000"),
        ({"stock": {"prices": {"lever-3-prt": {"each": 1}}}}, "/stock/prices/lever-3-prt", "did you mean"),
        ({"stock": {"prices": {"lever-3-port": {}}}}, "/stock/prices/lever-3-port", "gives either each, or pack"),
        ({"stock": {"prices": {"lever-3-port": {"pack": 1}}}}, "/stock/prices/lever-3-port", "pack with of"),
        ({"stock": {"prices": {"lever-3-port": 3}}}, "/stock/prices/lever-3-port", "must be an object"),
        ({"stock": {"prices": {"a/b": {"each": "1"}}}}, "/stock/prices/a~1b/each", "is not a number"),
        ({"stock": {"prices": {"lever-3-port": {"each": -1}}}}, "/stock/prices/lever-3-port/each", "out of range"),
        ({"stock": {"prices": {"lever-3-port": {"each": 1, "pack": 2, "of": 3}}}}, "/stock/prices/lever-3-port", "or"),
        ({"stock": {"prices": {"lever-3-port": {"pack": 2, "of": 0}}}}, "/stock/prices/lever-3-port/of", "1 to"),
        ({"stock": {"effort": 0}}, "/stock/effort", "0 is out of range; 1 to 10 is allowed"),
        ({"stock": {"effort": 11}}, "/stock/effort", "11 is out of range; 1 to 10 is allowed"),
        ({"stock": {"effort": 1.5}}, "/stock/effort", "not a whole number"),
        ({"stock": {"aim": "least-cost"}}, "/stock/prices", "is required where aim is least-cost"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_the_whole_is_told_with_its_pointer(job, pointer, says):
    assert says in refused(**job)[pointer]


def test_finer_prices_and_spares_are_rounded_up_and_told():
    prices = {"lever-2-port": {"each": 0.12341}, "lever-3-port": {"pack": 9.50001, "of": 50}}
    job = read_job({"joints": [{}], "stock": {"spare_percent": 2.25, "prices": prices}})
    assert [(one.pointer, one.taken) for one in job.read_as] == [
        ("/stock/spare_percent", 2.3),
        ("/stock/prices/lever-2-port/each", 0.1235),
        ("/stock/prices/lever-3-port/pack", 9.5001),
    ]
    assert (
        job.stock
        == read_job(
            {
                "joints": [{}],
                "stock": {
                    "spare_percent": 2.3,
                    "prices": {"lever-2-port": {"each": 0.1235}, "lever-3-port": {"pack": 9.5001, "of": 50}},
                },
            }
        ).stock
    )


def test_every_problem_of_the_whole_is_told_at_once():
    assert set(refused(code=1, stock={"aim": 2, "carry": 3}, extra=4)) == {
        "/code",
        "/stock/aim",
        "/stock/carry",
        "/extra",
    }


def test_more_joints_than_allowed_are_refused():
    assert "0 to 50000 are allowed" in refused(joints=[JOINT] * 50_001)["/joints"]


def test_defaults_of_the_job_are_noted():
    assert read_job({"joints": [JOINT], "stock": {}}).assumed == {
        "/code": "nfpa70-2023",
        "/catalogue": "shop",
        "/stock/aim": "fewest-types",
        "/stock/effort": 1,
        "/stock/spare_percent": 0,
    }


def test_prices_are_kept_exactly():
    stock = read_job({"joints": [JOINT], "stock": {"prices": {"a": {"each": 0.1}, "b": {"pack": 1e6, "of": 3}}}}).stock
    assert stock is not None
    assert [(price.amount, price.of) for price in stock.prices.values()] == [(1000, 1), (10**10, 3)]


def test_of_many_unknown_connectors_the_first_are_told_with_the_nearest_word():
    many = [f"lever-{at}-prt" for at in range(1_000)]
    found = refused(stock={"carry": many[:500], "prices": {one: {"each": 1} for one in many[500:]}})
    assert set(found) == {f"/stock/carry/{at}" for at in range(100)} | {""}
    assert "did you mean" in found["/stock/carry/99"]
    assert found[""].startswith("and 900 more")
