"""What people say instead of the words of a question: what is refused, and told what to say."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from typing import Any

from splicewright import shipped
from splicewright.reading import read_yaml


def synonyms(name: str) -> Mapping[str, str]:
    """Give what is said instead of the words of a list, by its name.

    For each, in small letters with hyphens, the word that is meant; or, where it has several meanings, a sentence that
    goes on after "say".
    """
    return _lists()[name]


@functools.cache
def _lists() -> Mapping[str, Mapping[str, str]]:
    path = shipped.folder("rulesets") / "words" / "synonyms.yaml"
    lists: Mapping[str, Mapping[str, Any]] = read_yaml(path.read_bytes()).value["lists"]
    return {name: _by_what_is_said(one) for name, one in lists.items()}


def _by_what_is_said(one: Mapping[str, Any]) -> Mapping[str, str]:
    found = {said: word for word, listed in one["one"].items() for said in listed}
    return found | {said: several["say"] for several in one.get("several", ()) for said in several["said"]}
