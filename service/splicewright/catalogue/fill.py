"""Fill: whether a connector is listed for a joint's conductors, the part that charts get wrong.

A joint equals a listed combination (`listed`), lies between two of them (`bracketed`), goes into ports, or is
refused with the verdict that says what is wrong. Too few conductors are refused like too many. Which basis is
good enough is for the rules to say.
"""

from __future__ import annotations

import functools
from weakref import WeakKeyDictionary

from splicewright.catalogue.combination_fill import CombinationFill
from splicewright.catalogue.model import Connector, Shape, kinds_text, shape_of
from splicewright.catalogue.outcome import Fill, best, refused
from splicewright.catalogue.port_fill import PortFill
from splicewright.question.model import Joint


def fill(connector: Connector, joint: Joint) -> Fill:
    """Judge how a joint's conductors stand in a connector's listing.

    All combinations of the connector count together; each group of ports counts alone. The best of these
    outcomes is given: listed, then bracketed, then the nearest refusal (`outcome.NEAREST_FIRST`).
    """
    return judge_of(connector)(shape_of(joint))


def judge_of(connector: Connector) -> Judge:
    """Give the judge of a connector's listing, made once for as long as its catalogue is in use."""
    judge = _judges.get(connector)
    if judge is None:
        judge = _judges[connector] = Judge(connector)
    return judge


class Judge:
    """One connector's listing, made ready."""

    def __init__(self, connector: Connector) -> None:
        combinations = [combination for take in connector.takes for combination in take.combinations]
        self._kinds = connector.kinds  # not the connector: what is remembered for it must not keep it alive
        self._groups: list[CombinationFill | PortFill] = [PortFill(take) for take in connector.takes if take.ports]
        if combinations:
            self._groups.append(CombinationFill(combinations))

    def __call__(self, shape: Shape) -> Fill:
        """Judge how a joint of this shape stands in the listing."""
        found = [outcome for group in self._groups if (outcome := group(shape))]
        return best(found) if found else _not_taken(self._kinds, shape)


#: What was made ready for each connector, for as long as its catalogue is in use.
_judges: WeakKeyDictionary[Connector, Judge] = WeakKeyDictionary()


def _not_taken(kinds: int, shape: Shape) -> Fill:
    missing = shape.mask & ~kinds
    if missing:
        return _kinds_not_taken(missing, kinds)
    together = f"{shape.count} conductors of {kinds_text(shape.mask)}"
    return refused("construction-not-taken", f"nothing listed takes {together} together")


@functools.lru_cache(maxsize=4096)
def _kinds_not_taken(missing: int, taken: int) -> Fill:
    return refused("construction-not-taken", f"{kinds_text(missing)}; it takes {kinds_text(taken)}")
