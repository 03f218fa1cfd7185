"""Why an answer is as it is, for people: each finding as a tree, then how the connector asked about stands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from splicewright.reports.page import Branch, Page, page
from splicewright.reports.parts import amended, demo
from splicewright.reports.words import source_text, value_text
from splicewright.units import counted

Plain = dict[str, Any]
_OUTCOMES = {
    "options": "First offered: {best}",
    "no-connector": "No connector takes it",
    "barred": "Barred",
    "refer": "Outside this tool",
}
_BLOCKED = {"barred": "barred", "refer": "outside this tool"}


def print_why(told: Plain) -> None:
    """Print it."""
    with page() as out:
        out.headline(_OUTCOMES[told["outcome"]].format_map(told))
        demo(out, told["catalogue"])
        amended(out, told)
        if "connector" in told:
            _standing(out, told["connector"], told["outcome"])
        out.title("What decides it")
        if not told["findings"]:
            out.line("No rule asks anything of the connector here.", indent=2)
        for finding in told["findings"]:
            out.tree(_branch(finding))


def _standing(out: Page, standing: Plain, outcome: str) -> None:
    out.title(f"{standing['connector']} ({standing['method']}): {_stands(standing, outcome)}")
    for one in standing.get("before_it", ()):
        out.item(f"the first offered has what it lacks: {one['says']}", one["rule"])
    for one in standing.get("preferred", ()):
        out.item(one["says"], one["rule"])
    for reason in standing.get("because", ()):
        asked = [
            (f"asks {one['attribute']} {_test(one['test'])}; its listing: {one['listed']}", ())
            for one in reason.get("asks", ())
        ]
        here = [(f"here: {reason['here']}", ())] if "here" in reason and not asked else []
        out.tree((f"{reason['says']} [{reason['rule']}]", (*asked, *here, *map(_behind, reason["from"]))))
    if "tried" in standing:
        _changes(out, standing)


def _stands(standing: Plain, outcome: str) -> str:
    if standing["standing"] == "option":
        return f"an option, number {standing['rank']}"
    if standing["standing"] == "not-looked-at":
        return f"not looked at, since the joint is {_BLOCKED[outcome]}"
    return {"refused": "refused", "not-carried": "not looked at, since `only` narrows it away"}[standing["standing"]]


def _changes(out: Page, standing: Plain) -> None:
    tried = counted(standing["tried"], "single change")
    if not standing["tried"]:
        out.line("There was no single change to try.", indent=2)
    elif not standing["changes"]:
        out.line(f"None of {tried} that were tried makes it an option.", indent=2)
    else:
        out.line(f"Of {tried} that were tried these make it an option:", indent=2)
    for change in standing["changes"]:
        out.item(f"{change['says']} (then number {change['rank']})", indent=4)
    if "untried" in standing:
        out.line(f"{counted(standing['untried'], 'change')} were not tried: the call had used up its work.", indent=2)


def _branch(finding: Plain) -> Branch:
    by = f", {finding['by']['authority']}" if "by" in finding else ""
    cited = f"{finding['rule']}; {source_text(finding['source'])}{by}"
    return f"{finding['says']} [{cited}]", tuple(map(_behind, finding["from"]))


def _behind(proof: Plain) -> Branch:
    if "rule" in proof:
        return _branch(proof)
    return f"{proof['fact']}: {_value(proof['value'])}{' (assumed)' if proof.get('assumed') else ''}", ()


def _value(value: Any) -> str:
    return ", ".join(value) if isinstance(value, list) else value_text(value)


def _test(test: Plain) -> str:
    return "; ".join(f"{operator} {', '.join(_values(values))}" for operator, values in test.items())


def _values(values: Any) -> Iterator[str]:
    for value in values:
        yield f"as {value['fact']}" if isinstance(value, dict) and "fact" in value else value_text(value)
