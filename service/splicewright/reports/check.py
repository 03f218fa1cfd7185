"""The answer to a check for people: the verdict, what speaks against it, what is open; the rest where asked for."""

from __future__ import annotations

from typing import Any

from splicewright.answering.finding_json import ALWAYS
from splicewright.json_pointer import pointer_words
from splicewright.reports.page import Page, page
from splicewright.reports.parts import (
    amended,
    assumed_that_matter,
    defaults,
    findings,
    headline,
    judged_of,
    of_project,
    read_as,
    special,
)
from splicewright.reports.words import cited, fill_text, not_judged_first
from splicewright.units import counted

Plain = dict[str, Any]
_HEADLINES = {
    "sound": "Sound: nothing speaks against it, and all that is asked is said.",
    "unsound": "Unsound: it may not stay as it is.",
    "unproven": "Unproven: nothing speaks against it, but not all that is asked is said.",
}
_SOUND_SO_FAR = "Sound in what was judged."
_OPTIONS = 3


def print_check(answer: Plain, *, everything: bool = False) -> None:
    """Print the answer to a check to standard output."""
    with page() as out:
        _answer(out, answer, everything=everything)


def _answer(out: Page, answer: Plain, *, everything: bool) -> None:
    rules = answer.get("rules", {})
    headline(out, answer, _headline(answer))
    out.labeled("Checked", [_proposed(answer["proposed"])])
    _points(out, "Against it", answer["violations"], rules)
    _unproven(out, answer["unproven"], rules)
    for one in answer["unjudged"]:
        out.labeled("No rule", [f"{one['said']}. {one['says']}"])
    told = special(answer["cautions"])
    if answer["referrals"]:
        out.title("Outside this tool")
        findings(out, answer["referrals"], rules)
    out.labeled("Mind", [f"{one['says']} [{one['rule']}]" for one in told])
    judged_of(out, answer["judged"], whole=everything)
    read_as(out, answer)
    amended(out, answer)
    if not everything:
        out.labeled("Assumed", assumed_that_matter(answer))
        of_project(out, answer)
    _options(out, answer, everything=everything)
    if everything:
        _points(out, "Borne out", answer["confirmed"], rules)
        defaults(out, answer)
    out.line(ALWAYS)
    if not everything:
        out.line(
            f"More: {counted(answer['counts']['confirmed'], 'point')} borne out and the defaults; --all tells them",
            dim=True,
        )


def _headline(answer: Plain) -> str:
    unjudged = not_judged_first(answer["judged"])
    first = _SOUND_SO_FAR if answer["verdict"] == "sound" and unjudged else _HEADLINES[answer["verdict"]]
    return " ".join(filter(None, (first, unjudged)))


def _proposed(proposed: Plain) -> str:
    if "connector" not in proposed:
        return f"some {proposed['method']} connector"
    fill = f", fill {fill_text(proposed['fill'])}" if "fill" in proposed else ""
    return f"{proposed['connector']} ({proposed['method']}){fill}"


def _points(out: Page, title: str, points: list[Plain], rules: Plain) -> None:
    if points:
        out.title(title)
    for point in points:
        about = f"{pointer_words(about[0])}: " if (about := _of_proposal(point)) else ""
        how = f" Listed: {point['how']}." if point.get("how") else ""
        whose = f" Holds for {', '.join(point['connectors'])}." if "connectors" in point else ""
        out.item(f"{about}{point['says']}{how}{whose}", cited(point["rule"], rules))


def _of_proposal(point: Plain) -> list[str]:
    return [pointer for pointer in point.get("at", ()) if pointer.startswith("/proposal")]


def _unproven(out: Page, points: list[Plain], rules: Plain) -> None:
    if points:
        out.title("Not said, but asked")
    for point in points:
        state = f"state {pointer_words(point['asks'])}: " if point.get("asks") else ""
        whose = f" Holds for {', '.join(point['connectors'])}." if "connectors" in point else ""
        out.item(f"{state}{point['says']}{whose}", cited(point["rule"], rules))


def _options(out: Page, answer: Plain, *, everything: bool) -> None:
    options = answer["options"]
    if not options or (answer["verdict"] == "sound" and not everything):
        return
    shown = options if everything else options[:_OPTIONS]
    named = [f"{one['connector']} ({one['method']}; {fill_text(one['fill'])})" for one in shown]
    left = answer["counts"]["options"] - len(shown)
    if left:
        named[-1] += f"; {left} more"
    out.labeled("Instead", named)
