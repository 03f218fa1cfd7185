"""Parts of answers in words: fill, values, lengths in both units, sources, concerns."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from splicewright.json_pointer import pointer_words
from splicewright.rulebook.concerns import concern_words, concerns_that_hurt

Plain = Mapping[str, Any]
_SIXTEENTHS = 16
#: Leaves of a conductor whose value is a label of anyone's own, and no word.
_LABELS = ("circuit",)
_OF_CONDUCTOR, _OF_CONDUCTORS = "{told} (conductor {numbers})", "{told} (conductors {numbers})"
_PER_FOOT = {"in": 12, "ft": 1}
#: How a tool of a listing is told where its word alone would be misread.
TOOLS = {"none": "closed by hand", "matched": "the one its instructions name"}


def source_text(source: Plain) -> str:
    """Give a rule's source as it is cited, its doubt included."""
    if source["kind"] == "common-practice":
        return "common practice"
    cited = " ".join(str(source[key]) for key in ("document", "edition", "section") if key in source)
    return f"{cited}, from memory" if source["obtained"] == "memory" else cited


def cited(rule: str, rules: Plain) -> str:
    """Give a rule's id, with its source where the answer cites it."""
    return f"{rule} — {source_text(rules[rule]['source'])}" if rule in rules else rule


def fill_text(fill: Plain) -> str:
    """Give an option's fill in words: `listed`, or `bracketed: a reading between …, not a listing`."""
    if fill["basis"] == "listed":
        spare = fill.get("spare_ports")
        return f"listed, {spare} port{'s' if spare > 1 else ''} empty" if spare else "listed"
    between = fill.get("between")
    return f"bracketed: a reading between {' and '.join(between)}, not a listing" if between else "bracketed: a reading"


def value_text(value: Any, between: str = ", ") -> str:
    """Give a value in words: `13 mm`, `no`, `wet`; a list with something `between`."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping) and "unit" in value:
        number = value["value"]
        return f"{number if isinstance(number, str) else format(number, 'g')} {value['unit']}"
    return between.join(map(value_text, value)) if isinstance(value, list) else str(value)


def size_text(size: Plain) -> str:
    """Give a conductor's size in words: `4/0 AWG`."""
    return f"{size['value']} {size['unit']}"


def both_units(length: Plain) -> str:
    """Give a length in inches and millimetres, one of them rounded: `7/16 in (11 mm)`."""
    value, unit = Fraction(str(length["value"])), length["unit"]
    if unit == "in":
        return f"{_inches(value)} in ({round(value * Fraction('25.4')):d} mm)"
    millimetres = value * 10 if unit == "cm" else value
    sixteenths = Fraction(round(millimetres / Fraction("25.4") * _SIXTEENTHS), _SIXTEENTHS)
    return f"{_inches(sixteenths)} in ({value_text(length)})"


def feet(length: Plain) -> float | str:
    """Give a length in feet, rounded to thousandths; one that is in no unit of ours for wire in words."""
    per_foot = _PER_FOOT.get(length["unit"])
    return value_text(length) if per_foot is None else round(float(length["value"]) / per_foot, 3)


def _inches(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    if part.denominator not in (1, 2, 4, 8, _SIXTEENTHS):
        return f"{float(value):g}"
    return " ".join(filter(None, (str(whole) if whole or not part else "", str(part) if part else "")))


def sent_otherwise(read_as: Iterable[Plain]) -> dict[tuple[str, str], None]:
    """Give once what was sent in other words with what it was taken for, but where both are told alike."""
    told = ((value_text(one["sent"]), value_text(one["taken"])) for one in read_as)
    return {(sent, taken): None for sent, taken in told if sent != taken}


def departures(joints: Iterable[Plain]) -> Iterator[tuple[Plain, str, str]]:
    """Give each joint of a job that is made with something else than is proposed, what that is, and what it is."""
    for one in joints:
        if "check" in one and "connectors" in one and not one["check"]["kept"]:
            proposed = one["check"]["proposed"]
            made = ", ".join(use["connector"] for use in one["connectors"])
            yield one, str(proposed.get("connector", proposed["method"])), made


class Default(NamedTuple):
    """A default that an answer rests on: what it is of (empty where its word tells it alone) and its value.

    `conductors`, counted from 1, are those of which it is a label.
    """

    of: str
    value: str
    conductors: tuple[int, ...] = ()

    def told(self, say: Callable[..., str] = str) -> str:
        """Word it: `solid`, `ambient 30 degC`, `circuit A (conductor 2)`."""
        told = f"{say(self.of)} {say(self.value)}".lstrip()
        if not self.conductors:
            return told
        numbers = ", ".join(map(str, self.conductors))
        return say(_OF_CONDUCTORS if len(self.conductors) > 1 else _OF_CONDUCTOR).format(told=told, numbers=numbers)


def defaults_that_matter(assumed: Plain) -> tuple[Default, ...]:
    """Give once each default that an answer rests on and that says something."""
    found: dict[tuple[str, str], list[int]] = {}
    for pointer, filled in assumed.items():
        if filled["from"] == "default" and filled["value"] not in ([], None):
            *_, part, leaf = pointer.split("/")
            label = leaf in _LABELS and part.isdecimal()
            of = leaf.replace("_", " ") if label or not isinstance(filled["value"], str) else ""
            found.setdefault((of, value_text(filled["value"])), []).extend([int(part) + 1] if label else [])
    return tuple(Default(of, value, tuple(sorted(conductors))) for (of, value), conductors in found.items())


def taken_for(answer: Plain) -> Iterator[Plain]:
    """Give the findings about the place that rest on a default and on something that was stated."""
    for finding in answer.get("findings", ()):
        proofs = finding["from"]
        by_default = [proof for proof in proofs if "assumed" in proof]
        of_place = all(proof.get("fact", "").startswith("place.") for proof in proofs)
        if by_default and len(by_default) < len(proofs) and of_place:
            yield finding


# --- what was judged -----------------------------------------------------------------------


def not_judged(judged: Iterable[Plain]) -> list[Plain]:
    """Give what was not judged, what can hurt first."""
    hurts = concerns_that_hurt()
    return sorted((one for one in judged if "why" in one), key=lambda one: one["concern"] not in hurts)


def not_judged_first(judged: Iterable[Plain]) -> str:
    """Give what was not judged and can hurt, for the first line; empty where all of it was."""
    hurts = concerns_that_hurt()
    names = dict.fromkeys(one["concern"] for one in judged if "why" in one and one["concern"] in hurts)
    return f"Not judged: {', '.join(names)}" if names else ""


def to_state(judged: Iterable[Plain]) -> str:
    """Give the words that would have more of it judged, each once: `circuit.amps, place.depth`."""
    return ", ".join(dict.fromkeys(pointer_words(one["asks"]) for one in not_judged(judged) if "asks" in one))


def without_a_rule(judged: Iterable[Plain]) -> str:
    """Give what no rule here settles, with the article to see."""
    told = (f"{one['concern']}, see {one['article']}" for one in not_judged(judged) if "asks" not in one)
    return "; ".join(dict.fromkeys(told))


def not_judged_whole(judged: Iterable[Plain]) -> list[str]:
    """Give all that was not judged, each with what it asks and what would settle it."""
    return [
        f"{one['concern']} ({_asks(one)}): {'state ' + pointer_words(one['asks']) if 'asks' in one else 'no rule here'}"
        f"; see {one['article']}"
        for one in not_judged(judged)
    ]


def _asks(one: Plain) -> str:
    return within_a_sentence(str(concern_words().get(one["concern"]) or one["concern"]))


def within_a_sentence(sentence: str) -> str:
    """Give a sentence as a part of a longer one."""
    return sentence[:1].lower() + sentence[1:].rstrip(".")


def figure_of_conductor(one: Plain) -> str:
    """Write a figure for the conductors of one size and metal: `torque 2 AWG copper: 140 lbf-in`."""
    value = value_text(one["value"]) if "value" in one else "none listed"
    return f"{one['figure']} {one['size']['value']} {one['size']['unit']} {one['material']}: {value}"


def listing_source(source: Plain) -> str:
    """Write where a listing was read: `carton, side, read 2026-11-30`."""
    read_on = f"read {source['read_on']}" if "read_on" in source else None
    return ", ".join(filter(None, (source["document"], source.get("where"), read_on)))
