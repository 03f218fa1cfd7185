"""Rules that change no answer, for people."""

from __future__ import annotations

from typing import Any

from splicewright.reports.page import page
from splicewright.units import counted

_ASIDE = "(proposed splices, or connectors that are refused)"
_GROUPS = {
    "silent": "fire on none of them",
    "idle": "fire, and without any one of them each answer is the same",
    "undecided": "fire, and it was not tried what would be without them: ask fewer joints, or one --ruleset",
}


def print_idle(told: dict[str, Any]) -> None:
    """Print how many rules there are of each group, with file and line of each."""
    stacks = ["+".join((stack["code"], *stack["amendments"])) for stack in told["stacks"]]
    name = f"{', '.join(stacks)}@{told['stacks'][0]['catalogue']['name']}"
    with page() as out:
        out.headline(f"{name}: {counted(told['judged'], 'rule')} on {counted(told['asked'], 'joint')}")
        if told["judged"] and not any(told[group] for group in _GROUPS):
            out.line("each rule changes some answer")
        for group, title in _GROUPS.items():
            if told[group]:
                out.title(f"{counted(len(told[group]), 'rule')} {title}")
            for one in told[group]:
                on = f", on {counted(one['joints'], 'joint')}" if one["joints"] else ""
                out.line(f"{one['file']}:{one['line']}: {one['rule']} ({one['does']}{on})", indent=2)
        if told["not_judged"]:
            out.line(f"not judged: {counted(told['not_judged'], 'rule')} on what is not asked for here {_ASIDE}")
