"""Parts that several reports share: findings, cautions, figures of a make-up, defaults that matter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from splicewright.reports.page import Page
from splicewright.reports.words import (
    cited,
    defaults_that_matter,
    not_judged_whole,
    sent_otherwise,
    taken_for,
    to_state,
    value_text,
    without_a_rule,
)
from splicewright.units import counted

Plain = Mapping[str, Any]
MORE = "More: "


def findings(out: Page, found: Iterable[Plain], rules: Plain) -> None:
    """Print findings, a line each, those that say the same once."""
    seen = set()
    for one in found:
        if (key := (one["rule"], one["says"])) not in seen:
            seen.add(key)
            out.item(one["says"], cited(one["rule"], rules))


def special(cautions: Iterable[Plain]) -> list[Plain]:
    """Give the cautions that hold for this joint, not for every one."""
    return [caution for caution in cautions if caution["kind"] == "mind"]


def judged_of(out: Page, judged: Iterable[Plain], *, whole: bool = False) -> None:
    """Print what was not judged: the words to state, and the articles to see; `whole` with what each asks."""
    found = list(judged)
    if whole:
        out.labeled("Unjudged", not_judged_whole(found))
        return
    words, articles = to_state(found), without_a_rule(found)
    out.labeled("To judge", [f"state {words}"] if words else [])
    out.labeled("No rule", [articles] if articles else [])


def assumed_that_matter(answer: Plain) -> list[str]:
    """Give the defaults that the answer rests on, then what the place is taken for because of some."""
    told = [one.told() for one in defaults_that_matter(answer["assumed"])]
    taken = [one["says"] for one in taken_for(answer)]
    return [", ".join(told), *taken] if told else taken


def headline(out: Page, answer: Plain, text: str) -> None:
    """Print what comes first, and beneath it that its connectors are invented, where they are."""
    out.headline(text)
    demo(out, answer["catalogue"])


def demo(out: Page, catalogue: Plain) -> None:
    """Say that connectors are invented, where they are those of the demonstration."""
    if catalogue.get("demo"):
        out.labeled("Demo", [f"these connectors are invented: the catalogue {catalogue['name']} is no shelf of yours"])


def amended(out: Page, answer: Plain) -> None:
    """Print which amendments are laid over the code, and what they set aside here."""
    if not (names := answer["rulesets"]["amendments"]):
        return
    aside = [
        f"{one['rule']} {one['did']} by {one['amendment']}: {one['says']}{_of_joints(one)}"
        for one in answer.get("amended", ())
    ]
    out.labeled("Amended", [f"by {', '.join(names)}", *aside])


def _of_joints(one: Plain) -> str:
    return f" ({counted(one['joint_count'], 'joint')})" if "joint_count" in one else ""


def of_project(out: Page, answer: Plain) -> None:
    """Print what the project file says for what was asked."""
    by_it = {at[1:]: one["value"] for at, one in answer["assumed"].items() if one["from"] == "project"}
    told = [f"{at.replace('/', ' ')} {_said(value)}" for at, value in by_it.items()]
    out.labeled("Project", [", ".join(told)] if told else [])


def _said(value: Any) -> str:
    if isinstance(value, Mapping):
        return "; ".join(f"{key} {_said(one)}" for key, one in sorted(value.items()))
    return value_text(value)


def read_as(out: Page, *answers: Plain) -> None:
    """Print what was sent in other words than ours and what it was taken for, each once."""
    taken = sent_otherwise(one for answer in answers for one in answer.get("read_as", ()))
    out.labeled("Read", ["; ".join(" as ".join(one) for one in taken)] if taken else [])


def defaults(out: Page, answer: Plain) -> None:
    """Print every default, the standing cautions, and what the answer is known by."""
    assumed = answer["assumed"]
    if assumed:
        out.title("Assumed, because not stated")
        told = (f"{pointer} {value_text(one['value'])}" for pointer, one in assumed.items() if one["value"] != [])
        out.line(", ".join(told), indent=2, dim=True)
    standing = [caution for caution in answer["cautions"] if caution["kind"] == "always"]
    if standing:
        out.title("What holds of every joint")
        findings(out, standing, answer.get("rules", {}))
    rulesets = answer["rulesets"]
    out.line("")
    out.line(f"answer {answer['answer']}", dim=True)
    out.line(f"rulesets {rulesets['code']} {rulesets['digest']}", dim=True)
