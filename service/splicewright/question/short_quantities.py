"""Which leaf a number with its unit is of, in a question of one line."""

from __future__ import annotations

from splicewright.question.amounts import number_with_unit
from splicewright.question.phrases import phrases
from splicewright.question.read_as import written
from splicewright.question.short_doubts import Said
from splicewright.question.short_words import LONGEST_WORD, LeafName, leaves_named, leaves_saying, numbers
from splicewright.refusals import shown
from splicewright.units import UNITS, whole


def leaf_after(tokens: list[str]) -> tuple[LeafName | None, int]:
    """Give the leaf that a number before tokens is of, where they begin with its name, and of how many that is."""
    for some in range(min(LONGEST_WORD, len(tokens)), 0, -1):
        said = written(" ".join(tokens[:some]))
        for leaf in leaves_named(phrases().after.get(said, said)):
            if leaf in numbers():
                return leaf, some
    return None, 0


def quantity_leaves(said: str, before: Said | None, after: list[str]) -> list[LeafName]:
    """Give the leaves that a quantity may be of: the one whose name follows, or those that a word beside it is of."""
    _, unit = number_with_unit(said)
    units = ("ft", "in") if unit == "ft" else (unit,)
    leaves = [leaf for leaf, of in numbers().items() if {*units} & {*of.units} and leaf.part != "conductor"]
    named, _ = leaf_after(after)
    if named in leaves:
        return [named] if named is not None else []
    about = {leaf.name.partition("_")[0] for leaf in (*([before.leaf] if before else []), *_beside(after))}
    return [leaf for leaf in leaves if leaf.name.partition("_")[0] in about] or leaves


def _beside(tokens: list[str]) -> list[LeafName]:
    """Give the leaves of the word that tokens begin with, qualities passed over: `GFCI breaker` is a breaker."""
    for at in range(len(tokens)):
        for some in range(min(LONGEST_WORD, len(tokens) - at), 0, -1):
            said = " ".join(tokens[at : at + some])
            if found := list(leaves_saying(said)):
                if written(said) in phrases().qualities:
                    break
                return found
        else:
            return []
    return []


def quantity_told(said: str, leaves: list[LeafName], after: list[str]) -> str:
    """Tell why a quantity has no place among leaves; empty where it has one."""
    number, unit = number_with_unit(said)
    if not leaves:
        return f"{shown(said)} says nothing of a joint: no leaf is in {unit}"
    if len(leaves) > 1:
        ways = " or ".join(f"{leaf} {said}" for leaf in leaves)
        return f"{shown(said)} may be {', '.join(map(str, leaves))}; write {ways}"
    if leaf_after(after)[0]:
        return ""
    kind = UNITS[unit][0] if unit in UNITS else ""
    if kind == "length":  # a box is told by its inches too
        told = f"{shown(said)} does not say of what; write {leaves[0]} {said}"
        return f"{told} where that is how deep the wiring lies; how large a box or a pipe is, is no part of a question"
    if kind == "temperature" and whole(number, str(unit)) in {whole(one, "degC") for one in phrases().ratings}:
        return f"{shown(said)} does not say of what; {phrases().ratings_say.format(said=said)}"
    return ""
