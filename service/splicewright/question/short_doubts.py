"""Why words of a question of one line are asked about instead of taken."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from splicewright.nearest_word import Spoken
from splicewright.question import vocabulary as v
from splicewright.question.amounts import has_unit, unknown_told
from splicewright.question.phrases import phrases
from splicewright.question.read_as import written
from splicewright.question.short_words import (
    LONGEST_WORD,
    LeafName,
    field_of,
    leaves_named,
    leaves_saying,
    several_of,
    word_tables,
)
from splicewright.refusals import Says, not_allowed, shown
from splicewright.units import sizes_meant

_ANSWERS = ("not", "no", "none", "yes", "non", "without")
_MOST_SHOWN = 8  # words of a leaf
_HOW_OFTEN = "reopened"  # the leaf whose words qualify others in everyday English


class Said(NamedTuple):
    """A word that was said, and the leaf that it is of."""

    text: str
    leaf: LeafName


def asked_about(said: str, number: LeafName | None) -> str:
    """Ask which meaning a word has that the vocabulary has, but everyday English too; empty for any other.

    `number` is the leaf of the number that stands before it.
    """
    clear = number is not None and phrases().but_after.get(written(said)) == number.name
    says = None if clear else phrases().asked.get(written(said))
    return f"{shown(said)} has several meanings; write {says}" if says else ""


def asked_for(said: str, *, conductor: bool) -> str:
    """Ask for what a phrase without a meaning here may stand for; empty where it is not known at all."""
    if says := several_of(said, conductor=conductor):
        return f"{shown(said)} has several meanings; say {says}"
    if written(said) in v.METHODS:
        told = f"{shown(said)} is a method, which follows from the answer and is no part of the joint"
        return f"{told}; to ask for one alone, write it at only.methods of a question"
    if leaves := leaves_named(said):
        return _without_value(leaves[0])
    words, others = word_tables()
    if written(said) in words or written(said) in others:
        return f"{shown(said)} is said of a conductor; write it beside its size"
    return ""


def answer_alone(said: str) -> bool:
    """Tell whether it is a yes or a no, which says nothing where no leaf is named."""
    return written(said) in _ANSWERS


def negated_word(negation: str, said: str, leaf: LeafName | None) -> str:
    """Tell that a word can't be negated."""
    if not said:
        such = "enclosure=none" if negation.lower() == "none" else "continuous=no"
        return f"{shown(negation)} does not say of what; name the leaf that it is of, such as {such}"
    told = f"{shown(f'{negation} {said}')}: only what is yes or no can be negated, such as continuous"
    if leaf is None or field_of(leaf).kind == "flag":
        return f"{told}; write what there is instead of {shown(said)}"
    return f"{told}; of {leaf} write what it is: {_ways(leaf)}"


def beside(before: Said, after: Said) -> str:
    """Tell why a word can't be taken apart from the one that it stands beside; empty where it can."""
    if before.leaf == after.leaf and word_meant(*before) == word_meant(*after):
        return ""
    parts = {_part_of(before), _part_of(after)}
    if parts == {"conductor"} or ("quality" in parts and None not in parts):
        return ""
    both = f"{before.text} {after.text}"
    if before.leaf.name == "size":
        return f"{shown(after.text)} is not said of a conductor; put a comma before it, or write {_named(after)}"
    for one, other in ((before, after), (after, before)):
        if qualifies(one):
            return (
                f"{shown(both)}: {shown(one.text)} qualifies no other word; write {one.leaf}={one.text} of a joint"
                f" that is opened so often, and of {other.leaf} what it is"
            )
    return (
        f"{shown(both)} may be one name, which is not known; where {_named(before)} and {_named(after)} are meant, "
        "put a comma between the two"
    )


def word_meant(said: str, leaf: LeafName) -> str:
    """Give the word of the vocabulary that is said of a leaf."""
    words = getattr(field_of(leaf), "words", None)
    return words.said.get(written(said), said) if isinstance(words, Spoken) else said


def qualifies(word: Said | None) -> bool:
    """Tell whether a word turns round what follows it in everyday English, whatever stands between: `never in`."""
    return word is not None and word.leaf.name == _HOW_OFTEN


def _part_of(word: Said) -> str | None:
    """Tell what a word is to those beside it: of a conductor, a quality, a thing, or None for what stands alone."""
    said = written(word.text)
    if word.leaf.part == "conductor":
        return "conductor"
    if said in phrases().qualities:
        return "quality"
    return "thing" if said in phrases().things else None


def misplaced(before: str, word: Said) -> str:
    """Tell why a word can't follow `in`: it may be what the joint stands in, or what is there."""
    known = not before or before != "in" or word.leaf.name.replace("_", "-") in phrases().places
    if known or _part_of(word):
        return ""
    if says := several_of(word.text, conductor=False):
        return f"{shown(f'{before} {word.text}')} has several meanings; say {says}, or {_named(word)}"
    return f"{shown(f'{before} {word.text}')} does not say what the joint is in; where it is meant write {_named(word)}"


def of_the_next(meanings: list[tuple[LeafName, Any]], after: list[str]) -> list[tuple[LeafName, Any]]:
    """Give, of several meanings of a word, that of a thing's quality where the thing follows: of `plastic box`."""
    if len(meanings) < 2:
        return meanings
    follows = {leaf.name for some in range(1, LONGEST_WORD) for leaf in leaves_saying(" ".join(after[:some]))}
    here = [one for one in meanings if phrases().qualities_of.get(one[0].name.replace("_", "-")) in follows]
    return here or meanings


def unplaced(token: str, *, conductor: bool) -> Says:
    """Tell what may have been meant by a token that is no word here."""
    if token.startswith("#") and (sizes := sizes_meant(token)):
        write = " or ".join(sizes)
        return Says(f"{shown(token)} is a size; write {write} before what else is said of its conductor", "missing")
    if has_unit(token):
        unit = re.sub(r"^[0-9.]+", "", token).strip()
        told = unknown_told(token) or f"{shown(token)} says nothing of a joint: no leaf is in {unit}"
        return Says(told, "unknown-word")
    if re.fullmatch(r"#?[0-9]+([./][0-9]+)?", token):
        sizes = [] if conductor else sizes_meant(token)
        ways = [*sizes, f"{token} V", f"{token} A"]
        told = f"{shown(token)} is a number without its unit; write {', '.join(ways[:-1])} or {ways[-1]}"
        return Says(told, "missing")
    words, said = word_tables()
    return not_allowed(token, sorted({*words, *said}))


def _without_value(leaf: LeafName) -> str:
    of = field_of(leaf)
    value = f"{leaf} 20 {next(iter(of.units))}" if of.units else f"{leaf}={_ways(leaf)}"
    return f"{shown(str(leaf))} is named without its value; write {value}"


def _ways(leaf: LeafName) -> str:
    of = field_of(leaf)
    words = list(of.words)[:_MOST_SHOWN] if of.words else ["yes", "no"] if of.kind == "flag" else ["…"]
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else words[0]


def _named(word: Said) -> str:
    value = "yes" if field_of(word.leaf).kind == "flag" else word.text
    return f"{word.leaf}={value}"
