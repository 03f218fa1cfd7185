"""An answer for people: what to use, why, how it is made up, what was refused, and the cautions."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from rich.console import Console
from rich.markup import escape
from rich.padding import Padding
from rich.table import Table

from splicewright.reports.screen import screen

Plain = dict[str, Any]
_HEADLINES = {
    "refer": "Handed over: a licensed person decides this joint.",
    "barred": "Barred: this joint may not be made as posed.",
    "no-connector": "No connector of the catalogue may make this joint.",
}
HERE = " Here: "


def print_answer(answer: Plain, *, refusals: bool = False) -> None:
    """Print an answer to standard output; with `refusals` each refused connector with all of its reasons."""
    with screen() as out:
        _answer(out, answer, refusals=refusals)


def _answer(out: Console, answer: Plain, *, refusals: bool) -> None:
    rules = answer.get("rules", {})
    out.print(f"[bold]{_headline(answer)}[/bold]")
    _findings(out, "Handed over because", answer["referrals"], rules)
    _findings(out, "Barred because", [one for one in answer["bars"] if "method" not in one], rules)
    _remedies(out, answer["remedies"])
    _options(out, answer["options"])
    _findings(out, "What follows from the question", answer.get("findings", []), rules)
    if isinstance(answer["demands"], list):
        _findings(out, "What the joint asks for", _once(answer["demands"]), rules)
    _preferences(out, answer["options"], rules)
    for option in answer["options"][:1]:
        _make_up(out, option)
    if isinstance(answer["refusals"], list):
        if refusals or answer["outcome"] == "no-connector":
            _refusals(out, answer["refusals"], rules)
        elif answer["refusals"]:
            out.print(f"\n{len(answer['refusals'])} connectors refused; --refusals tells each with its reasons")
    _findings(out, "Cautions", answer["cautions"], rules)
    _assumed(out, answer["assumed"])
    out.print(
        f"\n[dim]answer {answer['answer']}\nrulesets {answer['rulesets']['code']} {answer['rulesets']['digest']}[/dim]"
    )


def _headline(answer: Plain) -> str:
    if answer["outcome"] != "options":
        return _HEADLINES[answer["outcome"]]
    count = len(answer["options"]) + answer["more"]
    more = f", the first {len(answer['options'])} shown" if answer["more"] else ""
    return f"{count} option{'s' if count > 1 else ''}, best first{more}:"


def source_text(source: Any) -> str:
    """Give a rule's source as it is cited, its doubt included."""
    if source == "common-practice":
        return "common practice"
    cited = " ".join(str(source[key]) for key in ("document", "edition", "section") if key in source)
    return f"{cited}, from memory" if source["obtained"] == "memory" else cited


def _once(findings: Iterable[Plain]) -> list[Plain]:
    seen: dict[tuple[str, str], Plain] = {}
    for one in findings:
        seen.setdefault((one["rule"], one["says"]), one)
    return list(seen.values())


def _findings(out: Console, title: str, findings: list[Plain], rules: Plain) -> None:
    if not findings:
        return
    out.print(f"\n[bold]{title}[/bold]")
    for one in findings:
        _item(out, one["says"], one["rule"], rules)


def _item(out: Console, says: str, rule: str, rules: Plain) -> None:
    cited = f" — {source_text(rules[rule]['source'])}" if rule in rules else ""
    out.print(Padding(f"• {escape(says)} [dim]\\[{escape(rule + cited)}][/dim]", (0, 0, 0, 2)))


def _options(out: Console, options: list[Plain]) -> None:
    if not options:
        return
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 2, 0, 0))
    for heading in ("", "connector", "method", "fill"):
        table.add_column(heading, overflow="fold")
    for option in options:
        table.add_row(str(option["rank"]), option["connector"], option["method"], escape(fill_text(option["fill"])))
    out.print(table)


def fill_text(fill: Plain) -> str:
    """Give an option's fill in words: `listed`, or `bracketed: a reading between …, not a listing`."""
    if fill["basis"] == "listed":
        spare = fill.get("spare_ports")
        return f"listed, {spare} port{'s' if spare > 1 else ''} left empty" if spare else "listed"
    between = fill.get("between")
    return f"bracketed: a reading between {' and '.join(between)}, not a listing" if between else "bracketed: a reading"


def _preferences(out: Console, options: list[Plain], rules: Plain) -> None:
    held: dict[tuple[str, str], list[str]] = {}
    for option in options:
        for one in option.get("preferred", ()):
            held.setdefault((one["rule"], one["says"]), []).append(str(option["rank"]))
    if not held:
        return
    out.print("\n[bold]Why in this order[/bold] (listed before bracketed, then what is preferred here)")
    for (rule, says), ranks in held.items():
        whose = "all of these" if len(ranks) == len(options) else ", ".join(ranks)
        _item(out, f"{says} Holds for {whose}.", rule, rules)


def _make_up(out: Console, option: Plain) -> None:
    if "make_up" not in option:
        return
    out.print(f"\n[bold]Make-up of {option['connector']}[/bold]")
    table = Table(box=None, pad_edge=False, show_header=False, padding=(0, 2, 0, 0))
    for number, step in enumerate(option["make_up"], start=1):
        value = step.get("value")
        table.add_row(f"{number:>3}", step["phase"], escape(step["do"] + (f" [{value_text(value)}]" if value else "")))
    out.print(table)


def value_text(value: Any) -> str:
    """Give a value in words: `13 mm`, `no`, `wet`."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict) and "unit" in value:
        return f"{value['value']:g} {value['unit']}"
    return str(value)


def _refusals(out: Console, refusals: list[Plain], rules: Plain) -> None:
    grouped: dict[tuple[str, str], list[str]] = {}
    for one in refusals:
        for reason in one["because"]:
            says, _, here = reason["says"].partition(HERE)
            grouped.setdefault((reason["rule"], says), []).append(
                one["connector"] + (f" ({here.rstrip('.')})" if here else "")
            )
    if not grouped:
        return
    out.print(f"\n[bold]{len(refusals)} connectors refused[/bold] (one may stand under several reasons)")
    for (rule, says), connectors in sorted(grouped.items()):
        _item(out, says, rule, rules)
        out.print(Padding(escape("; ".join(connectors)), (0, 0, 0, 6)))


def _remedies(out: Console, remedies: list[Plain]) -> None:
    if not remedies:
        return
    tried = "" if any(one["kind"] == "connector" for one in remedies) else " (each was tried)"
    out.print(f"\n[bold]What would make it possible[/bold]{tried}")
    for one in remedies:
        lines = remedy_lines(one)
        out.print(Padding(f"• {escape(lines[0])}", (0, 0, 0, 2)))
        for line in lines[1:]:
            out.print(Padding(escape(line), (0, 0, 0, 4)))


def remedy_lines(one: Plain) -> list[str]:
    """Give a remedy in words: what it is, then (of some) its parts."""
    return _REMEDY_LINES[one["kind"]](one)


def _alter_lines(one: Plain) -> list[str]:
    changes = [
        f"{group}.{leaf} → {value_text(value)}"
        for group, leaves in one["change"].items()
        for leaf, value in leaves.items()
    ]
    whose = f" for {', '.join(one['conductors'])}" if "conductors" in one else ""
    return [f"{', '.join(changes)}{whose}: then {_with(one)} first"]


def _with(one: Plain) -> str:
    return f"{one['connector']} ({one['method']})"


def _split_lines(one: Plain) -> list[str]:
    joints, jumpers = one["joints"], one["jumpers"]
    first = jumpers[0]
    many = f"{len(jumpers)} jumpers" if len(jumpers) > 1 else "a jumper"
    wire = f"{first['size']} {first['construction']} {first['material']}, {value_text(first['length'])}"
    fewest = ", the fewest that will do" if one["proven_fewest"] else ""
    room = (
        f"; {'they ask' if len(jumpers) > 1 else 'it asks'} for no volume in the box" if "box_allowances" in one else ""
    )
    ties = ", ".join(f"{a + 1}-{b + 1}" for a, b in (jumper["between"] for jumper in jumpers))
    made = "pigtails" if one["kind"] == "pigtail" else "a split"
    return [
        f"by {made}: {len(joints)} joints{fewest}, tied by {many} of {wire}",
        "; ".join(_alike_joints(joints)),
        f"jumpers {ties}, counted in both of their joints{room}",
    ]


def _alike_joints(joints: list[Plain]) -> Iterator[str]:
    """Give the joints with their numbers, those that follow each other and are alike told once."""
    numbered = enumerate(joints, start=1)
    for joint, alike in itertools.groupby(numbered, key=lambda one: one[1]):
        numbers = [at for at, _ in alike]
        these = f"{numbers[0]}-{numbers[-1]}, each" if len(numbers) > 1 else str(numbers[0])
        yield f"{these}: {joint['takes']} in {_with(joint)}"


def _connector_lines(one: Plain) -> list[str]:
    asked = [f"{test['attribute']} {_test_text(test['test'])}" for test in one["listing"]]
    return [
        f"with a connector that is not in this catalogue, and so was not tried: {', '.join(one['methods'])}",
        f"listed for {one['takes']}" + (f", and for {'; '.join(asked)}" if asked else ""),
    ]


def _test_text(test: Plain) -> str:
    return ", ".join(
        f"{operator.replace('-', ' ')} {' or '.join(value_text(value) for value in values)}"
        for operator, values in test.items()
    )


_REMEDY_LINES: dict[str, Callable[[Plain], list[str]]] = {
    "alter": _alter_lines,
    "split": _split_lines,
    "pigtail": _split_lines,
    "connector": _connector_lines,
}


def _assumed(out: Console, assumed: Any) -> None:
    if isinstance(assumed, dict) and assumed:
        told = ", ".join(f"{pointer} {value_text(value)}" for pointer, value in assumed.items() if value != [])
        out.print("\n[bold]Assumed, because not stated[/bold]")
        out.print(Padding(f"[dim]{escape(told)}[/dim]", (0, 0, 0, 2)))
