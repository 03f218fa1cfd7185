"""What a word of a question reaches, for people: rules by what they do."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rich.console import Console
from rich.markup import escape
from rich.padding import Padding

from splicewright.reports.screen import screen
from splicewright.reports.words import source_text

if TYPE_CHECKING:
    from splicewright.rulebook.word_reach import Reached, WordReach

_GROUPS = {"bar": "bars", "refer": "referrals", "demand": "demands", "caution": "cautions"}
_REST = "rest"


def print_reach(found: Iterable[WordReach]) -> None:
    """Print for each leaf the rules that its word turns on and off."""
    with screen() as out:
        for at, one in enumerate(found):
            means = f": {one.asked.means}" if one.asked.means else ""
            out.print(("\n" if at else "") + escape(f"{one.asked}{means}"), style="bold")
            parts = {
                "turns on" if one.asked.word is not None else "is tested by": one.on,
                "turns off": one.off,
                "turns off, unless something beside it is what they ask for": one.unless,
                "decides by way of a measure": one.measured,
            }
            if not any(parts.values()):
                out.print("  reaches no rule")
            for title, reached in parts.items():
                _print_part(out, title, reached)


def _print_part(out: Console, title: str, reached: tuple[Reached, ...]) -> None:
    if reached:
        out.print(f"\n{title}")
    for group in (*_GROUPS.values(), _REST):
        own = [one for one in reached if _GROUPS.get(one.rule.effect.kind, _REST) == group]
        if own:
            out.print(f"  {group}")
        for one in own:
            does = f"{one.rule.effect.kind} " if group == _REST else ""
            _print_line(out, f"{does}{one.rule.id} ({one.by}) — {source_text(one.rule.source.plain())}", 4)
            _print_line(out, one.rule.says, 6)


def _print_line(out: Console, text: str, indent: int) -> None:
    out.print(Padding(escape(text), (0, 0, 0, indent)))
