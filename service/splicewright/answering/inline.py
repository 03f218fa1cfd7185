"""A catalogue that stands in a request itself, in place of the name of one: read like a file, within bounds."""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Mapping
from copy import copy
from typing import TYPE_CHECKING, Any

import orjson

from splicewright.catalogue import Catalogue, catalogue_of
from splicewright.catalogue.connector_index import ConnectorIndex
from splicewright.memo import Memo
from splicewright.refusals import Problem, Refused, Says

if TYPE_CHECKING:
    from splicewright.answering.chooser import Chooser
    from splicewright.work import Budget

MOST_CONNECTORS = 200
MOST_BYTES = 400_000
MOST_COMBINATIONS = 6_000  # the shipped catalogue has seven hundred
#: Pieces of work that it takes to read a combination and to make it ready.
COMBINATION = 25
#: Bytes of a catalogue for each piece of work: what it takes to read it and to make it ready.
BYTES_OF_A_CATALOGUE = 3
_SPAN = re.compile(r"([0-9]{1,2}) to ([0-9]{1,2})")
_KEPT = 4  # catalogues that were read, each with what was made of it: some megabytes
_known: Memo[bytes, ConnectorIndex] = Memo(_KEPT)


def with_its_catalogue(
    chooser: Chooser, given: Mapping[str, Any], budget: Budget | None = None
) -> tuple[Chooser, dict[str, Any]]:
    """Give who answers a request that has a catalogue of its own, and the request with that catalogue's address.

    Raises `Refused` where it is no catalogue, or too large, with pointers into the request.
    """
    own = given["catalogue"]
    if isinstance(own, str):
        chooser.catalogue(own)  # an address that did not come with this request is nobody's, whatever is kept of it
    if not isinstance(own, Mapping):
        return chooser, dict(given)  # no catalogue at all is refused with all else that is wrong
    index = _read(own, budget)
    address = index.catalogue.digest
    asking = copy(chooser)
    asking._in_use = (chooser.holding.with_index(address, index), chooser.cache)  # noqa: SLF001 - its own kind
    return asking, {**given, "catalogue": address}


def _read(own: Mapping[str, Any], budget: Budget | None) -> ConnectorIndex:
    try:
        text = orjson.dumps(own)
    except (TypeError, orjson.JSONEncodeError):
        raise Refused([Problem("/catalogue", Says("holds what JSON does not have", "wrong-type"))]) from None
    connectors = own.get("connectors")
    if len(text) > MOST_BYTES:
        raise _too_much(f"is {len(text):,} bytes long; at most {MOST_BYTES:,} may stand in a request")
    if isinstance(connectors, list) and len(connectors) > MOST_CONNECTORS:
        raise _too_much(f"has {len(connectors):,} connectors; at most {MOST_CONNECTORS} may stand in a request")
    combinations = _combinations(connectors)
    if combinations > MOST_COMBINATIONS:
        raise _too_much(f"has {combinations:,} combinations; at most {MOST_COMBINATIONS:,} may stand in a request")
    if budget is not None:  # whether it is known or not, so that an answer does not depend on what was asked before
        budget.count(len(text) // BYTES_OF_A_CATALOGUE + combinations * COMBINATION, "/catalogue")
    key = hashlib.sha256(text).digest()
    found = _known.get(key)
    if found is None:
        try:
            found = _known.keep(key, ConnectorIndex(_sound(own)))
        except Refused as error:
            within = [Problem(f"/catalogue{one.pointer}", one.says) for one in error.problems]
            raise Refused(within) from None
    return found


def _sound(own: Mapping[str, Any]) -> Catalogue:
    """Read it, and refuse what contradicts itself."""
    from splicewright.catalogue.checking import contradictions  # noqa: PLC0415 - what is shipped needs it not

    catalogue = catalogue_of(own)
    if wrong := contradictions(own, catalogue):
        raise Refused(wrong)
    return catalogue


def _combinations(connectors: Any) -> int:
    """Count the combinations of listings that were not read yet: each that their spans stand for is one."""
    lines = (
        line
        for connector in _list(connectors)
        for take in _list(connector.get("takes") if isinstance(connector, Mapping) else None)
        for line in _list(take.get("combinations") if isinstance(take, Mapping) else None)
    )
    return sum(math.prod(map(_counts, line.values())) for line in lines if isinstance(line, Mapping))


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _counts(value: Any) -> int:
    """Give how many numbers a span stands for."""
    match = _SPAN.fullmatch(value) if isinstance(value, str) else None
    return max(1, int(match[2]) - int(match[1]) + 1) if match else 1


def _too_much(says: str) -> Refused:
    return Refused([Problem("/catalogue", Says(f"{says}; keep it on the server, and name it", "too-long"))])
