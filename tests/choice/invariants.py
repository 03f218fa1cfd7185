"""Puts generated questions to the chooser and checks what must hold for every answer.

python -m tests.choice.invariants --questions 200000 --seed 1

What a joint asks of a connector is reckoned here anew, from the question as it was sent and the connector's listing:
no demand and no proof is taken at its word.
"""

from __future__ import annotations

import argparse
import functools
import random
import re
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import orjson

from splicewright.catalogue import Connector
from splicewright.catalogue.kinds import kind_bit
from splicewright.choice import Chooser
from splicewright.question.facts import fact_kinds
from splicewright.question.vocabulary import PHASES
from splicewright.rulebook import Rule
from splicewright.units import Size, size, whole
from tests.choice.likely import likely_given
from tests.external.published import published
from tests.oracle.agreement import resident

Plain = dict[str, Any]
AGAIN = 10  # one question of so many is asked again in another order, and its remedies are asked
_GROUNDING = ("equipment-grounding", "isolated-grounding", "grounding-electrode")
_WORKING = ("ungrounded", "grounded", "control")
_HERE = re.compile(r" Here: .+\Z")
_AMPERES = published("ampacity")["amperes"]["rows"]
_FACTS = ("referrals", "bars", "findings", "demands", "cautions")


@dataclass(frozen=True)
class Case:
    """A question as it was sent, its answer, and the rules and connectors that may stand in it."""

    given: Plain
    answer: Plain
    rules: Mapping[str, Rule]
    connectors: Mapping[str, Connector]

    def leaf(self, part: str, name: str) -> Any:
        """Give a word or number of the question, given or assumed; None where it is neither."""
        return self.given.get(part, {}).get(name, self.answer["assumed"].get(f"/{part}/{name}"))

    @cached_property
    def conductors(self) -> list[Plain]:
        """Each conductor with its words, given or assumed; like ones are one, with all of their count."""
        found: dict[bytes, Plain] = {}
        for at, one in enumerate(self.given["joint"]["conductors"]):
            start = f"/joint/conductors/{at}/"
            assumed = {key.removeprefix(start): v for key, v in self.answer["assumed"].items() if key.startswith(start)}
            whole_one = {**assumed, **one}
            if "insulation" in whole_one:
                letters = whole_one["insulation"]
                whole_one["insulation"] = [letters] if isinstance(letters, str) else sorted(letters)
            count = whole_one.pop("count")
            key = orjson.dumps(whole_one, option=orjson.OPT_SORT_KEYS)
            found.setdefault(key, {**whole_one, "count": 0})["count"] += count
        return list(found.values())

    @cached_property
    def roles(self) -> set[str]:
        """The roles that meet in the joint."""
        return {one["role"] for one in self.conductors}

    @cached_property
    def wet(self) -> bool:
        """Whether the place is wet whatever it is called."""
        exposure, enclosure = self.leaf("place", "exposure"), self.leaf("place", "enclosure")
        outdoors = self.leaf("place", "site") == "outdoors"
        open_raceway = enclosure == "raceway" and outdoors and exposure != "damp"
        return exposure in ("wet", "buried", "submerged") or enclosure == "handhole" or open_raceway

    @cached_property
    def lines(self) -> dict[str, set[str]]:
        """The facts that were given or assumed, printed, by name."""
        found: dict[str, set[str]] = {}
        for name in (name for name, kind in fact_kinds().items() if not kind.reads):
            part, _, leaf = name.partition(".")
            if part != "conductor":
                value = self.leaf(part, leaf)
                if value is not None:
                    found[name] = {f"{name}: {printed(name, value)}"}
        for one in self.conductors:
            for leaf, value in one.items():
                name = f"conductor.{leaf}"
                found.setdefault(name, set()).add(f"{name}: {printed(name, value)}")
        return found

    def told_by_all(self, name: str) -> bool:
        """Whether a fact has a value: of a conductor, for every one of them."""
        if not name.startswith("conductor."):
            return name in self.lines
        return all(name.partition(".")[2] in one for one in self.conductors)


def printed(name: str, value: Any) -> str:
    """Write a given value as an answer's proof has it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return " and ".join(sorted(value))
    if isinstance(value, dict):
        return f"{value['value']:g} {value['unit']}"
    unit = {"circuit.volts": " V", "circuit.amps": " A", "circuit.overcurrent_amps": " A"}.get(name, "")
    return f"{value:g}{unit}" if isinstance(value, int | float) else str(value)


# --- the answer as a whole -------------------------------------------------------------


def outcome(case: Case) -> Iterator[str]:
    """Check that the outcome says what the answer holds."""
    answer = case.answer
    barred = [one for one in answer["bars"] if "method" not in one]
    expected = "options" if answer["options"] else "no-connector"
    if answer["referrals"] or barred:
        expected = "refer" if answer["referrals"] else "barred"
        if answer["options"] or answer["refusals"]:
            yield "has options or refusals though the joint is barred or handed over"
    if answer["outcome"] != expected:
        yield f"outcome is {answer['outcome']}, not {expected}"
    if answer["remedies"] and expected != "barred":
        yield "has remedies though the joint is not barred"


def short_circuits(case: Case) -> Iterator[str]:
    """Check that what may never meet is barred (or handed over for another reason)."""
    roles = case.roles
    circuits = {one["circuit"] for one in case.conductors if one["role"] not in _GROUNDING}
    wrong = (
        {"ungrounded", "grounded"} <= roles
        or (roles & {"ungrounded", "grounded"} and roles & set(_GROUNDING))
        or {"equipment-grounding", "isolated-grounding"} <= roles
        or len(circuits) > 1
    )
    if wrong and case.answer["outcome"] not in ("barred", "refer"):
        yield f"roles {sorted(roles)} of circuits {sorted(circuits)} meet unbarred"
    unsound = {one["condition"] for one in case.conductors} - {"sound"}
    if unsound and case.answer["outcome"] not in ("barred", "refer"):
        yield f"an end that is {sorted(unsound)} is joined"


def everything_told(case: Case) -> Iterator[str]:
    """Check that every connector is an option or refused, each once, and that each refusal has reasons in words."""
    answer = case.answer
    told = sorted(one["connector"] for one in answer["options"] + answer["refusals"])
    if answer["outcome"] in ("options", "no-connector") and told != sorted(case.connectors):
        yield f"connectors told: {told}"
    if answer["more"] or [one["rank"] for one in answer["options"]] != list(range(1, len(answer["options"]) + 1)):
        yield "options are not counted from 1 to their number"
    for one in answer["options"] + answer["refusals"]:
        if one["method"] != case.connectors[one["connector"]].method:
            yield f"{one['connector']} is told to join by {one['method']}"
    for one in answer["refusals"]:
        if not one["because"] or not all(len(reason["says"].split()) > 5 for reason in one["because"]):
            yield f"{one['connector']} is refused without a reason in words"


def sentences(case: Case) -> Iterator[str]:
    """Check that every sentence is its rule's, with its places filled, and that every rule cited has a source."""
    cited = {"": ""}
    for one in _entries(case.answer):
        rule = case.rules.get(one["rule"])
        if rule is None:
            yield f"{one['rule']} is no rule"
            continue
        cited[rule.id] = ""
        if "says" in one and not _filled(rule.says).fullmatch(_HERE.sub("", one["says"])):
            yield f"{rule.id} says {one['says']!r}"
        if "do" in one and not _filled(str(rule.effect.do)).fullmatch(one["do"]):
            yield f"{rule.id} asks to do {one['do']!r}"
        for text in (one.get("says", ""), one.get("do", ""), one.get("how", "")):
            if re.search(r"[{}]|\bNone\b", text):
                yield f"{rule.id} has a place that was not filled: {text!r}"
    del cited[""]
    if set(cited) != set(case.answer["rules"]):
        yield f"rules cited and rules told differ in {sorted(set(cited) ^ set(case.answer['rules']))}"
    for rule_id, told in case.answer["rules"].items():
        source = told["source"]
        if source != "common-practice" and not (source["document"] and source["section"] and source["obtained"]):
            yield f"{rule_id} has no source"


def _entries(answer: Plain) -> Iterator[Plain]:
    for part in _FACTS:
        yield from answer[part]
    for option in answer["options"]:
        for part in ("meets", "preferred", "make_up"):
            yield from option[part]
    for refusal in answer["refusals"]:
        yield from refusal["because"]


@functools.lru_cache(maxsize=4096)
def _filled(words: str) -> re.Pattern[str]:
    """Give what a rule's words look like once filled: any text in their places, but that there was none."""
    fixed = re.split(r"\{[a-z_0-9.]+\}", words)
    return re.compile(r"(?!not stated)\S(?:.*\S)?".join(re.escape(one) for one in fixed))


def proofs(case: Case) -> Iterator[str]:
    """Check that every finding rests on facts that were given or assumed, on measures of them, or on findings."""
    concluded = {one["rule"] for one in case.answer["findings"]}
    for part in _FACTS:
        for one in case.answer[part]:
            rule = case.rules[one["rule"]]
            if rule.when and not one["from"]:
                yield f"{rule.id} rests on nothing"
            if one["from"] != sorted(set(one["from"])):
                yield f"{rule.id} rests on {one['from']}, not each once in order"
            for line in one["from"]:
                yield from _ground(case, rule.id, line, one["from"], concluded)
    yield from _circles(case)


def _ground(case: Case, rule_id: str, line: str, rests_on: list[str], concluded: set[str]) -> Iterator[str]:
    name, colon, _ = line.partition(": ")
    if not colon:
        if line not in concluded:
            yield f"{rule_id} rests on {line}, which was not found"
        return
    kind = fact_kinds().get(name)
    if kind is None or not kind.reads:
        if line not in case.lines.get(name, ()):
            yield f"{rule_id} rests on {line!r}, which was neither given nor assumed"
        return
    for read in kind.reads:
        if case.told_by_all(read) and not any(other.startswith(f"{read}: ") for other in rests_on):
            yield f"{rule_id} rests on {line!r} without {read}"


def _circles(case: Case) -> Iterator[str]:
    left = {one["rule"]: {line for line in one["from"] if ": " not in line} for one in case.answer["findings"]}
    while founded := {rule_id for rule_id, needs in left.items() if not needs & left.keys()}:
        left = {rule_id: needs for rule_id, needs in left.items() if rule_id not in founded}
    if left:
        yield f"{sorted(left)} rest on each other"


def cautions(case: Case) -> Iterator[str]:
    """Check that what is always said was said."""
    told = {one["rule"] for one in case.answer["cautions"]}
    always = {rule.id for rule in case.rules.values() if rule.effect.kind == "caution" and not rule.when}
    if not always or always - told:
        yield f"the usual cautions lack {sorted(always - told)}"


# --- each option -----------------------------------------------------------------------


def options(case: Case) -> Iterator[str]:
    """Check every option against the question and its listing, and its make-up."""
    for option in case.answer["options"]:
        connector = case.connectors[option["connector"]]
        for says in (*_lacks(case, connector), *_does_not_take(case, connector, option["fill"]["basis"])):
            yield f"{connector.id}: {says}"
        phases = [PHASES.index(step["phase"]) for step in option["make_up"]]
        if not phases or option["make_up"][0]["phase"] != "make-safe" or phases != sorted(phases):
            yield f"{connector.id}: make-up goes {[step['phase'] for step in option['make_up']]}"


def _lacks(case: Case, connector: Connector) -> Iterator[str]:
    listed = connector.attributes
    volts, enclosure = case.leaf("circuit", "volts"), case.leaf("place", "enclosure")
    marked = "luminaire_volts" if enclosure == "luminaire" and volts is not None and volts > 600 else "volts"
    if volts is not None and listed.get(marked, 0) < whole(volts, "V"):
        yield f"{marked} of {listed.get(marked)} tenths for {volts} V"
    if listed.get("degrees", 0) < _hottest(case):
        yield f"degrees of {listed.get('degrees')} ninetieths for {_hottest(case)}"
    places = listed["places"]
    yield from (f"not listed for a place that is {place}" for place in _asked_places(case) if not place & places)
    yield from (
        f"does not resist {one}" for one in case.leaf("place", "corrosion") if one not in listed.get("resists", ())
    )
    metals = {one["material"] for one in case.conductors}
    if metals - listed["materials"]:
        yield f"not listed for {sorted(metals - listed['materials'])}"
    if "aluminum" in metals and len(metals) > 1 and not listed["intermixed"]:
        yield "unlike metals touch"
    if listed["grounding"] in (("no",) if case.roles & set(_GROUNDING) else ("only",)):
        yield f"grounding: {listed['grounding']} for {sorted(case.roles)}"
    buried = case.leaf("place", "exposure") == "buried" and enclosure == "none"
    if (
        (buried or case.leaf("place", "exposure") == "submerged")
        and case.roles & set(_WORKING)
        and not listed["sealed"]
    ):
        yield "not sealed"
    if any(one["path"] == "through" for one in case.conductors) and not listed["uncut"]:
        yield "takes no conductor that is not cut"
    if sum(one["count"] for one in case.conductors) == 1 and not (listed["caps"] and listed["insulated"]):
        yield "closes off no free end"


def _asked_places(case: Case) -> Iterator[frozenset[str]]:
    exposure = case.leaf("place", "exposure")
    wet = frozenset({"wet", "burial", "submersion"})
    if case.wet:
        yield wet
    if exposure == "damp" or (exposure == "dry" and case.leaf("place", "site") == "outdoors"):
        yield wet | {"damp"}
    if exposure == "buried" and case.leaf("place", "enclosure") == "none":
        yield frozenset({"burial"})
    if exposure == "submerged":
        yield frozenset({"submersion"})


def _hottest(case: Case) -> int:
    """Give the ninetieths of a degree that the joint reaches: the place's, or of the column that carries the load."""
    ambient, amps = case.leaf("place", "ambient"), case.leaf("circuit", "amps")
    found = [whole(ambient["value"], ambient["unit"])]
    for one in case.conductors:
        if amps is not None and one["role"] in _WORKING:
            row = _AMPERES.get(one["size"], {}).get("copper" if one["material"] == "copper" else "aluminum", {})
            enough = [int(column) for column, figure in row.items() if figure >= amps]
            if enough and "60" in row:
                found.append(whole(min(enough), "degC"))
    return max(found)


def _does_not_take(case: Case, connector: Connector, basis: str) -> Iterator[str]:
    doubtful = [
        one
        for one in case.conductors
        if one["material"] != "copper" or one["construction"] == "fine-stranded" or one["role"] in _GROUNDING
    ]
    if doubtful and basis != "listed":
        yield "a doubtful joint that its listing does not name"
    wanted = [(_kind(one), size(one["size"])) for one in case.conductors]
    count = sum(one["count"] for one in case.conductors)
    if not any(group.takes(wanted, count) for group in _groups(connector)):
        kinds = [(one["size"], one["construction"], one["end"]) for one in case.conductors]
        yield f"takes no {count} conductors of {kinds}"


def _kind(conductor: Plain) -> int:
    return kind_bit(conductor["material"], conductor["construction"], conductor["end"])


@dataclass(frozen=True)
class Group:
    """Conductors that a connector takes together: the fewest, the most, and the sizes of each set of kinds."""

    fewest: int
    most: int
    sizes: tuple[tuple[int, Size, Size], ...]

    def takes(self, wanted: list[tuple[int, Size]], count: int) -> bool:
        """Say whether their number and each of them alone lies within what is listed."""
        if not self.fewest <= count <= self.most:
            return False
        return all(
            any(kinds & kind and least <= of <= most for kinds, least, most in self.sizes) for kind, of in wanted
        )


@functools.cache
def _groups(connector: Connector) -> tuple[Group, ...]:
    """Give each group of ports of a connector, and all of its combinations as one."""
    found, together = [], [one for take in connector.takes for one in take.combinations]
    for take in connector.takes:
        if take.ports:
            ranges = [(one.kinds, one.least, one.most) for port in take.ports for one in port.ranges]
            found.append(Group(take.least, sum(port.count * port.conductors for port in take.ports), tuple(ranges)))
    if together:
        by_kinds: dict[int, list[Size]] = {}
        for entry in (entry for one in together for entry in one.entries):
            by_kinds.setdefault(entry.kinds, []).append(entry.size)
        counts = [len(one.areas) for one in together]
        ranges = _spread(by_kinds)
        found.append(Group(min(counts), max(counts), tuple(ranges)))
    return tuple(found)


def _spread(by_kinds: Mapping[int, list[Size]]) -> list[tuple[int, Size, Size]]:
    """Give the least and the largest size of each single kind over all entries that may be of it."""
    every = functools.reduce(int.__or__, by_kinds, 0)
    found = []
    for bit in (1 << at for at in range(every.bit_length()) if every >> at & 1):
        sizes = [of for kinds, some in by_kinds.items() if kinds & bit for of in some]
        found.append((bit, min(sizes), max(sizes)))
    return found


# --- asked again -----------------------------------------------------------------------


def shuffled(given: Plain, rng: random.Random) -> Plain:
    """Give the question with its conductors in another order, some of those that are alike written one by one."""
    single = []
    for one in given["joint"]["conductors"]:
        count = one.get("count", 1)
        split = rng.random() < 0.5
        single += [{**one, "count": 1}] * count if split else [one]
    single = rng.sample(single, len(single))
    return {**given, "joint": {**given["joint"], "conductors": single}}


def without_pointers(answer: Plain) -> bytes:
    """Write an answer without the part that points into the question as it was sent."""
    return orjson.dumps({key: value for key, value in answer.items() if key != "assumed"})


def asked_again(chooser: Chooser, case: Case, rng: random.Random) -> Iterator[str]:
    """Check that order changes nothing, and that every remedy leads to options."""
    other = shuffled(case.given, rng)
    if without_pointers(chooser.choose(other)) != without_pointers(case.answer):
        yield f"is answered otherwise in another order: {other}"
    for remedy in case.answer["remedies"]:
        if chooser.choose(remedy["question"])["outcome"] != "options":
            yield f"its remedy {remedy['change']} does not lead to options"


CHECKS: tuple[Callable[[Case], Iterator[str]], ...] = (
    outcome, short_circuits, everything_told, sentences, proofs, cautions, options,
)  # fmt: skip


def violations(case: Case) -> list[str]:
    """Give everything that does not hold for a case."""
    return [f"{check.__name__}: {says}" for check in CHECKS for says in check(case)]


class Asking:
    """Asks generated questions, each answered anew, and checks the answers."""

    def __init__(self, seed: int) -> None:
        """Ask the questions of one seed."""
        self.chooser = Chooser(cache_bytes=0)
        self.connectors = {one.id: one for one in self.chooser.catalogue("shop").connectors}
        self._rng = random.Random(seed)
        self._rules: dict[str, Mapping[str, Rule]] = {}

    def rules(self, code: str) -> Mapping[str, Rule]:
        """Give the rules of a code edition by id."""
        if code not in self._rules:
            self._rules[code] = {rule.id: rule for rule in self.chooser.engine(code).rulebook.rules}
        return self._rules[code]

    def case(self, given: Plain) -> Case:
        """Ask one question."""
        answer = self.chooser.choose(given)
        return Case(given, answer, self.rules(answer["rulesets"]["code"]), self.connectors)

    def cases(self, count: int) -> Iterator[tuple[Case, list[str]]]:
        """Ask so many questions and give each with what does not hold for it."""
        for at in range(count):
            case = self.case({**likely_given(self._rng), "limit": 100})
            found = violations(case)
            if at % AGAIN == 0:
                found += [f"asked_again: {says}" for says in asked_again(self.chooser, case, self._rng)]
            yield case, found


def main(arguments: list[str] | None = None) -> int:
    """Ask so many questions and print what came of it. Gives 1 where anything did not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--questions", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=0)
    arguments_read = parser.parse_args(arguments)
    asking, outcomes, broken = Asking(arguments_read.seed), Counter[str](), Counter[str]()
    memory, started = [resident()], time.perf_counter()
    for at, (case, found) in enumerate(asking.cases(arguments_read.questions)):
        outcomes[case.answer["outcome"]] += 1
        if found and not broken:
            sys.stdout.write("\n".join([*found, orjson.dumps(case.given).decode(), repr(case.answer), ""]))
        broken.update({says.partition(":")[0] for says in found})
        if at == arguments_read.questions // 2:
            memory.append(resident())
    seconds = time.perf_counter() - started
    memory.append(resident())
    counts = ", ".join(f"{count} {name}" for name, count in outcomes.most_common())
    told = ", ".join(f"{count} of {name}" for name, count in broken.most_common()) or "no"
    sys.stdout.write(
        f"{arguments_read.questions} questions: {counts}; {told} violations; "
        f"{arguments_read.questions / seconds:.0f} questions/s, "
        f"resident MB at start, middle and end: {', '.join(f'{each:.0f}' for each in memory)}\n"
    )
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
