"""The remedies of a refused joint in their JSON form, each with the answer it leads to.

`alter` changes leaves of the question; `split` and `pigtail` make it as several joints tied by jumpers; `connector`
says, where nothing else was found, what a connector would have to be listed for. The smallest change comes first.
Patches are of what was sent, so they are written anew for each question that was asked; all else is written once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any

import orjson

from splicewright.catalogue.model import shape_of
from splicewright.choice.loaded_rules import LoadedRules
from splicewright.choice.matching import Match, Option
from splicewright.choice.telling import test_plain
from splicewright.question.changes import conductors_changed
from splicewright.question.model import Conductor, Question, as_plain
from splicewright.question.read import ParsedQuestion
from splicewright.question.vocabulary import METHODS
from splicewright.remedies.patch import Target, patch
from splicewright.remedies.search import MOST_TRIED, Alteration, alterations, refusing_bars
from splicewright.remedies.split_search import ASKED
from splicewright.remedies.splitting import DEVICE, Jumper, Split, search
from splicewright.rulebook.attributes import OF_JOINT
from splicewright.rulebook.model import ListingTest
from splicewright.tables.boxes import allowance_rules
from splicewright.tables.jumpers import is_counted_in, length_source, sizing_source
from splicewright.tables.loader import holds_for
from splicewright.work import Watch

Plain = dict[str, Any]
_THEN = 3  # options told of what a change leads to
#: What joints come to for which remedies are looked for.
REMEDIED = ("barred", "no-connector")


@dataclass(frozen=True, slots=True)
class Remedies:
    """What would make a refused joint possible, found by asking, and how much `work` that was."""

    altered: tuple[Alteration, ...] = ()
    split: Split | None = None
    work: int = 0


def find_remedies(question: Question, match: Match, holding: LoadedRules, watch: Watch | None = None) -> Remedies:
    """Look for remedies of a joint that is barred or that no connector takes. `watch` may end it by what it raises."""
    altered = tuple(alterations(question, match, holding))
    divided, work = search(question, holding, match, watch) if _is_dividable(match) else (None, 0)
    return Remedies(altered, divided, work + MOST_TRIED * ASKED)


@dataclass(frozen=True, slots=True)
class Remedy:
    """A remedy in JSON text but for its patches. `targets` is what those lead to: for a split, each of its joints."""

    text: bytes
    targets: tuple[Target, ...] = ()

    def told(self, asked: ParsedQuestion, within: str = "") -> Plain:
        """Write it for the question as it was sent; `within` leads to what that was sent as a part of.

        A `patch` is left out where what was sent can't be changed so, such as what the box of a joint says of it.
        """
        written: Plain = orjson.loads(self.text)
        patches = [patch(asked, target, within) for target in self.targets]
        if "joints" in written:
            written["joints"] = [_patched(*one) for one in zip(written["joints"], patches, strict=True)]
        elif patches:
            written = _patched(written, *patches)
        return written


def _patched(written: Plain, operations: list[Plain] | None) -> Plain:
    if operations is None:
        return written
    first, *more = written.items()
    return dict([first, ("patch", operations), *more])


def remedies(found: Remedies, question: Question, match: Match, include: Collection[str]) -> tuple[Remedy, ...]:
    """Write remedies, with whole questions where `include` names `questions`, with sources where it names `rules`."""
    written = [_alteration(one, question, include) for one in found.altered]
    if found.split is not None:
        targets = tuple(Target(joint) for joint in found.split.joints)
        written.append(Remedy(orjson.dumps(_split_plain(found.split, include)), targets))
    if match.outcome == "no-connector" and not written and not match.would_do_if_carried:
        written += [Remedy(orjson.dumps(one)) for one in _connector_plain(match, include)]
    return tuple(written)


def _is_dividable(match: Match) -> bool:
    """Say whether a split may be tried: only a bar that offers it may be got round in that way."""
    if match.outcome == "no-connector":
        return True
    return all(any(change.split for change in bar.rule.effect.remedies) for bar in refusing_bars(match))


def _alteration(alteration: Alteration, question: Question, include: Collection[str]) -> Remedy:
    written: Plain = {"kind": "alter"}
    if do := [done for small in alteration.changes for done in small.do]:
        written["do"] = do
    if alteration.conductors and not {"questions", "conductors"}.isdisjoint(include):
        written["conductors"] = [_words(question.joint.conductors[at]) for at in alteration.conductors]
    if "questions" in include:
        written["question"] = as_plain(alteration.question)
    best, *others = [_named(option) for option in alteration.match.options[:_THEN]]
    written |= {"outcome": "options", "best": best}
    if others and "questions" in include:
        written["then"] = others
    became = tuple(conductors_changed(question, alteration.made))
    return Remedy(orjson.dumps(written), (Target(alteration.question, became),))


def _named(option: Option) -> Plain:
    connector = option.connector
    return {"connector": connector.id, "name": connector.name, "method": connector.method}


def _words(conductor: Conductor) -> str:
    return f"{conductor.count} x {conductor.size} {conductor.construction} {conductor.material}"


def _split_plain(split: Split, include: Collection[str]) -> Plain:
    written: Plain = {
        "kind": "pigtail" if split.by_tails else "split",
        "joints": [
            {"takes": shape_of(joint.joint).text, "best": _named(option)}
            for joint, option in zip(split.joints, split.options, strict=True)
        ],
        "jumpers": [_jumper_plain(jumper) for jumper in split.jumpers],
        "proven_fewest": split.proven,
    }
    if "questions" in include:
        written["questions"] = [as_plain(joint) for joint in split.joints]
    question, jumper = split.joints[0], split.jumpers[0]
    by_device, wire = jumper.sized_by == DEVICE, jumper.conductor
    sources = {
        "size": sizing_source(wire.size, wire.material, wire.role, by_device=by_device, code=question.code),
        "length": length_source(question.code),
    }
    if is_counted_in(question.place.enclosure) and holds_for("box-allowances", question.code):
        allowances, told = allowance_rules(question.code).paths["stays"]
        written["box_allowances"] = allowances
        sources["box_allowances"] = told.source
    return {**written, **({"sources": sources} if "rules" in include else {}), "outcome": "options"}


def _jumper_plain(jumper: Jumper) -> Plain:
    conductor = as_plain(jumper.conductor)
    keys = ("material", "construction", "finish", "insulation", "cable", "role", "circuit")
    return {
        "size": jumper.conductor.size.to_dict(),
        **{key: conductor[key] for key in keys if key in conductor},
        "between": list(jumper.between),
        "length": as_plain(jumper.length),
        "sized_by": jumper.sized_by,
    }


def _connector_plain(match: Match, include: Collection[str]) -> Iterator[Plain]:
    """Say what a connector's listing must state to be an option here, and of which methods there are such listings."""
    asked: dict[ListingTest, list[str]] = {}
    for demand in match.derived.demands:
        for test in demand.tests:
            asked.setdefault(test, []).append(demand.rule.id)
    index = match.index
    passing = [index.passing(test) for test in asked if test.attribute not in OF_JOINT]
    barred = {method for bar in match.derived.method_bars for method in bar.rule.effect.methods}
    left = [method for method in METHODS if method not in barred]
    # Methods of which each single thing that is asked is listed by some connector, if there are any.
    likely = [method for method in left if all(bits & index.of_methods((method,)) for bits in passing)]
    if left:
        listing = [
            {"attribute": test.attribute, "test": test_plain(test), **({"rules": rules} if "rules" in include else {})}
            for test, rules in asked.items()
        ]
        takes = shape_of(match.joint).text
        methods = likely or left
        yield {"kind": "connector", "methods": methods, "takes": takes, "listing": listing, "outcome": "options"}
