"""The answer about a job for people, on one screen: problems, what was not judged, takeoff, stock plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from splicewright.answering.finding_json import ALWAYS
from splicewright.reports.page import Page, page
from splicewright.reports.parts import amended, headline, judged_of, of_project, read_as
from splicewright.reports.remedies import remedy_lines
from splicewright.reports.words import departures, not_judged_first, size_text, source_text, value_text
from splicewright.units import counted

Plain = dict[str, Any]
_UNSEARCHED = "what would do instead was not looked for, after so many other joints; ask this one alone"
_REASONS_SHOWN = 2
_JOINTS_SHOWN = 6
_COVERS_SHOWN = 6
_OUTCOMES = {
    "error": "in error",
    "barred": "barred",
    "refer": "outside this tool",
    "no-connector": "no connector",
    "no-price": "no price",
    "unsound": "unsound as it is made",
    "box-too-small": "box too small",
    "box-contradicts": "does not add up",
    "box-not-judged": "box not judged",
}


def print_job(answer: Plain, *, details: bool = False) -> None:
    """Print the answer to standard output; with `details` each caution and each default too."""
    with page() as out:
        headline(out, answer, _headline(answer))
        _problems(out, answer["problems"])
        _takeoff(out, answer)
        _departures(out, answer["joints"])
        _shelf(out, answer)
        _tails(out, answer["pigtails_and_jumpers"])
        if "stock_plan" in answer:
            _plan(out, answer["stock_plan"])
        _cautions(out, answer, details=details)
        judged_of(out, answer["judged"], whole=details)
        read_as(out, answer, *answer["joints"], *answer["boxes"])
        amended(out, answer)
        of_project(out, answer)
        if details:
            _assumed(out, answer)
            rulesets = f"{answer['rulesets']['code']} {answer['rulesets']['digest']}"
            out.line("")
            out.line(f"answer {answer['answer']}", dim=True)
            out.line(f"rulesets {rulesets}", dim=True)
        out.line(ALWAYS)
        if not details:
            _details(out, answer)


def _headline(answer: Plain) -> str:
    counts = answer["counts"]
    problems = counts["problems"]
    named = f"{answer['id']}: " if answer.get("id") else ""
    told = counted(problems, "problem") if problems else "no problem"
    first = f"{named}{counts['made']:,} of {counts['joints']:,} joints can be made; {told}."
    return " ".join(filter(None, (first, not_judged_first(answer["judged"]))))


def _name(one: Mapping[str, Any]) -> str:
    return str(one.get("id") or one["pointer"])


# --- problems ------------------------------------------------------------------------------


def _problems(out: Page, problems: list[Plain]) -> None:
    if not problems:
        return
    out.title("Problems")
    for problem in problems:
        times = f" x {problem['quantity']:,}" if problem.get("quantity", 1) != 1 else ""
        out.line(f"{_name(problem)}{times}: {_OUTCOMES[problem['outcome']]}", indent=2)
        for line in _because(problem):
            out.item(line, indent=4)
        if "same_as" in problem:
            out.item(f"as told of {problem['same_as']}", indent=4, mark="→")
        elif "remedies_looked_for" in problem:
            out.item(_UNSEARCHED, indent=4, mark="→")
        for remedy in problem.get("remedies", ()):
            first, *parts = remedy_lines(remedy)
            out.item(first, indent=4, mark="→")
            for part in parts:
                out.line(part, indent=6)


def _because(one: Plain) -> Iterator[str]:
    if "errors" in one:
        yield from (f"{error['pointer']}: {error['says']}" for error in one["errors"])
    elif one["outcome"] == "no-price":
        yield f"give a price for one of: {', '.join(one['connectors'])}"
    elif one["outcome"] == "box-too-small":
        would = ", ".join(f"{box['name']} ({box['volume']['in3']:.10g} in3)" for box in one["smallest"])
        yield f"{one['says']}{f' These would do: {would}.' if would else ''}"
    else:
        reasons = one["because"] if "because" in one else one["violations"]
        yield from (_reason(reason) for reason in reasons[:_REASONS_SHOWN])
        if len(reasons) > _REASONS_SHOWN:
            yield f"and {len(reasons) - _REASONS_SHOWN} further reasons"


def _reason(reason: Plain) -> str:
    if "pointer" in reason:
        return f"{reason['pointer']}: {reason['says']}"
    return f"{reason['says']} [{reason['rule'] if 'rule' in reason else source_text(reason['source'])}]"


# --- takeoff -------------------------------------------------------------------------------


def _takeoff(out: Page, answer: Plain) -> None:
    """Tell what is used, and what of it is bought and at what cost: what is on hand is off it."""
    lines = answer["takeoff"]
    if not lines:
        return
    priced = "cost" in answer or any("cost" in line["shelf"] for line in lines)
    bought = priced or any("on_hand" in line["shelf"] for line in lines)
    out.title("Takeoff")
    columns = [("connector", False), ("method", False), ("count", True), ("spare", True)]
    rows = []
    for line in lines:
        cells = [line["connector"], line["method"], f"{line['count']:,}", f"{line['spare_count']:,}"]
        cost = _money(line["shelf"]["cost"]) if "cost" in line["shelf"] else "no price"
        rows.append([*cells, *([_buy(line["shelf"])] if bought else []), *([cost] if priced else [])])
    if priced:
        rows.append(["", "", "", "", "in all", _money(answer["shelf"].get("cost", 0))])
    out.table([*columns, *([("buy", True)] if bought else []), *([("cost", True)] if priced else [])], rows)


def _departures(out: Page, joints: Iterable[Plain]) -> None:
    """Tell which joints are not made with what is proposed for them."""
    told = [f"{_name(one)} ({proposed}; made with {made})" for one, proposed, made in departures(joints)]
    out.labeled("Departs", [f"from what is proposed for {_names(told)}"] if told else [])


def _shelf(out: Page, answer: Plain) -> None:
    """Tell what is on the shelf and how long it takes, where the catalogue says either."""
    lines, in_all = answer["takeoff"], answer["shelf"]
    told = [
        f"{line['connector']}: {line['shelf']['on_hand']:,} on hand, {line['shelf']['to_buy_count']:,} to buy"
        for line in lines
        if "on_hand" in line["shelf"]
    ]
    out.labeled("On hand", ["; ".join(told)] if told else [])
    if lines and "minutes" in in_all:
        unknown = len(in_all["without_minutes"])
        without = f", and not known of {unknown} of {counted(len(lines), 'connector')}" if unknown else ""
        out.labeled("Minutes", [f"{in_all['minutes']:g} by the catalogue's figures{without}"])


def _buy(own: Plain) -> str:
    return f"{own['pack_count']:,} of {own['per_pack']:,}" if "pack_count" in own else f"{own['to_buy_count']:,}"


def _money(amount: float) -> str:
    cents = f"{amount:,.4f}"
    return cents.removesuffix("00")


def _tails(out: Page, tails: list[Plain]) -> None:
    if not tails:
        return
    out.title("Pigtails and jumpers")
    rows = []
    for tail in tails:
        role = f"{tail['role']}, {tail['color']}" if "color" in tail else tail["role"]
        each, total = (f"{tail[key]['value']:,.10g} {tail[key]['unit']}" for key in ("length", "total"))
        wire = f"{size_text(tail['size'])} {tail['material']}"
        rows.append((wire, f"{tail['kind']}, {role}", f"{tail['count']:,}", each, total, source_text(tail["source"])))
    columns = [("wire", False), ("for", False), ("count", True), ("each", True), ("in all", True), ("length by", False)]
    out.table(columns, rows)


# --- the stock plan ------------------------------------------------------------------------


def _plan(out: Page, plan: Plain) -> None:
    types = plan["types"]
    aim = "fewest types" if plan["aim"] == "fewest-types" else "least cost"
    out.title(f"Stock plan: {counted(len(types), 'connector type')}, for {aim}, {_proof(plan)}")
    covers = {cover["connector"]: cover["joint_count"] for cover in plan["covers"]}
    rows = []
    for one in types:
        carried, alone = "already carried" if one["carried"] else "", covers.get(one["connector"], 0)
        rows.append((one["connector"], carried, f"{one.get('joint_count', 0):,}", f"{alone:,}"))
    out.table([("carry", False), ("", False), ("makes", True), ("could make alone", True)], rows)
    held = {one["connector"] for one in types}
    others = [cover for cover in plan["covers"] if cover["connector"] not in held][:_COVERS_SHOWN]
    if others:
        told = ", ".join(f"{other['connector']} {other['joint_count']:,}" for other in others)
        out.line(f"Others that make most alone: {told}", indent=2)
    for line in _alternatives(plan["alternatives"], held):
        out.line(line, indent=2)
    for one in plan.get("unsearched", ()):
        out.line(
            f"One type {one} was not searched: the effort was used up. Allow more of it (stock: effort).", indent=2
        )


def _proof(plan: Plain) -> str:
    if not plan["proven_optimal"]:
        return f"not proven: {100 * plan['gap']:.2f}% may be gained"
    return "proven" if plan["ties_settled"] else "proven, but not the only such plan"


def _alternatives(found: Plain, held: set[str]) -> Iterator[str]:
    fewer, more = found.get("fewer"), found.get("more")
    if fewer and fewer["not_made"]:
        left = f"{fewer['counts']['not_made']:,} joints ({_names(fewer['not_made'])})"
        yield f"One type fewer leaves {left}; it carries {_types(fewer)}."
    elif fewer:
        cost = f" for {_money(fewer['cost'])}" if "cost" in fewer else ""
        yield f"One type fewer makes all joints{cost}: {_types(fewer)}."
    if more:
        types = [one["connector"] for one in more["types"]]
        added = [one for one in types if one not in held]
        gone = sorted(held.difference(types))
        instead = f" in place of {', '.join(gone)}" if gone else ""
        change = f"with {', '.join(added)}{instead}"
        better = "costs less" if more["improves"] == "cost" else "lets joints have better options"
        cost = f", cost {_money(more['cost'])}" if "cost" in more else ""
        first = f"{more['counts']['first_choices']:,} get their best, mean rank {more['mean_rank']}{cost}"
        yield f"One type more, {change}, {better}: {first}."


def _types(plan: Plain) -> str:
    return ", ".join(one["connector"] for one in plan["types"]) or "nothing"


def _names(names: list[str]) -> str:
    more = f" and {len(names) - _JOINTS_SHOWN:,} more" if len(names) > _JOINTS_SHOWN else ""
    return ", ".join(names[:_JOINTS_SHOWN]) + more


# --- the rest ------------------------------------------------------------------------------


def _details(out: Page, answer: Plain) -> None:
    leaves = [*answer["assumed_in_joints"].values(), *answer["assumed_in_boxes"].values()]
    defaults = len(answer["assumed"]) + sum(map(len, leaves))
    cautions = len(answer["cautions"]) + len(answer["box_cautions"])
    out.line(f"More: {cautions} cautions hold, and {defaults} defaults were filled in; --details tells each", dim=True)


def _cautions(out: Page, answer: Plain, *, details: bool) -> None:
    boxes = [f"{caution['says']} ({counted(caution['box_count'], 'box')})" for caution in answer["box_cautions"]]
    if not details:
        rules: dict[str, int] = {}
        for caution in answer["cautions"]:
            if caution["kind"] == "mind":
                rules[caution["rule"]] = max(rules.get(caution["rule"], 0), caution["joint_count"])
        told = [f"{rule} ({counted(joints, 'joint')})" for rule, joints in rules.items()]
        out.labeled("Mind", ["; ".join(told)] if told else [])
        return
    if answer["cautions"] or boxes:
        out.title("Cautions")
    for caution in answer["cautions"]:
        out.item(f"{caution['says']} ({counted(caution['joint_count'], 'joint')})", caution["rule"])
    for box in boxes:
        out.item(box)


def _assumed(out: Page, answer: Plain) -> None:
    told = [f"{pointer} {value_text(one['value'])}" for pointer, one in answer["assumed"].items()]
    for of, where in (("joint", "assumed_in_joints"), ("box", "assumed_in_boxes")):
        told += [
            f"{leaf} {value_text(one['value'])} ({counted(one[f'{of}_count'], of)})"
            for leaf, values in answer[where].items()
            for one in values
            if one["value"] != []
        ]
    if told:
        out.title("Assumed, because not stated")
        out.line(", ".join(told), indent=2, dim=True)
