"""Small changes that turn a barred joint into one that may be made; only those that the rules then accept."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from splicewright.engine import Finding
from splicewright.question.model import Question, as_plain

MOST_TRIED = 16


def remedies(
    question: Question, bars: tuple[Finding, ...], outcome_of: Callable[[Mapping[str, Any]], str | None]
) -> list[dict[str, Any]]:
    """Try the bars' remedies singly, then one from each bar together, and give those that lead to options.

    `outcome_of` gives the outcome of a changed question, or None where the change leaves no valid question.
    """
    found = []
    cured: set[tuple[str, ...]] = set()
    for changes in _tries(bars):
        leaves = tuple(
            f"{bar.rule.id} {group}.{leaf}" for bar, change in changes for group in change for leaf in change[group]
        )
        if leaves in cured:
            continue  # a smaller change of the same kind is enough
        changed = as_plain(question)
        for bar, change in changes:
            _apply(changed, bar, change)
        if outcome_of(changed) == "options":
            cured.add(leaves)
            merged: dict[str, Any] = {}
            for _, change in changes:
                merged = {
                    **merged,
                    **{key: {**merged.get(key, {}), **inner} for key, inner in change.items()},
                }
            found.append({"change": merged, "question": changed, "outcome": "options"})
    return found


def _tries(bars: tuple[Finding, ...]) -> Iterator[list[tuple[Finding, Mapping[str, Any]]]]:
    offered = [[(bar, change) for change in bar.rule.effect.remedies] for bar in bars]
    single = [[one] for one in itertools.chain.from_iterable(offered)]
    seen: list[Any] = []
    together: Iterator[Any] = itertools.product(*offered) if len(bars) > 1 and all(offered) else iter(())
    for changes in itertools.islice(itertools.chain(single, map(list, together)), MOST_TRIED):
        key = [(bar.conductors, change) for bar, change in changes]
        if key not in seen:
            seen.append(key)
            yield changes


def _apply(changed: dict[str, Any], bar: Finding, change: Mapping[str, Any]) -> None:
    for group, leaves in change.items():
        if group == "conductor":
            for at in bar.conductors:
                changed["joint"]["conductors"][at].update(leaves)
        else:
            changed[group].update(leaves)
