"""An answer for people: what to use and what to mind on one screen; the rest where it is asked for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from typing import Any, NamedTuple

from splicewright.answer_forms import without_here
from splicewright.answering.finding_json import ALWAYS
from splicewright.question.answer_vocabulary import INCLUDE
from splicewright.reports.answer_whole import everything, refusals
from splicewright.reports.page import Page, page
from splicewright.reports.parts import (
    MORE,
    amended,
    assumed_that_matter,
    findings,
    headline,
    judged_of,
    of_project,
    read_as,
    special,
)
from splicewright.reports.remedies import remedy_lines
from splicewright.reports.words import (
    TOOLS,
    both_units,
    cited,
    figure_of_conductor,
    fill_text,
    listing_source,
    not_judged_first,
    value_text,
)
from splicewright.units import counted

Plain = dict[str, Any]
#: What an answer has to have to be printed; with `assumed` all defaults can be.
ON_SCREEN = tuple(name for name in INCLUDE if name not in ("assumed", "confirmed"))
#: Why any listed fill stands before any bracketed one.
_LISTED_FIRST = "Its listing names this mix; what follows is a reading."
_NEXT, _REASONS, _MISSES, _REMEDIES, _METHODS = 2, 2, 3, 3, 4


class Shown(NamedTuple):
    """What is shown beside the first screen."""

    steps: bool = False
    why: bool = False
    refusals: bool = False
    everything: bool = False


def print_answer(answer: Plain, shown: Shown | None = None) -> None:
    """Print an answer to standard output: one with all of `ON_SCREEN`."""
    shown = shown or Shown()
    with page() as out:
        _OUTCOMES[answer["outcome"]](out, answer, shown.everything)
        _known(out, answer, whole=shown.everything)
        if shown.why or shown.everything:
            _why(out, answer)
        if shown.steps or shown.everything:
            for option in answer["options"][:1]:
                make_up(out, option)
        if shown.refusals or shown.everything:
            refusals(out, answer)
        if shown.everything:
            everything(out, answer)
        out.line(_more(answer, shown), dim=True)


# --- the first screen ----------------------------------------------------------------------


def _options(out: Page, answer: Plain, whole: bool) -> None:
    best, *others = answer["options"]
    use = f"Use {best['connector']}: {best['method']}, {fill_text(best['fill'])}."
    headline(out, answer, " ".join(filter(None, (use, not_judged_first(answer["judged"])))))
    made_with(out, best)
    _mind(out, answer, whole=whole)
    out.labeled("Because", [" ".join(reasons)] if (reasons := _deciding(best, others)) else [])
    out.labeled("Then", [_named(other) for other in others[:_NEXT]])


def _named(option: Plain) -> str:
    fill = fill_text(option["fill"])
    return f"{option['connector']} ({option['method']}; {fill})"


def made_with(out: Page, option: Plain) -> None:
    """Print how a joint is made with an option: strip, tool, torque."""
    told = []
    if "strip" in option:
        told.append(f"strip {both_units(option['strip'])}")
    if "tool" in option:
        told.append(f"{'' if option['tool'] == 'none' else 'tool: '}{TOOLS.get(option['tool'], option['tool'])}")
    if "torque" in option:
        told.append(f"torque {value_text(option['torque'])}")
    out.labeled("Make it", ["; ".join(told)] if told else [])
    out.labeled("By each", [figure_of_conductor(one) for one in option.get("by_conductor", ())])
    out.labeled("Listing", [listing_source(option["source"])] if "source" in option else [])


def _deciding(best: Plain, others: list[Plain]) -> list[str]:
    """Give what puts the best before the next: the strongest reason that the next lacks, then those few others have."""
    listed = [_LISTED_FIRST] if others and _basis(best) != _basis(others[0]) else []
    preferred = best.get("preferred", ())
    holding = Counter(one["rule"] for option in others for one in option.get("preferred", ()))
    held = {one["rule"] for one in others[0].get("preferred", ())} if others else set()
    first = [one for one in preferred if one["rule"] not in held][:1]
    rest = [one for one in preferred if one not in first and 2 * holding[one["rule"]] <= len(others)]
    rest.sort(key=lambda one: holding[one["rule"]])
    return [*listed, *(one["says"] for one in (*first, *rest))][:_REASONS]


def _basis(option: Plain) -> str:
    basis: str = option["fill"]["basis"]
    return basis


def _barred(out: Page, answer: Plain, whole: bool) -> None:
    headline(out, answer, "Barred: this joint may not be made as posed.")
    findings(out, answer["bars"], answer.get("rules", {}))
    _would_do(out, answer["remedies"])
    _mind(out, answer, whole=whole)


def _referred(out: Page, answer: Plain, whole: bool) -> None:
    rules = answer.get("rules", {})
    sources = [rules[referral["rule"]]["source"] for referral in answer["referrals"] if referral["rule"] in rules]
    sections = dict.fromkeys(source["section"] for source in sources if source["kind"] == "published")
    headline(out, answer, f"Outside this tool{': see ' + '; '.join(sections) if sections else ''}.")
    findings(out, answer["referrals"], rules)
    _mind(out, answer, whole=whole)


def _no_connector(out: Page, answer: Plain, whole: bool) -> None:
    headline(
        out,
        answer,
        " ".join(filter(None, ("No connector of the catalogue takes it.", not_judged_first(answer["judged"])))),
    )
    nearest: dict[str, Plain] = {}  # the nearest of each method
    for one in sorted(answer["refusals"], key=_nearness):
        nearest.setdefault(one["method"], one)
    for one in list(nearest.values())[:_MISSES]:
        _miss(out, one)
    if unproven := answer["counts"].get("unproven"):
        out.item(f"{counted(unproven, 'connector')} unproven: would do, if the listing stated what is asked")
    if not_carried := answer["counts"].get("not_carried"):
        out.item(f"{counted(not_carried, 'connector')} that the question does not keep to were not looked at")
    _would_do(out, answer["remedies"])
    _mind(out, answer, whole=whole)


def _nearness(refusal: Plain) -> tuple[bool, int, str]:
    """Put what is only unproven first, then what is refused for the fewest reasons."""
    return ("not_stated" not in refusal, len(refusal["because"]), refusal["connector"])


def _miss(out: Page, refusal: Plain) -> None:
    """Print why a connector is refused, a line a cause: what is not so here, else the first part of the reason."""
    first, *further = [_short(one) for one in refusal["because"]]
    more = f"; {len(further)} more" if len(further) > 1 else f"; {further[0]}" if further else ""
    out.item(f"{refusal['connector']}: {'unproven; ' if 'not_stated' in refusal else ''}{first}{more}")


def _short(reason: Plain) -> str:
    says, here = without_here(reason["says"])
    return f"{here or says.partition(';')[0].rstrip('.')} [{reason['rule']}]"


_OUTCOMES: dict[str, Callable[[Page, Plain, bool], None]] = {
    "options": _options,
    "barred": _barred,
    "refer": _referred,
    "no-connector": _no_connector,
}


def _would_do(out: Page, remedies: list[Plain]) -> None:
    for remedy in remedies[:_REMEDIES]:
        if remedy["kind"] == "connector":
            told = f"one not in this catalogue, listed for {remedy['takes']}: {', '.join(remedy['methods'][:_METHODS])}"
            out.item(f"{told}; --all tells the rest", mark="→")
            continue
        first, *parts = remedy_lines(remedy)
        out.item(first, mark="→")
        for part in parts[:1]:  # how its jumpers run is told with the rest
            out.line(part, indent=4)
    if len(remedies) > _REMEDIES:
        out.line(f"→ and {len(remedies) - _REMEDIES} more; --all tells them", indent=2)


def _mind(out: Page, answer: Plain, *, whole: bool) -> None:
    rules = answer.get("rules", {})
    told = special(answer["cautions"])
    out.labeled("Mind", [f"{one['says']} [{cited(one['rule'], rules) if whole else one['rule']}]" for one in told])


def _known(out: Page, answer: Plain, *, whole: bool) -> None:
    """Print what was not judged, what was assumed, and what holds of every joint."""
    if answer["outcome"] in ("options", "no-connector"):
        judged_of(out, answer["judged"], whole=whole)
    read_as(out, answer)
    amended(out, answer)
    if not whole:
        out.labeled("Assumed", assumed_that_matter(answer))
        of_project(out, answer)
    out.line(ALWAYS)


def _more(answer: Plain, shown: Shown) -> str:
    offered = [word for word, is_shown in (("why", shown.why), ("steps", shown.steps), ("refusals", shown.refusals))
               if not (is_shown or shown.everything)]  # fmt: skip
    if not answer["options"] and "steps" in offered:
        offered.remove("steps")
    words = [f"--{word}" for word in offered]
    if not shown.everything:
        left = max(answer["counts"]["options"] - _NEXT - 1, 0)
        words.append(f"--all ({left} more)" if left else "--all")
    using = "; --using ID for one" if len(answer["options"]) > 1 else ""
    return f"{MORE}{' '.join(words)}{using}" if words or using else f"answer {answer['answer']}"


# --- what is asked for ---------------------------------------------------------------------


def _why(out: Page, answer: Plain) -> None:
    rules = answer.get("rules", {})
    out_of = (
        ("What follows from the question", answer["findings"]),
        ("What the joint asks for", answer["demands"]),
        ("Methods that may not be used", answer["method_bars"]),
    )
    for title, found in out_of:
        if found:
            out.title(title)
            findings(out, found, rules)
    _order(out, answer["options"], rules)


def _order(out: Page, options: list[Plain], rules: Plain) -> None:
    held: dict[tuple[str, str], list[str]] = {}
    for option in options:
        for one in option.get("preferred", ()):
            held.setdefault((one["rule"], one["says"]), []).append(str(option["rank"]))
    if not held:
        return
    out.title("Why in this order (listed before bracketed, then what is preferred here)")
    for (rule, says), ranks in held.items():
        whose = "all of these" if len(ranks) == len(options) else ", ".join(ranks)
        out.item(f"{says} Holds for {whose}.", cited(rule, rules))


def make_up(out: Page, option: Plain) -> None:
    """Print the work steps of an option."""
    if "make_up" not in option:
        return
    out.title(f"Make-up of {option['connector']}")
    rows = []
    for number, step in enumerate(option["make_up"], start=1):
        value = step.get("value")
        rows.append((f"{number:>3}", step["phase"], step["do"] + (f" [{_figure(value)}]" if value else "")))
    out.table([("", False), ("", False), ("", False)], rows, heads=False)


def _figure(value: Plain) -> str:
    return both_units(value) if value["unit"] in ("mm", "cm", "in") else value_text(value)


# --- one option, or why it is none ---------------------------------------------------------


def print_using(answer: Plain, using: str, ids: Iterable[str]) -> None:
    """Print why an option ranks where it does and its steps; of one that is refused its reasons.

    `using` is the id of a connector, or a method: then the best of that method, or the one refused for the fewest
    reasons. `ids` are those of the catalogue with that method.
    """
    wanted = set(ids)
    option = next((one for one in answer["options"] if one["connector"] in wanted), None)
    with page() as out:
        if option is not None:
            _ranked(out, option, answer)
        elif answer["outcome"] in ("barred", "refer"):
            _OUTCOMES[answer["outcome"]](out, answer, False)
            out.line(f"So {using} was not looked at.")
        elif refused := [refusal for refusal in answer["refusals"] if refusal["connector"] in wanted]:
            _refused(out, sorted(refused, key=lambda one: len(one["because"])), using, answer.get("rules", {}))
        else:
            out.headline(f"{using} was not looked at: the question keeps to others.")
        _known(out, answer, whole=False)


def _ranked(out: Page, option: Plain, answer: Plain) -> None:
    out.headline(f"{_named(option)} ranks {option['rank']} of {answer['counts']['options']}.")
    made_with(out, option)
    _mind(out, answer, whole=False)
    rules = answer.get("rules", {})
    best = answer["options"][0]
    own = {one["rule"]: one for one in option["preferred"]}
    out.labeled("For it", [f"{one['says']} [{cited(rule, rules)}]" for rule, one in own.items()])
    lacking = [one for one in best["preferred"] if one["rule"] not in own]
    if option["rank"] > 1:
        reasons = [f"{one['says']} [{cited(one['rule'], rules)}]" for one in lacking]
        listed = [_LISTED_FIRST] if _basis(best) != _basis(option) else []
        over = [*listed, *reasons] or ["Alike in all that is preferred; then ids decide."]
        out.labeled("Over it", [f"{best['connector']} ranks first: {one}" for one in over])
    make_up(out, option)


def _refused(out: Page, refused: list[Plain], using: str, rules: Plain) -> None:
    first, *others = refused
    out.headline(f"{first['connector']} ({first['method']}) is refused.")
    for reason in first["because"]:
        out.item(reason["says"], cited(reason["rule"], rules))
    if others:
        out.line(f"So are {len(others)} more of {using}, for as many reasons or more.", indent=2)
