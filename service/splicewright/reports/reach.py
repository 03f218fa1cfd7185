"""What a word of a question reaches, for people: rules by what they do."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from splicewright.reports.page import Page, page
from splicewright.reports.words import source_text

if TYPE_CHECKING:
    from splicewright.rulebook.word_reach import Reached, WordReach

_GROUPS = {"bar": "bars", "refer": "referrals", "demand": "demands", "caution": "cautions"}
_REST = "rest"


def print_reach(found: Iterable[WordReach]) -> None:
    """Print for each leaf the rules that its word turns on and off."""
    with page() as out:
        for at, one in enumerate(found):
            means = f": {one.asked.means}" if one.asked.means else ""
            (out.title if at else out.headline)(f"{one.asked}{means}")
            parts = {
                "turns on" if one.asked.word is not None else "is tested by": one.on,
                "turns off": one.off,
                "turns off, unless something beside it is what they ask for": one.unless,
                "decides by way of a measure": one.measured,
            }
            if not any(parts.values()):
                out.line("reaches no rule", indent=2)
            for title, reached in parts.items():
                _print_part(out, title, reached)


def _print_part(out: Page, title: str, reached: tuple[Reached, ...]) -> None:
    if reached:
        out.title(title)
    for group in (*_GROUPS.values(), _REST):
        own = [one for one in reached if _GROUPS.get(one.rule.effect.kind, _REST) == group]
        if own:
            out.line(group, indent=2)
        for one in own:
            does = f"{one.rule.effect.kind} " if group == _REST else ""
            out.line(f"{does}{one.rule.id} ({one.by}) — {source_text(one.rule.source.to_dict())}", indent=4)
            out.line(one.rule.says, indent=6)
