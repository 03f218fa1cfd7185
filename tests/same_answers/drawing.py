"""Draws what is asked: joints of every kind, checks, boxes and jobs, now and then spoiled, all from one seed."""

from __future__ import annotations

import copy
import functools
import itertools
import random
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis.strategies import SearchStrategy

from splicewright import check_splice, choose
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.question.vocabulary import CODES, METHODS, PROPOSED, SIGNS
from splicewright.rulebook.examples import PLAIN
from splicewright.yaml_text import read_yaml
from tests.box.requests import requests
from tests.choice.likely import likely_given
from tests.extremes.asking import question as laid_over
from tests.extremes.drawing import Drawing
from tests.extremes.extremes import bases
from tests.oracle.questions import random_given
from tests.reports.ordinary import ordinary_given

Plain = dict[str, Any]
Asked = tuple[str, Plain]  # the way that it is asked (`choose`, `check`, `box`, `job`), and what

_TOP = Path(__file__).parents[2]
_CODES = tuple(CODES)
_JOINT_PARTS = ("joint", "place", "circuit", "work")
_SPOILED = 0.05
#: how many of a hundred are asked so
_SHARES = {
    "likely": 38,
    "any": 14,
    "ordinary": 12,
    "example": 10,
    "extreme": 8,
    "check": 8,
    "made well": 3,
    "box": 5,
    "job": 2,
}


def drawn(count: int, start: int) -> Iterator[Asked]:
    """Give so many requests; the same for the same `count` and `start`."""
    rng = random.Random(start)
    draw = _ways(rng, count, start)
    for _ in range(count):
        kind = rng.choices(list(_SHARES), list(_SHARES.values()))[0]
        way, asked = draw[kind]()
        asked = {**asked, "explain": rng.choice(("brief", "full"))}
        if way != "job" and rng.random() < 0.2:
            asked = {**asked, "explain": "brief", "include": rng.sample(sorted(INCLUDE), rng.randint(1, 4))}
        if rng.random() < 0.1:
            asked["only"] = {"methods": rng.sample(sorted(METHODS), rng.randint(1, 6))}
        if rng.random() < 0.8:
            asked["code"] = rng.choice(_CODES)
        if way in ("choose", "check") and rng.random() < 0.3:
            asked["limit"] = rng.choice((1, 3, 20, 100))
        yield way, _spoiled(rng, asked) if rng.random() < _SPOILED else asked


def _ways(rng: random.Random, count: int, start: int) -> dict[str, Callable[[], Asked]]:
    joints = (likely_given, likely_given, ordinary_given, random_given)
    boxes = itertools.cycle(_of(requests, max(10, count * _SHARES["box"] // 100), start))
    extremes = iter(Drawing(start, frozenset()))

    def joint() -> Plain:
        return rng.choice(joints)(rng)

    def box() -> Plain:
        asked = {key: value for key, value in next(boxes).items() if key != "code"}
        return {**asked, "joints": [joint() for _ in range(rng.randint(0, 3))]} if rng.random() < 0.6 else asked

    def extreme() -> Plain:
        one = next(extremes)
        return laid_over(bases()[one.base], dict(rng.choice((one.extreme.absurd, one.extreme.sound))), one.crossed)

    return {
        "likely": lambda: ("choose", likely_given(rng)),
        "any": lambda: ("choose", random_given(rng)),
        "ordinary": lambda: ("choose", ordinary_given(rng)),
        "example": lambda: rng.choice(_written()),
        "extreme": lambda: ("choose", extreme()),
        "check": lambda: ("check", {**joint(), "proposal": _proposal(rng)}),
        "made well": lambda: ("check", _made_well(rng)),
        "box": lambda: ("box", box()),
        "job": lambda: ("job", _job(rng, joint, box)),
    }


def _of(strategy: SearchStrategy[Plain], count: int, start: int) -> list[Plain]:
    """Draw from a strategy, the same for the same `start`."""
    found: list[Plain] = []

    @seed(start)
    @settings(
        max_examples=count, database=None, phases=[Phase.generate], deadline=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(strategy)
    def collect(one: Plain) -> None:
        found.append(one)

    collect()
    return found


@functools.cache
def _written() -> list[Asked]:
    """Give the examples of all rules, and the questions of all cases."""
    found: list[Asked] = []
    for path in sorted(_TOP.glob("rulesets/*/*.yaml")):
        rules = read_yaml(path.read_bytes()).value.get("rules", ())
        for rule in rules if isinstance(rules, list) else ():  # in a translation they are sentences
            found += map(_laid_over_plain, itertools.chain.from_iterable(rule["examples"].values()))
    for path in sorted(_TOP.glob("tests/cases/*/*.yaml")):
        found += [("choose", one["question"]) for one in read_yaml(path.read_bytes()).value if "question" in one]
    return found


def _laid_over_plain(partial: Plain) -> Asked:
    joint = {**PLAIN["joint"], **partial.get("joint", {})}
    joint["conductors"] = [{**conductor, **partial.get("conductor", {})} for conductor in joint["conductors"]]
    rest = {key: value for key, value in partial.items() if key != "conductor"}
    return "check" if "proposal" in partial else "choose", {**rest, "joint": joint}


@functools.cache
def _methods() -> dict[str, str]:
    """Give every connector of the catalogue with its method, as a full answer names them all."""
    answer = choose({**PLAIN, "limit": 100})
    return {one["connector"]: one["method"] for one in (*answer["options"], *answer["refusals"])}


def _proposal(rng: random.Random) -> Plain:
    connector = rng.choice(sorted(_methods()))
    found: Plain = {"connector": connector} if rng.random() < 0.7 else {"method": _methods()[connector]}
    for word in PROPOSED:
        if rng.random() < 0.5:
            found[word] = _said(rng, word)
    if rng.random() < 0.3:
        found["signs"] = rng.sample(sorted(SIGNS), rng.randint(1, 2))
    return found


def _made_well(rng: random.Random) -> Plain:
    """Give a check of an option that says what checks ask for, as it is wanted."""
    question = ordinary_given(rng)
    options = choose({**question, "explain": "brief", "limit": 100})["options"]
    if not options:
        return {**question, "proposal": _proposal(rng)}
    proposal = {"connector": rng.choice(options)["connector"]}
    for _ in range(2):
        answer = check_splice({**question, "proposal": proposal})
        for one in answer["unproven"]:
            word = one.get("asks", "").rpartition("/")[2]
            if word in PROPOSED:
                figure = {"value": 11, "unit": "mm" if word == "strip" else "lbf-in"}
                proposal[word] = figure if word in ("strip", "torque") else word != "reused"
        for violation in answer["violations"]:
            if "compared" in violation:
                proposal[violation["at"][0].rpartition("/")[2]] = violation["compared"]["wanted"]
    return {**question, "proposal": proposal}


def _said(rng: random.Random, word: str) -> Any:
    if word == "torque":
        return {"value": rng.choice((9, 15, 35, 70)), "unit": rng.choice(("lbf-in", "N-m"))}
    if word == "strip":
        return rng.choice(({"value": rng.randint(8, 20), "unit": "mm"}, {"value": 0.5, "unit": "in"}))
    return rng.random() < 0.8 if word != "reused" else rng.random() < 0.2


def _job(rng: random.Random, joint: Callable[[], Plain], box: Callable[[], Plain]) -> Plain:
    entries = [joint() for _ in range(rng.randint(1, 10))]
    joints = [{part: entry[part] for part in _JOINT_PARTS if part in entry} for entry in entries]
    for one in joints:
        one["quantity"] = rng.randint(1, 40)
        if rng.random() < 0.2:
            one["pigtails"] = [{"size": one["joint"]["conductors"][0]["size"]}]
    found: Plain = {"joints": joints}
    if rng.random() < 0.4:
        found["boxes"] = [{**box(), "quantity": rng.randint(1, 9)} for _ in range(rng.randint(1, 3))]
    if rng.random() < 0.5:
        found["defaults"] = {"place": {"dwelling": True}, "circuit": {"volts": 120, "overcurrent_amps": 20}}
    if rng.random() < 0.3:
        found["split_overfilled"] = True
    if rng.random() < 0.6:
        found["stock"] = _stock(rng)
    return found


def _stock(rng: random.Random) -> Plain:
    names = sorted(_methods())
    prices = {name: {"each": rng.randint(5, 900) / 100} for name in names}
    prices |= {name: {"pack": rng.randint(300, 3000) / 100, "of": 50} for name in rng.sample(names, len(names) // 3)}
    found: Plain = {"aim": rng.choice(("fewest-types", "least-cost")), "spare_percent": rng.choice((0, 10))}
    if found["aim"] == "least-cost" or rng.random() < 0.5:
        found["prices"] = prices
    return {**found, "carry": rng.sample(names, 2)} if rng.random() < 0.4 else found


def _spoiled(rng: random.Random, asked: Plain) -> Plain:
    """Make something wrong at one place in it."""
    asked = copy.deepcopy(asked)
    places = list(_places(asked))
    inside, key = rng.choice(places)
    value = inside[key]
    wrong = (None, -1, 1e9, [], {}, "12 AWGG", [value], str(value), str(value)[:-1])
    turn = rng.randrange(len(wrong) + 3)
    if turn < len(wrong):
        inside[key] = wrong[turn]
    elif turn == len(wrong):
        del inside[key]
    else:
        rng.choice([one for one, _ in places if isinstance(one, dict)])["mystery"] = 1
    return asked


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Give every place in nested data: the map or list that holds it, and its key there."""
    if isinstance(value, dict | list):
        for key, inner in list(value.items() if isinstance(value, dict) else enumerate(value)):
            yield value, key
            yield from _places(inner)
