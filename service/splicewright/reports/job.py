"""The answer about a job for people, on one screen: problems, takeoff, stock plan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.padding import Padding
from rich.table import Table

from splicewright.reports.screen import screen
from splicewright.reports.text import remedy_lines, source_text, value_text

Plain = dict[str, Any]
_UNSEARCHED = "what would do instead was not looked for, after so many other joints; ask this one alone"
_REASONS_SHOWN = 2
_JOINTS_SHOWN = 6
_COVERS_SHOWN = 6
_OUTCOMES = {
    "error": "in error",
    "barred": "barred",
    "refer": "for a licensed person",
    "no-connector": "no connector",
    "no-price": "no price",
    "box-too-small": "box too small",
    "box-contradicts": "does not add up",
    "box-not-judged": "box not judged",
}


def print_job(answer: Plain, *, details: bool = False) -> None:
    """Print the answer to standard output; with `details` each caution and each default too."""
    with screen() as out:
        out.print(f"[bold]{_headline(answer)}[/bold]")
        _problems(out, answer["problems"])
        _takeoff(out, answer)
        _tails(out, answer["pigtails_and_jumpers"])
        if "stock_plan" in answer:
            _plan(out, answer["stock_plan"])
        if details:
            _cautions(out, answer)
            _assumed(out, answer)
        else:
            _details(out, answer)
        rulesets = f"{answer['rulesets']['code']} {answer['rulesets']['digest']}"
        out.print(f"\n[dim]answer {answer['answer']}\nrulesets {rulesets}[/dim]")


def _headline(answer: Plain) -> str:
    counts = answer["counts"]
    problems = counts["problems"]
    told = f"{problems} problem{'s' if problems != 1 else ''}" if problems else "no problem"
    return f"{counts['made']:,} of {counts['joints']:,} joints can be made; {told}."


def _grid(*columns: tuple[str, bool]) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 2, 0, 0))
    for heading, numbers in columns:
        table.add_column(heading, justify="right" if numbers else "left", overflow="fold")
    return table


def _name(one: Plain) -> str:
    return str(one.get("id") or one["pointer"])


# --- problems ------------------------------------------------------------------------------


def _problems(out: Console, problems: list[Plain]) -> None:
    if not problems:
        return
    out.print("\n[bold]Problems[/bold]")
    for one in problems:
        times = f" x {one['quantity']:,}" if one.get("quantity", 1) != 1 else ""
        out.print(Padding(f"[bold]{escape(_name(one))}[/bold]{times}: {_OUTCOMES[one['outcome']]}", (0, 0, 0, 2)))
        for line in _because(one):
            out.print(Padding(f"• {escape(line)}", (0, 0, 0, 4)))
        if "same_as" in one:
            out.print(Padding(escape(f"→ as told of {one['same_as']}"), (0, 0, 0, 4)))
        elif one.get("remedies", ()) is None:
            out.print(Padding(f"→ {_UNSEARCHED}", (0, 0, 0, 4)))
        for remedy in one.get("remedies") or ():
            first, *parts = remedy_lines(remedy)
            out.print(Padding(escape(f"→ {first}"), (0, 0, 0, 4)))
            for part in parts:
                out.print(Padding(escape(part), (0, 0, 0, 6)))


def _because(one: Plain) -> Iterator[str]:
    if "errors" in one:
        yield from (f"{error['pointer']}: {error['says']}" for error in one["errors"])
    elif one["outcome"] == "no-price":
        yield f"give a price for one of: {', '.join(one['connectors'])}"
    elif one["outcome"] == "box-too-small":
        would = ", ".join(f"{box['name']} ({box['volume']['in3']:.10g} in3)" for box in one["smallest"])
        yield f"{one['says']}{f' These would do: {would}.' if would else ''}"
    else:
        reasons = one["because"]
        yield from (reason["says"] for reason in reasons[:_REASONS_SHOWN])
        if len(reasons) > _REASONS_SHOWN:
            yield f"and {len(reasons) - _REASONS_SHOWN} further reasons"


# --- takeoff -------------------------------------------------------------------------------


def _takeoff(out: Console, answer: Plain) -> None:
    lines = answer["takeoff"]
    if not lines:
        return
    priced = "cost" in answer
    out.print("\n[bold]Takeoff[/bold]")
    columns = [("connector", False), ("method", False), ("count", True), ("spare", True)]
    table = _grid(*columns, *([("buy", True), ("cost", True)] if priced else []))
    for one in lines:
        cells = [one["connector"], one["method"], f"{one['count']:,}", f"{one['spare']:,}"]
        table.add_row(*cells, *([_buy(one), _money(one["cost"]) if "cost" in one else "no price"] if priced else []))
    if priced:
        table.add_row("", "", "", "", "in all", _money(answer["cost"]))
    out.print(table)


def _buy(one: Plain) -> str:
    if "packs" in one:
        return f"{one['packs']:,} of {one['of']:,}"
    return f"{one['bought']:,}" if "bought" in one else ""


def _money(amount: float) -> str:
    cents = f"{amount:,.4f}"
    return cents.removesuffix("00")


def _tails(out: Console, tails: list[Plain]) -> None:
    if not tails:
        return
    out.print("\n[bold]Pigtails and jumpers[/bold]")
    table = _grid(
        ("wire", False), ("for", False), ("count", True), ("each", True), ("in all", True), ("length by", False)
    )
    for one in tails:
        role = f"{one['role']}, {one['color']}" if "color" in one else one["role"]
        each, total = (f"{one[key]['value']:,.10g} {one[key]['unit']}" for key in ("length", "total"))
        wire = f"{one['size']} {one['material']}"
        table.add_row(wire, f"{one['kind']}, {role}", f"{one['count']:,}", each, total, source_text(one["source"]))
    out.print(table)


# --- the stock plan ------------------------------------------------------------------------


def _plan(out: Console, plan: Plain) -> None:
    types = plan["types"]
    aim = "fewest types" if plan["aim"] == "fewest-types" else "least cost"
    out.print(f"\n[bold]Stock plan: {len(types)} connector types, for {aim}, {_proof(plan)}[/bold]")
    covers = {one["connector"]: one["joints"] for one in plan["covers"]}
    table = _grid(("carry", False), ("", False), ("makes", True), ("could make alone", True))
    for one in types:
        carried = "already carried" if one["carried"] else ""
        table.add_row(one["connector"], carried, f"{one['joints']:,}", f"{covers.get(one['connector'], 0):,}")
    out.print(table)
    held = {one["connector"] for one in types}
    others = [one for one in plan["covers"] if one["connector"] not in held][:_COVERS_SHOWN]
    if others:
        told = ", ".join(f"{one['connector']} {one['joints']:,}" for one in others)
        _line(out, f"Others that make most alone: {told}")
    for line in _alternatives(plan["alternatives"], held):
        _line(out, line)


def _proof(plan: Plain) -> str:
    if not plan["proven_optimal"]:
        return f"not proven: {100 * plan['gap']:.2f}% may be gained"
    return "proven" if plan["ties_settled"] else "proven, but not the only such plan"


def _alternatives(found: Plain, held: set[str]) -> Iterator[str]:
    fewer, more = found["fewer"], found["more"]
    if fewer and fewer["left"]:
        yield f"One type fewer leaves {fewer['left']:,} joints ({_names(fewer['leaves'])}); it carries {_types(fewer)}."
    elif fewer:
        cost = f" for {_money(fewer['cost'])}" if "cost" in fewer else ""
        yield f"One type fewer makes all joints{cost}: {_types(fewer)}."
    if more:
        added = [one for one in more["types"] if one not in held]
        gone = sorted(held.difference(more["types"]))
        instead = f" in place of {', '.join(gone)}" if gone else ""
        change = f"with {', '.join(added)}{instead}"
        better = "costs less" if more["improves"] == "cost" else "lets joints have better options"
        cost = f", cost {_money(more['cost'])}" if "cost" in more else ""
        first = f"{more['first_choices']:,} get their best, mean rank {more['mean_rank']}{cost}"
        yield f"One type more, {change}, {better}: {first}."


def _types(plan: Plain) -> str:
    return ", ".join(plan["types"]) or "nothing"


def _names(names: list[str]) -> str:
    more = f" and {len(names) - _JOINTS_SHOWN:,} more" if len(names) > _JOINTS_SHOWN else ""
    return ", ".join(names[:_JOINTS_SHOWN]) + more


# --- the rest ------------------------------------------------------------------------------


def _details(out: Console, answer: Plain) -> None:
    cautions = len(answer["cautions"]) + len(answer["box_cautions"])
    defaults = sum(len(answer[key]) for key in ("assumed", "assumed_in_joints", "assumed_in_boxes"))
    if cautions or defaults:
        out.print(f"\n{cautions} cautions hold, and {defaults} defaults were filled in; --details tells each")


def _cautions(out: Console, answer: Plain) -> None:
    told = [
        *(f"{one['says']} ({_times(one['joints'], 'joint')})" for one in answer["cautions"]),
        *(f"{one['says']} ({_times(one['boxes'], 'box')})" for one in answer["box_cautions"]),
    ]
    if told:
        out.print("\n[bold]Cautions[/bold]")
    for one in told:
        out.print(Padding(f"• {escape(one)}", (0, 0, 0, 2)))


def _times(count: int, of: str) -> str:
    plural = {"joint": "joints", "box": "boxes"}[of]
    return f"{count:,} {of if count == 1 else plural}"


def _assumed(out: Console, answer: Plain) -> None:
    told = [f"{pointer} {value_text(value)}" for pointer, value in answer["assumed"].items()]
    for of, one in (("joint", "joints"), ("box", "boxes")):
        leaves = (each for each in answer[f"assumed_in_{one}"] if each["value"] != [])
        told += [f"{each['leaf']} {value_text(each['value'])} ({_times(each[one], of)})" for each in leaves]
    if told:
        out.print("\n[bold]Assumed, because not stated[/bold]")
        out.print(Padding(f"[dim]{escape(', '.join(told))}[/dim]", (0, 0, 0, 2)))


def _line(out: Console, text: str) -> None:
    out.print(Padding(escape(text), (0, 0, 0, 2)))
