"""An impact as a table for people, as Markdown, and as SARIF."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

import orjson

from splicewright.impact.answer import DECIDE
from splicewright.reports.page import Page, page
from splicewright.reports.sarif import SCHEMA
from splicewright.reports.words import source_text, value_text
from splicewright.units import counted
from splicewright.version import VERSION

Plain = dict[str, Any]
_SHOWN = 40  # joints, on a screen


def print_impact(told: Plain) -> None:
    """Print it: what changed in all, by which changes, then the joints and boxes."""
    with page() as out:
        impact_told(out, told)


def impact_told(out: Page, told: Plain) -> None:
    """Print it on a page."""
    out.title(_headline(told))
    if told["changes"]:
        out.title("By these changes")
        for at, change in enumerate(told["changes"], start=1):
            out.item(f"{_changed(change)} ({_reach(change)})", _cited(change), mark=f"{at}.")
    for title, joints in _by_weight(told["joints"]):
        _print(out, title, joints, _lines)
    _print(out, "Boxes", told["boxes"], _box_lines)
    if told["moved"]:
        out.title("Moved, with the same content")
        for one in told["moved"]:
            out.item(f"{one['from']} is {one['to']}")


def _print(out: Page, title: str, some: list[Plain], lines: Callable[[Plain], Iterable[str]]) -> None:
    if some:
        out.title(title)
    for one in some[:_SHOWN]:
        out.line(f"{_name(one)} ({one['at']})", indent=2)
        for line in lines(one):
            out.item(line, indent=4)
    if len(some) > _SHOWN:
        out.line(f"and {len(some) - _SHOWN:,} more; --format json has them", indent=2)


def impact_markdown(told: Plain) -> str:
    """Write it as Markdown, for a review."""
    lines = [f"**{_headline(told)}**", ""]
    if told["changes"]:
        lines += ["| # | change | source | reaches |", "| --- | --- | --- | --- |"]
        lines += [
            f"| {at} | {_cell(_changed(change))} | {_cell(_cited(change))} | {_reach(change)} |"
            for at, change in enumerate(told["changes"], start=1)
        ]
        lines.append("")
    for title, joints in _by_weight(told["joints"]):
        if joints:
            lines += [f"### {title}", ""]
        for joint in joints:
            lines.append(f"- `{_cell(_name(joint))}` ({joint['at']})")
            lines += [f"  - {_cell(line)}" for line in _lines(joint)]
        lines += [""] if joints else []
    if told["boxes"]:
        lines += ["### Boxes", ""]
        for box in told["boxes"]:
            lines.append(f"- `{_cell(_name(box))}` ({box['at']})")
            lines += [f"  - {_cell(line)}" for line in _box_lines(box)]
        lines.append("")
    return "\n".join(lines).rstrip() + "\n"


def impact_sarif(told: Plain) -> str:
    """Write it as SARIF 2.1.0: a result for each joint and box, a warning where what decides it changed."""
    results = []
    for joint in told["joints"]:
        decided = any(point["what"] in DECIDE for point in joint["points"])
        rule = "impact/decided" if decided else "impact/changed"
        results.append(_result(rule, "warning" if decided else "note", "; ".join(_lines(joint)), joint))
    for box in told["boxes"]:
        decided = box["fits"]["was"] != box["fits"]["is"]
        rule = "impact/decided" if decided else "impact/changed"
        results.append(_result(rule, "warning" if decided else "note", "; ".join(_box_lines(box)), box))
    rules = [
        {"id": "impact/decided", "shortDescription": {"text": "What may be used, is sound, or fits, is another."}},
        {"id": "impact/changed", "shortDescription": {"text": "More or less is told; what may be used is the same."}},
    ]
    driver = {"name": "splicewright", "version": VERSION, "rules": rules}
    run = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}
    whole = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return orjson.dumps(whole, option=orjson.OPT_INDENT_2).decode() + "\n"


def _result(rule: str, level: str, says: str, of: Plain) -> Plain:
    file, _, line = of["at"].rpartition(":")
    physical = {
        "artifactLocation": {"uri": file, "uriBaseId": "%SRCROOT%"},
        "region": {"startLine": max(1, int(line or 1))},
    }
    return {
        "ruleId": rule,
        "level": level,
        "message": {"text": f"{_name(of)}: {says}"},
        "locations": [{"physicalLocation": physical, "logicalLocations": [{"name": of["id"], "kind": "object"}]}],
    }


def _headline(told: Plain) -> str:
    stacks = [f"{'+'.join((one['code'], *one['amendments']))}@{one['catalogue']['name']}" for one in _ends(told)]
    if not told["changed"] and not told["boxes"]:
        return f"{stacks[0]} to {stacks[1]}: {counted(told['asked'], 'joint')} asked, nothing is answered otherwise."
    found = []
    if told["asked"]:
        are = "is" if told["changed"] == 1 else "are"
        found.append(
            f"{told['changed']:,} of {counted(told['asked'], 'joint')} {are} answered otherwise, "
            f"{told['decided']:,} of them with another outcome, connector or verdict"
        )
    if told["boxes"]:
        found.append(f"{counted(len(told['boxes']), 'box')} filled otherwise")
    return f"{stacks[0]} to {stacks[1]}: {', and '.join(found)}."


def _ends(told: Plain) -> tuple[Plain, Plain]:
    return told["from"], told["to"]


def _by_weight(joints: list[Plain]) -> Iterator[tuple[str, list[Plain]]]:
    decided = [one for one in joints if any(point["what"] in DECIDE for point in one["points"])]
    yield "With another outcome, connector or verdict", decided
    yield "With more or less told", [one for one in joints if one not in decided]


def _name(of: Plain) -> str:
    times = f" x {of['quantity']:,}" if of["quantity"] > 1 else ""
    return f"{of['id']}{times}"


def _changed(change: Plain) -> str:
    if change["kind"] in ("table", "connector"):
        about = f": {change['about']}" if "about" in change else ""
        return f"{change['kind']} {change['name']}{about}"
    if "from" in change and "to" in change and change["from"] != change["to"]:
        return f"{change['from']} {change['kind']} by {change['to']}: {change['says']}"
    return f"{change.get('to') or change['from']} {change['kind']}: {change['says']}"


def _cited(change: Plain) -> str:
    if "source" not in change:
        return ""
    by = f"; {change['by']['authority']}" if "by" in change else ""
    return f"{source_text(change['source'])}{by}"


def _reach(change: Plain) -> str:
    joints = counted(change["joints"], "joint")
    return f"{joints}, {counted(change['boxes'], 'box')}" if "boxes" in change else joints


def _lines(joint: Plain) -> Iterator[str]:
    options = [point for point in joint["points"] if point["what"] == "option"]
    for point in joint["points"]:
        if point["what"] != "option" or None not in (point["was"], point["is"]):
            yield f"{_point(point)}{_because(point)}"
    for title, some in (
        ("no longer offered", [one for one in options if one["is"] is None]),
        ("now offered", [one for one in options if one["was"] is None]),
    ):
        if some:
            named = ", ".join(one["of"] for one in some[:4])
            more = f" and {len(some) - 4} more" if len(some) > 4 else ""
            yield f"{title}: {named}{more}{_because(*some)}"


def _point(point: Plain) -> str:
    if point["what"] in DECIDE:
        return f"{point['what']}: {point['was'] or 'none'}, now {point['is'] or 'none'}"
    if point["was"] is None:
        return f"new {point['what']}: {point['is']}"
    if point["is"] is None:
        return f"{point['what']} gone: {point['was']}"
    return f"{point['what']} {point['of']}: {point['was']} → {point['is']}"


def _because(*points: Plain) -> str:
    causes: dict[int, str] = {}
    for point in points:
        for one in point["because"]:
            whole = "alone" if one["alone"] and one["needed"] else "alone, among others" if one["alone"] else "needed"
            causes.setdefault(one["change"], whole)
    if not causes:
        return " [several changes together]"
    return f" [{', '.join(f'{at + 1} {how}' for at, how in sorted(causes.items()))}]"


def _box_lines(box: Plain) -> Iterator[str]:
    if box["required"]["was"] != box["required"]["is"]:
        was, now = (_volume(box["required"][key]) for key in ("was", "is"))
        yield f"needs {was}, now {now}"
    if box["fits"]["was"] != box["fits"]["is"]:
        yield f"{_fits(box['fits']['was'])}, now {_fits(box['fits']['is'])}"
    for one in box["allowances"]:
        was, now = (_volume(side["total"]) if side else "none" for side in (one["was"], one["is"]))
        yield f"{one['for']}: {was}, now {now}"


def _volume(value: Any) -> str:
    return "not known" if value is None else f"{value_text(value['in3'])} in³"


def _fits(value: Any) -> str:
    return {True: "fits", False: "too small", None: "whether it fits is not known"}[value]


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
