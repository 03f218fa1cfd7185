"""The answer to a check for people: the verdict, what speaks against it, what is open, what is borne out."""

from __future__ import annotations

from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.padding import Padding
from rich.table import Table

from splicewright.reports.screen import screen
from splicewright.reports.text import fill_text, source_text, value_text

Plain = dict[str, Any]
_HEADLINES = {
    "sound": "Sound: nothing speaks against it, and all that is asked is said.",
    "unsound": "Unsound: it may not stay as it is.",
    "unproven": "Unproven: nothing speaks against it, but not all that is asked is said.",
}


def print_check(answer: Plain) -> None:
    """Print the answer to a check to standard output."""
    with screen() as out:
        _answer(out, answer)


def _answer(out: Console, answer: Plain) -> None:
    rules = answer.get("rules", {})
    out.print(f"[bold]{_HEADLINES[answer['verdict']]}[/bold]")
    out.print(f"Proposed: {escape(_proposed(answer['proposed']))}")
    _points(out, "Against it", answer["violations"], rules)
    _points(out, "Not said, but asked", answer["unproven"], rules)
    if isinstance(answer["confirmed"], list):
        _points(out, "Borne out", answer["confirmed"], rules)
    elif answer["confirmed"]:
        out.print(f"\n{answer['confirmed']} points borne out")
    for one in answer["unjudged"]:
        out.print(f"\nNot judged: {escape(one['said'])}. {escape(one['says'])}")
    _options(out, answer)
    _points(out, "Cautions", answer["cautions"], rules)
    _assumed(out, answer["assumed"])
    out.print(
        f"\n[dim]answer {answer['answer']}\nrulesets {answer['rulesets']['code']} {answer['rulesets']['digest']}[/dim]"
    )


def _proposed(proposed: Plain) -> str:
    if "connector" not in proposed:
        return f"some {proposed['method']} connector"
    fill = f", fill {fill_text(proposed['fill'])}" if "fill" in proposed else ""
    return f"{proposed['connector']} ({proposed['method']}){fill}"


def _points(out: Console, title: str, points: list[Plain], rules: Plain) -> None:
    if not points:
        return
    out.print(f"\n[bold]{title}[/bold]")
    for one in points:
        cited = f" — {source_text(rules[one['rule']]['source'])}" if one["rule"] in rules else ""
        asks = f"{one['asks']}: " if "asks" in one else ""
        how = f" Listed: {one['how']}." if one.get("how") else ""
        whose = f" Holds for {', '.join(one['connectors'])}." if "connectors" in one else ""
        says = escape(f"{asks}{one['says']}{how}{whose}")
        out.print(Padding(f"• {says} [dim]\\[{escape(one['rule'] + cited)}][/dim]", (0, 0, 0, 2)))


def _options(out: Console, answer: Plain) -> None:
    if not answer["options"]:
        return
    more = f", {answer['more']} more" if answer["more"] else ""
    out.print(f"\n[bold]Sound options beside it, best first{more}[/bold]")
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 2, 0, 0))
    for heading in ("", "connector", "method", "fill"):
        table.add_column(heading, overflow="fold")
    for one in answer["options"]:
        table.add_row(str(one["rank"]), one["connector"], one["method"], escape(fill_text(one["fill"])))
    out.print(table)


def _assumed(out: Console, assumed: Any) -> None:
    if isinstance(assumed, dict) and assumed:
        told = ", ".join(f"{pointer} {value_text(value)}" for pointer, value in assumed.items() if value != [])
        out.print("\n[bold]Assumed, because not stated[/bold]")
        out.print(Padding(f"[dim]{escape(told)}[/dim]", (0, 0, 0, 2)))
