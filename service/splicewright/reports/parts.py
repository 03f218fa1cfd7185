"""Parts that several reports share: findings, cautions, figures of a make-up, defaults that matter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from splicewright.question.facts import FactLine
from splicewright.reports.page import Page
from splicewright.reports.words import cited, not_judged_whole, to_state, value_text, without_a_rule

Plain = Mapping[str, Any]
MORE = "More: "
#: What holds of every answer.
ALWAYS = "De-energize, lock out, test dead. Listing, code, a licensed electrician decide."
#: Defaults that only say that something is not there.
_NOTHING_SPECIAL: tuple[Any, ...] = ("none", "plain", "sound", "general", "still", "ends", False, [])


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


def stripped(option: Plain) -> Plain | None:
    """Give the length that an option's ends are stripped to."""
    return next(_figures(option, "strip"), None)


def torqued(option: Plain) -> Plain | None:
    """Give what an option's screw or nut is tightened to."""
    return next(_figures(option, "torque"), None)


def _figures(option: Plain, phase: str) -> Iterator[Plain]:
    return (step["value"] for step in option.get("make_up", ()) if step["phase"] == phase and "value" in step)


def assumed_that_matter(answer: Plain) -> list[str]:
    """Give the defaults that something in the answer rests on, then what the place is taken for because of them."""
    asks = ("demands", "bars", "referrals", "findings")
    found = [one for part in asks if isinstance(answer.get(part), list) for one in answer[part]]
    rests_on = {fact.name for finding in found for fact in map(FactLine.read, finding.get("from", ())) if fact}
    told: dict[str, None] = {}
    assumed = set()
    for pointer, value in answer["assumed"].items():
        leaf = pointer.rpartition("/")[2]
        fact = f"{'conductor' if '/conductors/' in pointer else pointer.split('/')[1]}.{leaf}"
        if fact in rests_on:
            assumed.add(fact)
            if value not in _NOTHING_SPECIAL:
                told[value if isinstance(value, str) else f"{leaf.replace('_', ' ')} {value_text(value)}"] = None
    return [", ".join(told), *_taken_for(answer, assumed)] if told else list(_taken_for(answer, assumed))


def read_as(out: Page, *answers: Plain) -> None:
    """Print what was sent in other words than ours and what it was taken for, each once."""
    taken = (one for answer in answers for one in answer.get("read_as", ()))
    told = {f"{one['sent']} as {value_text(one['taken'])}": None for one in taken}
    out.labeled("Read", ["; ".join(told)] if told else [])


def _taken_for(answer: Plain, assumed: set[str]) -> Iterator[str]:
    """Give what was concluded of the place from a default and something that was stated."""
    for finding in answer.get("findings", ()):
        facts = [FactLine.read(line) for line in finding["from"]]
        by_default = [fact for fact in facts if fact and fact.name in assumed]
        of_place = all(fact and fact.name.startswith("place.") for fact in facts)
        if by_default and len(by_default) < len(facts) and of_place:
            yield finding["says"]


def defaults(out: Page, answer: Plain) -> None:
    """Print every default, the standing cautions, and what the answer is known by."""
    assumed = answer["assumed"]
    if isinstance(assumed, dict) and assumed:
        out.title("Assumed, because not stated")
        told = (f"{pointer} {value_text(value)}" for pointer, value in assumed.items() if value != [])
        out.line(", ".join(told), indent=2, dim=True)
    standing = [caution for caution in answer["cautions"] if caution["kind"] == "always"]
    if standing:
        out.title("What holds of every joint")
        findings(out, standing, answer.get("rules", {}))
    rulesets = answer["rulesets"]
    out.line("")
    out.line(f"answer {answer['answer']}", dim=True)
    out.line(f"rulesets {rulesets['code']} {rulesets['digest']}", dim=True)
