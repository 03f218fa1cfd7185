"""What is told of a shelf, for people: what a connector takes, what changed, what is open, what covers most."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from splicewright.reports.page import Page, page
from splicewright.reports.words import value_text
from splicewright.shelf.cover import Cover
from splicewright.shelf.diff import CatalogueDiff, FieldChange
from splicewright.shelf.gaps import Gap, Gaps, OneMore, not_stated
from splicewright.shelf.takes import Filling, Taken
from splicewright.units import counted, plain

_BAR = 30  # characters for the most metal
_SHOWN = 12  # gaps, joints
_TAKES_SHOWN = 4
_MM2 = 1_000_000


def print_taken(taken: Taken) -> None:
    """Print what a connector takes: sentences, then a bar a filling."""
    with page() as out:
        out.headline(taken.connector.id)
        for sentence in taken.sentences:
            out.line(sentence)
        out.line("")
        columns = [(f"0 to {_mm2(taken.most)} mm2", False), ("mm2", True), ("filling", False), ("of", False)]
        out.table(columns, (_filling(one, taken.most) for one in taken.fillings), whole=2)


def _filling(one: Filling, most: int) -> tuple[str, str, str, str]:
    metal = _mm2(one.least) if one.least == one.most else f"{_mm2(one.least)} to {_mm2(one.most)}"
    begin = min(one.least * _BAR // most, _BAR - 1)
    end = max(-(-one.most * _BAR // most), begin + 1)
    return "·" * begin + "█" * (end - begin) + "·" * (_BAR - end), metal, one.text, one.kinds


def _mm2(area: int) -> str:
    return plain(round(area / _MM2, 2))


# --- diff ----------------------------------------------------------------------------------------


def print_diff(diff: CatalogueDiff) -> None:
    """Print what changed from one catalogue to another."""
    with page() as out:
        counts = (
            (len(diff.added), "added"),
            (len(diff.gone), "gone"),
            (len(diff.changed), "changed"),
        )
        told = ", ".join(f"{number} {word}" for number, word in counts if number)
        out.headline(f"{diff.old.name} to {diff.new.name}: {told or 'every connector says the same'}.")
        for word, some in (("Added", diff.added), ("Gone", diff.gone)):
            if some:
                out.title(word)
                for connector in some:
                    out.item(connector)
        alike: dict[str, tuple[list[str], tuple[FieldChange, ...]]] = {}
        for connector, fields in diff.changed.items():
            alike.setdefault(repr([field.to_dict() for field in fields]), ([], fields))[0].append(connector)
        for connectors, fields in alike.values():
            out.title(", ".join(connectors))
            for field in fields:
                _field(out, field)


def _field(out: Page, change: FieldChange) -> None:
    if change.added or change.gone:
        out.line(f"{change.field}:", indent=2)
        for one in change.gone:
            out.item(_said(one), indent=4, mark="-")
        for one in change.added:
            out.item(_said(one), indent=4, mark="+")
    else:
        out.line(f"{change.field}: {_said(change.was)}, now {_said(change.now)}", indent=2)


def _said(value: Any) -> str:
    if value is None:
        return "not stated"
    if isinstance(value, Mapping) and "unit" not in value:
        return ", ".join(f"{name.replace('_', ' ')} {_said(one)}" for name, one in value.items())
    if isinstance(value, list) and any(isinstance(one, Mapping) for one in value):
        return "; ".join(map(_said, value))
    return value_text(value)


# --- gaps and cover ------------------------------------------------------------------------------


def print_gaps(gaps: Gaps, catalogue: str) -> None:
    """Print which joints nothing on the shelf takes."""
    with page() as out:
        told = "none is open" if not gaps.gaps else f"{gaps.open:,} {'is' if gaps.open == 1 else 'are'} open"
        out.headline(f"{catalogue}: of {counted(gaps.joints, 'joint')} {gaps.covered:,} can be made; {told}.")
        if gaps.gaps:
            out.title("Nothing on the shelf takes")
            for gap in gaps.gaps[:_SHOWN]:
                _gap(out, gap)
            _more(out, len(gaps.gaps) - _SHOWN, "kind of joint")
        if gaps.to_read:
            out.title("Read these cartons again: they may do, but do not state what is asked")
            for read in gaps.to_read:
                out.item(f"{read.connector}: {', '.join(read.lacks)} ({counted(read.joints, 'joint')})")
        _one_more(out, "One more type would cover", gaps.one_more)
        _one_more(out, "Of the other catalogue", gaps.of_others)
        if gaps.outside:
            out.title("No connector would help")
            for one in gaps.outside[:_SHOWN]:
                outcome = "outside this tool" if one.outcome == "refer" else "barred"
                out.item(f"{one.joint.name} ({one.joint.at}): {outcome}")
            _more(out, len(gaps.outside) - _SHOWN, "kind of joint")
        if gaps.unsearched:
            out.line("")
            out.line(f"Of {gaps.unsearched:,} further kinds of joints no nearest misses were looked for.")


def _gap(out: Page, gap: Gap) -> None:
    joint = gap.held.joint
    out.line(f"{joint.name} x {joint.count:,}: {gap.held.takes} ({joint.at})", indent=2)
    for connector, reasons in gap.misses:
        names = not_stated(reasons)
        why = f"unproven; not stated: {', '.join(names)}" if names else " ".join(reason.whole for reason in reasons)
        out.item(f"{connector}: {why}", indent=4)


def _one_more(out: Page, title: str, some: Sequence[OneMore]) -> None:
    if not some:
        return
    out.title(title)
    for one in some:
        named = f"one as {one.connector}, but for: {' '.join(one.lacks)}" if one.lacks else one.connector
        out.item(f"{counted(one.joints, 'joint')}: {named}")
        shown = "; ".join(one.takes[:_TAKES_SHOWN])
        more = len(one.takes) - _TAKES_SHOWN
        out.line(f"for {shown}{f'; and {more} more' if more > 0 else ''}", indent=4, dim=True)


def _more(out: Page, number: int, noun: str) -> None:
    if number > 0:
        out.line(f"and {number:,} more {noun if number == 1 else noun.replace('kind', 'kinds', 1)}", indent=2)


def print_cover(cover: Cover, catalogue: str) -> None:
    """Print the types that cover most joints, and what they leave open."""
    with page() as out:
        share = f"{cover.covered:,} of {counted(cover.joints, 'joint')}"
        proof = "no other choice covers more" if cover.proven else f"not proven; {cover.at_most:,} at most"
        types = f"{counted(len(cover.added), 'type')} cover{'s' if len(cover.added) == 1 else ''}"
        out.headline(f"{catalogue}: {types} {share}; {proof}.")
        columns = [("type", False), ("joints", True)]
        if cover.added:
            out.line("")
            out.table(columns, [(one, f"{count:,}") for one, count in cover.added], whole=1)
        if cover.carried:
            out.title("On the shelf already")
            out.table(columns, [(one, f"{count:,}") for one, count in cover.carried], whole=1)
        if cover.uncovered:
            out.title("Not covered")
            for one in cover.uncovered[:_SHOWN]:
                best = f"best with {one.options[0]}" if one.options else one.outcome
                out.item(f"{one.joint.name} x {one.joint.count:,}: {one.takes}; {best} ({one.joint.at})")
            _more(out, len(cover.uncovered) - _SHOWN, "kind of joint")
