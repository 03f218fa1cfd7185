"""The answer about a box for people: does it fit, what takes the room, which boxes would do, and the joints in it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.padding import Padding
from rich.table import Table

from splicewright.reports.screen import screen
from splicewright.reports.text import fill_text, source_text, value_text

Plain = dict[str, Any]
_BOXES_SHOWN = 6


def print_box(answer: Plain) -> None:
    """Print the answer to standard output."""
    with screen() as out:
        out.print(f"[bold]{_headline(answer)}[/bold]")
        _items(out, "Problems", (f"{one['pointer']}: {one['says']}" for one in answer["problems"]))
        _told(out, "Not covered by this reckoning", answer["referrals"])
        _allowances(out, answer)
        _sections(out, answer)
        _smallest(out, answer)
        _joints(out, answer["joints"])
        length = answer["free_length"]
        _told(out, "Free length", [length] if length else [])
        _told(out, "Cautions", answer["cautions"])
        _joint_cautions(out, answer["joints"])
        _assumed(out, answer["assumed"])


def _headline(answer: Plain) -> str:
    needs = _volume(answer["required"])
    if answer["volume"] is None:
        return f"No box given: at least {needs} {'are needed' if answer['referrals'] else 'will do'}."
    has = _volume(answer["volume"])
    if answer["fits"] is None:
        return f"Not judged: what has a volume here needs {needs} of the {has} in the box; the rest is handed over."
    if answer["fits"]:
        return f"Fits: {needs} needed, {has} in the box, {_volume(answer['left'])} left."
    return f"Falls short: {needs} needed, {has} in the box."


def _volume(volume: Plain | None) -> str:
    return "not known" if volume is None else f"{_number(volume['in3'])} in3 ({_number(volume['cm3'])} cm3)"


def _number(value: float) -> str:
    return f"{value:.10g}"


def _grid(*columns: tuple[str, bool]) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 2, 0, 0))
    for heading, numbers in columns:
        table.add_column(heading, justify="right" if numbers else "left", overflow="fold")
    return table


def _allowances(out: Console, answer: Plain) -> None:
    out.print("\n[bold]What takes the room[/bold]")
    table = _grid(("for", False), ("allowances", True), ("each in3", True), ("in3", True), ("source", False))
    for one in answer["allowances"]:
        each, total = (_number(one[key]["in3"]) if one[key] else "—" for key in ("each", "total"))
        table.add_row(escape(one["for"]), _number(one["count"]), each, total, source_text(one["source"]))
    out.print(table)


def _sections(out: Console, answer: Plain) -> None:
    if not answer["sections"]:
        return
    out.print("\n[bold]The room there is[/bold]")
    table = _grid(("section", False), ("in3", True), ("source", False))
    for one in answer["sections"]:
        table.add_row(escape(one["for"]), _number(one["volume"]["in3"]), source_text(one["source"]))
    out.print(table)


def _smallest(out: Console, answer: Plain) -> None:
    boxes = answer["smallest"]
    if not boxes:
        if not answer["referrals"]:
            out.print("\nNo standard box would do; take one with a larger marked volume, or add an extension.")
        return
    also = " with these extensions" if len(answer["sections"]) > int(answer["volume"] is not None) else ""
    out.print(f"\n[bold]Standard boxes that would do{also}, least first[/bold]")
    table = _grid(("box", False), ("in3", True), ("left", True))
    for one in boxes[:_BOXES_SHOWN]:
        gangs = f", {one['gangs']} gang{'s' if one['gangs'] > 1 else ''}" if "gangs" in one else ""
        table.add_row(escape(one["name"] + gangs), _number(one["volume"]["in3"]), _number(one["left"]["in3"]))
    out.print(table)
    if len(boxes) > _BOXES_SHOWN:
        out.print(f"and {len(boxes) - _BOXES_SHOWN} larger ones")


def _joints(out: Console, joints: list[Plain]) -> None:
    if not joints:
        return
    out.print("\n[bold]The joints in it[/bold]")
    table = _grid(("", True), ("joint", False), ("outcome", False), ("first choice", False), ("fill", False))
    for number, one in enumerate(joints, start=1):
        first = one["options"][0] if one.get("options") else None
        table.add_row(
            str(number),
            escape(one.get("id") or ""),
            one.get("outcome", "in error"),
            first["connector"] if first else "",
            escape(fill_text(first["fill"])) if first else "",
        )
    out.print(table)
    for number, one in enumerate(joints, start=1):
        because = [*one.get("referrals", ()), *(bar for bar in one.get("bars", ()) if "method" not in bar)]
        for says in (bar["says"] for bar in because):
            out.print(Padding(f"{number}: {escape(says)}", (0, 0, 0, 2)))
        for error in one.get("errors", ()):
            out.print(Padding(f"{number}: {escape(error['pointer'])}: {escape(error['says'])}", (0, 0, 0, 2)))


def _joint_cautions(out: Console, joints: list[Plain]) -> None:
    said = {one["rule"]: one["says"] for joint in joints for one in joint.get("cautions", ())}
    _items(out, "Cautions of the joints", (said[rule] for rule in sorted(said)))


def _told(out: Console, title: str, told: Iterable[Plain]) -> None:
    lines = [f"{escape(one['says'])} [dim]\\[{escape(source_text(one['source']))}][/dim]" for one in told]
    _lines(out, title, lines)


def _items(out: Console, title: str, items: Iterable[str]) -> None:
    _lines(out, title, [escape(one) for one in items])


def _lines(out: Console, title: str, lines: list[str]) -> None:
    if lines:
        out.print(f"\n[bold]{title}[/bold]")
    for line in lines:
        out.print(Padding(f"• {line}", (0, 0, 0, 2)))


def _assumed(out: Console, assumed: Plain) -> None:
    if assumed:
        told = ", ".join(f"{pointer} {value_text(value)}" for pointer, value in assumed.items())
        out.print("\n[bold]Assumed, because not stated[/bold]")
        out.print(Padding(f"[dim]{escape(told)}[/dim]", (0, 0, 0, 2)))
