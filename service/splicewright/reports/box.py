"""The answer about a box for people: does it fit, which boxes would do, and the joints in it; the rest where asked."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from splicewright.answering.finding_json import ALWAYS
from splicewright.reports.page import Page, page
from splicewright.reports.parts import amended, demo, judged_of, of_project, read_as, special
from splicewright.reports.words import fill_text, source_text, value_text

Plain = dict[str, Any]
_BOXES_SHOWN = 6
_BOXES_FIRST = 3


def print_box(answer: Plain, *, everything: bool = False) -> None:
    """Print the answer to standard output."""
    with page() as out:
        out.headline(_headline(answer))
        for catalogue in [one["catalogue"] for one in answer["joints"] if "catalogue" in one][:1]:
            demo(out, catalogue)
        for problem in answer["problems"]:
            out.item(f"{problem['pointer']}: {problem['says']}")
        _told(out, "Not covered by this reckoning", answer["referrals"])
        _allowances(out, answer)
        if everything:
            _sections(out, answer)
        _smallest(out, answer, everything=everything)
        _joints(out, answer["joints"])
        if (length := answer.get("free_length")) is not None:
            out.labeled("Length", [f"{length['says']} [{source_text(length['source'])}]"])
        out.labeled("Mind", [f"{caution['says']} [{source_text(caution['source'])}]" for caution in answer["cautions"]])
        _joint_cautions(out, answer["joints"])
        judged_of(out, [*answer["judged"], *_of_joints(answer["joints"])], whole=everything)
        read_as(out, answer, *answer["joints"])
        amended(out, answer)
        of_project(out, answer)
        if everything:
            _assumed(out, answer["assumed"])
        out.line(ALWAYS)
        if not everything:
            out.line("More: --all tells the sections of the box, larger boxes and each default", dim=True)


def _headline(answer: Plain) -> str:
    named = f"{answer['id']}: " if answer.get("id") else ""
    return f"{named}{_fit(answer)}"


def _fit(answer: Plain) -> str:
    needs = _volume(answer["required"])
    if answer["volume"] is None:
        return f"No box given: at least {needs} {'are needed' if answer['referrals'] else 'will do'}."
    has = _volume(answer["volume"])
    if answer["fits"] is None:
        return (
            f"Not judged: what has a volume here needs {needs} of the {has} in the box; the rest is outside this tool."
        )
    if answer["fits"]:
        return f"Fits: {needs} needed, {has} in the box, {_volume(answer['left'])} left."
    return f"Falls short: {needs} needed, {has} in the box."


def _volume(volume: Plain | None) -> str:
    return "not known" if volume is None else f"{_number(volume['in3'])} in3 ({_number(volume['cm3'])} cm3)"


def _number(value: float) -> str:
    return f"{value:.10g}"


def _allowances(out: Page, answer: Plain) -> None:
    out.title("What takes the room")
    rows = []
    for allowance in answer["allowances"]:
        each, total = (_number(allowance[key]["in3"]) if allowance[key] else "—" for key in ("each", "total"))
        rows.append((allowance["for"], _number(allowance["count"]), each, total, source_text(allowance["source"])))
    columns = [("for", False), ("allowances", True), ("each in3", True), ("in3", True), ("source", False)]
    out.table(columns, rows)


def _sections(out: Page, answer: Plain) -> None:
    if answer["sections"]:
        out.title("The room there is")
        rows = [
            (section["for"], _number(section["volume"]["in3"]), source_text(section["source"]))
            for section in answer["sections"]
        ]
        out.table([("section", False), ("in3", True), ("source", False)], rows)


def _smallest(out: Page, answer: Plain, *, everything: bool) -> None:
    boxes = answer["smallest"]
    if not boxes:
        if not answer["referrals"]:
            out.line("No standard box would do; take one with a larger marked volume, or add an extension.")
        return
    also = " with these extensions" if len(answer["sections"]) > int(answer["volume"] is not None) else ""
    if not everything:
        told = ", ".join(f"{_box(box)} ({_number(box['volume']['in3'])} in3)" for box in boxes[:_BOXES_FIRST])
        out.labeled("Boxes", [f"least that would do{also}: {told}"])
        return
    out.title(f"Standard boxes that would do{also}, least first")
    rows = [(_box(box), _number(box["volume"]["in3"]), _number(box["left"]["in3"])) for box in boxes[:_BOXES_SHOWN]]
    out.table([("box", False), ("in3", True), ("left", True)], rows)
    if len(boxes) > _BOXES_SHOWN:
        out.line(f"and {len(boxes) - _BOXES_SHOWN} larger ones")


def _box(one: Plain) -> str:
    gangs = f", {one['gangs']} gang{'s' if one['gangs'] > 1 else ''}" if "gangs" in one else ""
    return f"{one['name']}{gangs}"


def _joints(out: Page, joints: list[Plain]) -> None:
    if not joints:
        return
    out.title("The joints in it")
    rows = []
    for number, joint in enumerate(joints, start=1):
        first = joint["options"][0] if joint.get("options") else None
        connector, fill = (first["connector"], fill_text(first["fill"])) if first else ("", "")
        outcome = "in error" if joint["outcome"] == "error" else str(joint["outcome"])
        rows.append((str(number), joint.get("id") or "", outcome, connector, fill))
    columns = [("", True), ("joint", False), ("outcome", False), ("first choice", False), ("fill", False)]
    out.table(columns, rows)
    for number, joint in enumerate(joints, start=1):
        because = [*joint.get("referrals", ()), *joint.get("bars", ())]
        for bar in because:
            out.item(f"{bar['says']} [{bar['rule']}]", mark=f"{number}:")
        for error in joint.get("errors", ()):
            out.item(f"{error['pointer']}: {error['says']}", mark=f"{number}:")


def _joint_cautions(out: Page, joints: list[Plain]) -> None:
    said = {one["rule"]: one["says"] for joint in joints for one in special(joint.get("cautions", ()))}
    out.labeled("Joints", [f"{said[rule]} [{rule}]" for rule in sorted(said)])


def _of_joints(joints: list[Plain]) -> list[Plain]:
    return [told for joint in joints for told in joint.get("judged", ())]


def _told(out: Page, title: str, told: Iterable[Plain]) -> None:
    lines = list(told)
    if lines:
        out.title(title)
    for line in lines:
        out.item(line["says"], source_text(line["source"]))


def _assumed(out: Page, assumed: Plain) -> None:
    if assumed:
        out.title("Assumed, because not stated")
        told = ", ".join(f"{pointer} {value_text(one['value'])}" for pointer, one in assumed.items())
        out.line(told, indent=2, dim=True)
