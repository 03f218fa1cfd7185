"""What is told of an answer where all of it is asked for: refusals by reason, every option, every remedy."""

from __future__ import annotations

from typing import Any

from splicewright.answer_forms import without_here
from splicewright.reports.page import Page
from splicewright.reports.parts import defaults
from splicewright.reports.remedies import remedy_lines
from splicewright.reports.words import cited, fill_text

Plain = dict[str, Any]


def refusals(out: Page, answer: Plain) -> None:
    """Print the connectors that are refused, by reason."""
    refused, rules = answer["refusals"], answer.get("rules", {})
    if not refused:
        return
    grouped: dict[tuple[str, str], list[str]] = {}
    for refusal in refused:
        for reason in refusal["because"]:
            says, here = without_here(reason["says"])
            whose = refusal["connector"] + (f" ({here})" if here else "")
            grouped.setdefault((reason["rule"], says), []).append(whose)
    out.title(f"{len(refused)} connectors refused (one may stand under several reasons)")
    for (rule, says), connectors in sorted(grouped.items()):
        out.item(says, cited(rule, rules))
        out.line("; ".join(connectors), indent=6)


def everything(out: Page, answer: Plain) -> None:
    """Print all options, all remedies and all defaults."""
    options = answer["options"]
    if options:
        out.title("All options")
        rows = [
            (str(option["rank"]), option["connector"], option["method"], fill_text(option["fill"]))
            for option in options
        ]
        out.table([("", True), ("connector", False), ("method", False), ("fill", False)], rows)
        if more := answer["counts"]["options"] - len(options):
            out.line(f"and {more} more; give a larger limit in the question", indent=2)
    if answer["remedies"]:
        out.title("Everything that would make it possible")
        for remedy in answer["remedies"]:
            for at, line in enumerate(remedy_lines(remedy)):
                out.line(line if at else f"→ {line}", indent=4 if at else 2)
    defaults(out, answer)
