"""What rules found, in its JSON form: the sentence, what it speaks of (`at`), and its proof (`from`).

A question's conductors may be sent in any order, so pointers to them are written for their order in the canonical
question, between marks, and put right for each question as it was sent (`placed`). JSON text has no such marks.
What is said is written once, and kept with the statement.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Collection, Iterable, Iterator
from functools import cached_property, partial
from typing import Any, NamedTuple, TypeVar, cast

import orjson

from splicewright.choice.telling import test_plain
from splicewright.engine import Finding, FindingSet, Statement
from splicewright.question.fact_kinds import FactKind, fact_kinds
from splicewright.question.facts import LABEL, Facts, told_of
from splicewright.units import size

Plain = dict[str, Any]
_Made = TypeVar("_Made")
#: Where a conductor stands is written between two of these, and one stands after a proof that a default may be behind.
_MARK, _PROOF = "\x1a", "\x1c"
_CONDUCTORS = "/joint/conductors"
_MARKED = re.compile(rb'"/joint/conductors/\x1a([0-9]+)\x1a([^"]*)"')
_PROVED = re.compile(rb'"at":\[([^\]]*)\]\x1c')
#: What holds of every joint, in one sentence.
ALWAYS = "De-energize, lock out, test dead. Listing, code, a licensed electrician decide."
_ALWAYS = orjson.dumps({"kind": "always", "says": ALWAYS})
#: For each conductor of the canonical question the places of those that it was sent as.
Order = tuple[tuple[int, ...], ...]


class Proof(NamedTuple):
    """One thing that a finding rests on: a `fact` with its value as told, or (no fact) the id of a rule.

    `at` are marked pointers to the leaves that have it.
    """

    fact: str
    told: str
    at: tuple[str, ...] = ()

    def to_dict(self, order: Order, assumed: Collection[str]) -> Plain:
        """Write it for a question as it was sent; `assumed` are the pointers of what was filled in."""
        return cast("Plain", orjson.loads(placed(_proof_text(self), order, assumed)))


class FindingTexts:
    """Writes the findings of one question, in marked text: see `placed`."""

    def __init__(self, derived: FindingSet, *, proofs: bool) -> None:
        """Write with or without `proofs`."""
        self._derived, self._proofs, self._facts = derived, proofs, derived.facts
        self._behind: dict[str, tuple[str, ...]] = {}
        # By the identity of findings, which the question's set of them keeps.
        self._at: dict[int, tuple[str, ...]] = {}
        self._grounds: dict[int, _Grounds] = {}

    def finding(self, finding: Finding) -> bytes:
        """Write a finding."""
        return self._whole(finding, statement_text(finding))

    def cautions(self, include: Collection[str]) -> Iterator[bytes]:
        """Write the cautions, each with what it says where `include` names that; else those of every joint as one."""
        found = told_cautions(self._derived, include)
        if "cautions" in include:
            yield from map(self.caution, found)
            return
        for caution in found:
            if caution_kind(caution) == "mind":
                yield _kept(caution, "mind", partial(orjson.dumps, {"rule": caution.rule.id, "kind": "mind"}))
        yield _ALWAYS

    def caution(self, finding: Finding) -> bytes:
        """Write a caution: a finding with its kind."""
        return self._whole(
            finding, _and_more(statement_text(finding), b'{"kind":"%b"}' % caution_kind(finding).encode())
        )

    def method_bar(self, finding: Finding) -> bytes:
        """Write a bar on methods."""
        methods = _kept(finding, "methods", lambda: orjson.dumps({"methods": list(finding.rule.effect.methods)}))
        return self._whole(finding, _and_more(statement_text(finding), methods))

    def demand(self, finding: Finding) -> bytes:
        """Write what is asked of a connector: entries with commas between, one for each attribute asked for."""

        def write() -> list[bytes]:
            return [orjson.dumps({"attribute": test.attribute, "test": test_plain(test)}) for test in finding.tests]

        text = self._whole(finding, statement_text(finding))
        return b",".join([_and_more(text, test) for test in _kept(finding, "tests", write)])

    def proofs(self, finding: Finding) -> tuple[Proof, ...]:
        """Give what a finding rests on: the facts, each value once, then the rules that concluded the rest."""
        return (*self._grounds_of(finding).proofs, *(Proof("", rule) for rule in sorted(finding.rests_on_rules)))

    def at(self, finding: Finding) -> tuple[str, ...]:
        """Give the leaves that a finding rests on, followed back through what was concluded, as marked pointers."""
        known = self._at.get(id(finding))
        if known is None:
            known = self._grounds_of(finding).at
            if rules := finding.rests_on_rules:
                found = dict.fromkeys(known)
                for rule in rules:
                    found.update(dict.fromkeys(self._at_of(rule)))
                known = tuple(found)
            self._at[id(finding)] = known
        return known

    def _grounds_of(self, finding: Finding) -> _Grounds:
        return self._grounds.get(id(finding)) or self._grounds.setdefault(id(finding), _grounds(finding, self._facts))

    def _at_of(self, rule: str) -> tuple[str, ...]:
        """Give what a rule that concluded something rests on."""
        if not self._behind:
            of_rule: dict[str, list[Finding]] = {}
            for one in self._derived.conclusions:
                of_rule.setdefault(one.rule.id, []).append(one)
            self._concluding = of_rule
        found = self._behind.get(rule)
        if found is None:
            at = (pointer for one in self._concluding[rule] for pointer in self.at(one))
            found = self._behind[rule] = tuple(dict.fromkeys(at))
        return found

    def _whole(self, finding: Finding, text: bytes) -> bytes:
        """Add to an object what the finding speaks of, and what it rests on."""
        at = self.at(finding)
        if at:
            text = b'%b,"at":%b}' % (text[:-1], _pointers_text(at))
        if self._proofs:
            rules = [_rule_text(rule) for rule in sorted(finding.rests_on_rules)]
            text = b'%b,"from":[%b]}' % (text[:-1], b",".join(filter(None, [self._grounds_of(finding).text, *rules])))
        return text


def statement_text(said: Finding | Statement) -> bytes:
    """Write a rule and what it says as JSON text."""
    return _kept(said, "said", lambda: orjson.dumps({"rule": said.rule.id, "says": said.says}))


def _and_more(text: bytes, more: bytes) -> bytes:
    """Add to an object, which is not empty, what stands in another one."""
    return b"%b,%b" % (text[:-1], more[1:])


def _kept(said: Finding | Statement, name: str, write: Callable[[], _Made]) -> _Made:
    kept = said.kept
    found: _Made | None = kept.get(name)
    if found is None:
        found = kept[name] = write()
    return found


def told_cautions(derived: FindingSet, include: Collection[str]) -> tuple[Finding, ...]:
    """Give the cautions that are told.

    Of a joint that is not to be made it is moot what to mind in making it; `cautions` in `include` tells all the same.
    """
    if not derived.blocked or "cautions" in include:
        return tuple(derived.cautions)
    return tuple([caution for caution in derived.cautions if caution_kind(caution) == "always"])


def caution_kind(finding: Finding) -> str:
    """Give `always` for a caution that holds of every joint, else `mind`."""
    return "mind" if finding.rule.when else "always"


def entries(texts: Iterable[bytes]) -> orjson.Fragment:
    """Put texts into a list, those that are empty left out."""
    return orjson.Fragment(b"[%b]" % b",".join(filter(None, texts)))


# --- what a finding rests on ---------------------------------------------------------------------


class _Grounds:
    """The facts that a finding rests on itself: (name, line in print or empty, marked pointer to the leaf or empty).

    A measure has no pointer: the leaves that it is made of stand beside it.
    """

    def __init__(self, leaves: list[tuple[str, str, str]]) -> None:
        self._leaves = leaves

    @cached_property
    def at(self) -> tuple[str, ...]:
        """The pointers, each once."""
        return tuple(dict.fromkeys([pointer for _, _, pointer in self._leaves if pointer]))

    @cached_property
    def proofs(self) -> tuple[Proof, ...]:
        """The facts, each value once, with all leaves that have it."""
        found: dict[tuple[str, str], dict[str, None]] = {}
        for name, line, pointer in self._leaves:
            if line:
                found.setdefault((name, told_of(name, line)), {})[pointer] = None
        return tuple([Proof(*fact, tuple(filter(None, pointers))) for fact, pointers in sorted(found.items())])

    @cached_property
    def text(self) -> bytes:
        """The proofs in marked text, with commas between."""
        return b",".join(map(_proof_text, self.proofs))


def _grounds(finding: Finding, facts: Facts) -> _Grounds:
    provenance, held, lines = finding.statement.provenance, facts.single, facts.lines
    single = tuple([lines[name] if name in held else None for name in provenance.single])
    if not (provenance.every or provenance.matched):
        return _grounds_in(provenance.single, single)
    leaves = _single_leaves(provenance.single, single)
    for at in range(len(facts.conductors)) if provenance.every else ():
        leaves += _of_conductor(provenance.every, at, facts)
    if provenance.matched:
        for firing in finding.firings:
            for at, names in zip(firing.conductors, provenance.matched, strict=True):
                leaves += _of_conductor(names, at, facts)
    return _Grounds(leaves)


@functools.lru_cache(maxsize=4096)
def _grounds_in(names: tuple[str, ...], lines: tuple[str | None, ...]) -> _Grounds:
    """Give the grounds of a finding that speaks of no conductors: the same facts have the same in any question."""
    return _Grounds(_single_leaves(names, lines))


def _single_leaves(names: Iterable[str], lines: Iterable[str | None]) -> list[tuple[str, str, str]]:
    told = zip(names, lines, strict=True)
    return [(name, line, _pointer(name)) for name, line in told if line is not None]


def _of_conductor(names: Iterable[str], at: int, facts: Facts) -> list[tuple[str, str, str]]:
    known, lines = facts.conductors[at], facts.conductor_lines[at]
    return [(name, lines[name], _pointer(name, at)) for name in names if name in known or name == LABEL]


@functools.cache
def _pointer(name: str, conductor: int | None = None) -> str:
    part, _, leaf = name.partition(".")
    kind = fact_kinds().get(name)
    if kind is not None and kind.reads:
        return ""
    return f"/{part}/{leaf}" if conductor is None else f"{_CONDUCTORS}/{_MARK}{conductor}{_MARK}/{leaf}"


@functools.lru_cache(maxsize=4096)
def _pointers_text(pointers: tuple[str, ...]) -> bytes:
    return b'["%b"]' % '","'.join(pointers).encode()


@functools.lru_cache(maxsize=1024)
def _rule_text(rule: str) -> bytes:
    return orjson.dumps({"rule": rule})


@functools.lru_cache(maxsize=4096)
def _proof_text(proof: Proof) -> bytes:
    if not proof.fact:
        return _rule_text(proof.told)
    at = b',"at":%b%b' % (_pointers_text(proof.at), _PROOF.encode()) if proof.at else b""
    return b"%b%b}" % (_fact_text(proof.fact, proof.told), at)


@functools.lru_cache(maxsize=4096)
def _fact_text(fact: str, told: str) -> bytes:
    kind = fact_kinds().get(fact)
    return orjson.dumps({"fact": fact, "value": told if kind is None else _value(kind, told)})[:-1]


def _value(kind: FactKind, told: str) -> Any:
    if kind.kind == "flag":
        return told == "yes"
    if kind.kind == "words":
        return told.split(" and ")
    if kind.kind == "word":
        return told
    if kind.kind == "size":
        return size_plain(told)
    number, _, unit = told.partition(" ")
    value = float(number) if "." in number else int(number)
    return {"value": value, "unit": unit} if unit else value


def size_plain(text: str) -> Plain:
    """Give a conductor's size as answers write it: `{value: "4/0", unit: "AWG"}`, the value always text."""
    return size(text).to_dict()


# --- the question as it was sent -----------------------------------------------------------------


def placed(text: bytes, order: Order, assumed: Iterable[str]) -> bytes:
    """Put right where conductors stand in marked text, and tell of each proof whether a default is behind it.

    `assumed` are the pointers of what was filled in.
    """
    mark = _MARK.encode()
    if mark in text and order == tuple([(at,) for at in range(len(order))]):
        text = text.replace(mark, b"")
    elif mark in text:
        text = _MARKED.sub(lambda found: _sent(found, order), text)
    if _PROOF.encode() in text:
        filled = {b'"%b"' % pointer.encode() for pointer in assumed}
        known: dict[bytes, bytes] = {}  # most pointers are those of many proofs

        def proved(found: re.Match[bytes]) -> bytes:
            return known.get(found[1]) or known.setdefault(found[1], _proved(found[1], filled))

        text = _PROVED.sub(proved, text)
    return text


def placed_pointers(pointers: Iterable[str], order: Order) -> Iterator[str]:
    """Give marked pointers as pointers into the question as it was sent."""
    for pointer in pointers:
        head, _, rest = pointer.partition(_MARK)
        at, _, leaf = rest.partition(_MARK)
        yield from (f"{head}{place}{leaf}" for place in order[int(at)]) if rest else (pointer,)


def _sent(found: re.Match[bytes], order: Order) -> bytes:
    leaf = found[2]
    return b",".join([b'"/joint/conductors/%d%b"' % (at, leaf) for at in order[int(found[1])]])


def _proved(at: bytes, filled: set[bytes]) -> bytes:
    by_default = b',"assumed":true' if filled.issuperset(at.split(b",")) else b""
    return b'"at":[%b]%b' % (at, by_default)
