"""What rules found, in its JSON form: the sentence, what it speaks of (`at`), and its proof (`from`).

A question's conductors may be sent in any order, so pointers to them are written for their order in the canonical
question, between marks, and put right for each question as it was sent (`placed`). JSON text has no such marks.
What is said is written once, and kept with the statement.
"""

from __future__ import annotations

import functools
import itertools
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from typing import Any, NamedTuple, TypeVar, cast

import orjson

from splicewright.choice.telling import test_plain
from splicewright.engine import Finding, FindingSet, Statement
from splicewright.question.fact_kinds import FactKind, fact_kinds
from splicewright.question.facts import Facts, fact_and_told
from splicewright.question.model import Conductor
from splicewright.question.read import ParsedQuestion, so_many
from splicewright.units import size

Plain = dict[str, Any]
_Made = TypeVar("_Made")
#: Where a conductor stands is written between two of the first, the pointers of a proof, which may have been filled in,
#: between two of the second.
_MARK, _PROOF = "\x1a", b"\x1c"
_CONDUCTORS = "/joint/conductors"
_MARKED = re.compile(rb'"/joint/conductors/\x1a([0-9]+)\x1a([^"]*)"')
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
        self._derived, self._proofs = derived, proofs
        self._of_rules: dict[str, tuple[str, ...]] = {}

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
                yield _kept(caution, "mind", _mind_text)
        yield _ALWAYS

    def caution(self, finding: Finding) -> bytes:
        """Write a caution: a finding with its kind."""
        return self._whole(finding, _kept(finding, "caution", _caution_text))

    def method_bar(self, finding: Finding) -> bytes:
        """Write a bar on methods."""
        return self._whole(finding, _kept(finding, "method bar", _method_bar_text))

    def demand(self, finding: Finding) -> bytes:
        """Write what is asked of a connector: entries with commas between, one for each attribute asked for."""
        text = self._whole(finding, statement_text(finding))
        return b",".join([_and_more(text, test) for test in _kept(finding, "tests", _test_texts)])

    def proofs(self, finding: Finding) -> tuple[Proof, ...]:
        """Give what a finding rests on: the facts, each value once, then the rules that concluded the rest."""
        rules = sorted(finding.rests_on_rules)
        return (*_grounds(finding, self._derived.facts).proofs, *(Proof("", rule) for rule in rules))

    def at(self, finding: Finding) -> tuple[str, ...]:
        """Give the leaves that a finding rests on, followed back through what was concluded, as marked pointers."""
        return self._at(_grounds(finding, self._derived.facts), finding.rests_on_rules)

    def _at(self, grounds: _Grounds, rules: Iterable[str]) -> tuple[str, ...]:
        behind = [self._of_rules.get(rule) or self._concluded_by(rule) for rule in rules]
        return tuple(dict.fromkeys(itertools.chain(grounds.at, *behind))) if behind else grounds.at

    def _concluded_by(self, rule: str) -> tuple[str, ...]:
        """Give what a rule that concluded something rests on."""
        conclusions = [one for one in self._derived.conclusions if one.rule.id == rule]
        found = self._of_rules[rule] = tuple(dict.fromkeys(itertools.chain(*map(self.at, conclusions))))
        return found

    def _whole(self, finding: Finding, text: bytes) -> bytes:
        """Add to an object what the finding speaks of, and what it rests on."""
        grounds, rules = _grounds(finding, self._derived.facts), finding.rests_on_rules
        if not rules:
            return text[:-1] + (grounds.proved if self._proofs else grounds.pointed)
        text = text[:-1] + _pointed(self._at(grounds, rules))
        return text[:-1] + _proved([*grounds.texts, *map(_rule_text, sorted(rules))]) if self._proofs else text


def statement_text(said: Finding | Statement) -> bytes:
    """Write a rule and what it says as JSON text."""
    found: bytes | None = said.kept.get("said")
    if found is None:
        found = said.kept["said"] = orjson.dumps({"rule": said.rule.id, "says": said.says})
    return found


def _and_more(text: bytes, more: bytes) -> bytes:
    """Add to an object, which is not empty, what stands in another one."""
    return b"%b,%b" % (text[:-1], more[1:])


def _kept(said: Finding, name: str, write: Callable[[Finding], _Made]) -> _Made:
    """Give what was written of a statement, which is kept with it."""
    found: _Made | None = said.kept.get(name)
    if found is None:
        found = said.kept[name] = write(said)
    return found


def _mind_text(caution: Finding) -> bytes:
    return orjson.dumps({"rule": caution.rule.id, "kind": "mind"})


def _caution_text(caution: Finding) -> bytes:
    return _and_more(b'{"kind":"%b"}' % caution_kind(caution).encode(), statement_text(caution))


def _method_bar_text(bar: Finding) -> bytes:
    return _and_more(statement_text(bar), orjson.dumps({"methods": list(bar.rule.effect.methods)}))


def _test_texts(demand: Finding) -> list[bytes]:
    return [orjson.dumps({"attribute": test.attribute, "test": test_plain(test)}) for test in demand.tests]


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
    """The facts that a finding rests on itself, and how they are written.

    A measure has no pointer: the leaves that it is made of stand beside it.
    """

    def __init__(self, single: Sequence[str], of_conductors: Sequence[tuple[int, Sequence[str]]]) -> None:
        """Take the lines of single facts, and those of conductors by their places; those of absent facts are empty."""
        leaves: list[tuple[str, int | None]] = [(line, None) for line in single if line]
        leaves += [(line, at) for at, lines in of_conductors for line in lines if line]
        found: dict[tuple[str, str], dict[str, None]] = {}
        pointers: dict[str, None] = {}
        for line, at in leaves:
            fact = fact_and_told(line)
            pointer = _pointer(fact[0], at)
            of_fact = found.setdefault(fact, {})
            if pointer:
                of_fact[pointer] = pointers[pointer] = None
        self.at = tuple(pointers)
        self.proofs = tuple([Proof(*fact, tuple(of_fact)) for fact, of_fact in sorted(found.items())])
        self.texts = [_proof_text(proof) for proof in self.proofs]
        self.pointed = _pointed(self.at)
        self.proved = self.pointed[:-1] + _proved(self.texts)


def _grounds(finding: Finding, facts: Facts) -> _Grounds:
    provenance, of_conductors = finding.statement.provenance, facts.conductor_lines
    found: list[tuple[int, tuple[str, ...]]] = []
    if provenance.every:
        found = [(at, tuple([lines[name] for name in provenance.every])) for at, lines in enumerate(of_conductors)]
    if provenance.matched:
        found += [
            (at, tuple([of_conductors[at][name] for name in names]))
            for firing in finding.firings
            for at, names in zip(firing.conductors, provenance.matched, strict=True)
        ]
    lines = facts.lines
    return _grounds_in(tuple([lines[name] for name in provenance.single]), tuple(found))


#: The same facts are the same grounds in any question.
_grounds_in = functools.lru_cache(maxsize=4096)(_Grounds)


def _pointed(at: Iterable[str]) -> bytes:
    """Write what a finding speaks of, as the end of an object that is not empty; it may be nothing."""
    return b',"at":[%b]}' % _pointers_text(at) if at else b"}"


def _proved(texts: Iterable[bytes]) -> bytes:
    """Write what a finding rests on, as the end of such an object."""
    return b',"from":[%b]}' % b",".join(texts)


@functools.cache
def _pointer(name: str, conductor: int | None = None) -> str:
    part, _, leaf = name.partition(".")
    kind = fact_kinds().get(name)
    if kind is not None and kind.reads:
        return ""
    return f"/{part}/{leaf}" if conductor is None else f"{_CONDUCTORS}/{_MARK}{conductor}{_MARK}/{leaf}"


def _pointers_text(pointers: Iterable[str]) -> bytes:
    return '"{}"'.format('","'.join(pointers)).encode()


@functools.lru_cache(maxsize=1024)
def _rule_text(rule: str) -> bytes:
    return orjson.dumps({"rule": rule})


def _proof_text(proof: Proof) -> bytes:
    if not proof.fact:
        return _rule_text(proof.told)
    kind = fact_kinds().get(proof.fact)
    fact = orjson.dumps({"fact": proof.fact, "value": proof.told if kind is None else _value(kind, proof.told)})
    return b"%b,%b%b%b}" % (fact[:-1], _PROOF, _pointers_text(proof.at), _PROOF) if proof.at else fact


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
    parts = text.split(_PROOF)
    if len(parts) > 1:
        filled = {b'"%b"' % pointer.encode() for pointer in assumed}
        proofs = parts[1::2]
        written = {at: _at_of_proof(at, filled) for at in set(proofs)}  # most pointers are those of many proofs
        parts[1::2] = [written[at] for at in proofs]
    return b"".join(parts)


def placed_pointers(pointers: Iterable[str], order: Order) -> Iterator[str]:
    """Give marked pointers as pointers into the question as it was sent."""
    for pointer in pointers:
        head, _, rest = pointer.partition(_MARK)
        at, _, leaf = rest.partition(_MARK)
        yield from (f"{head}{place}{leaf}" for place in order[int(at)]) if rest else (pointer,)


def _sent(found: re.Match[bytes], order: Order) -> bytes:
    leaf = found[2]
    return b",".join([b'"/joint/conductors/%d%b"' % (at, leaf) for at in order[int(found[1])]])


def _at_of_proof(at: bytes, filled: set[bytes]) -> bytes:
    by_default = b',"assumed":true' if filled.issuperset(at.split(b",")) else b""
    return b'"at":[%b]%b' % (at, by_default)


def order_of(asked: ParsedQuestion) -> Order:
    """Give for each conductor of the canonical question where it stands in the question as it was sent."""
    entering, conductors = asked.entering, asked.question.joint.conductors
    if entering == conductors:
        return tuple([(at,) for at in range(len(conductors))])
    places: dict[Conductor, list[int]] = {}
    for at, conductor in enumerate(entering):
        places.setdefault(so_many(conductor, 1), []).append(at)
    return tuple([tuple(places.get(so_many(conductor, 1), ())) for conductor in conductors])
