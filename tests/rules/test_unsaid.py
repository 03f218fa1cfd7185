"""What is told to come of a listing that is silent is what the rules make of it."""

from __future__ import annotations

from typing import Any

import pytest

from splicewright.answering import Chooser
from splicewright.catalogue.listing_marks import marks
from splicewright.question.vocabulary import ROLE
from tests.catalogue.making import catalogue, combinations, listing

CHOOSER = Chooser()
SAID: dict[str, Any] = {"places": ["dry", "damp"], "volts": "600 V", "degrees": "105 degC", "insulated": True}
TAKES = [combinations({"14 AWG": "1 to 4"})]
SHELL = listing(id="shell", takes=TAKES, reusable=True, **SAID)
#: for what is to stay as it is joined, such as a grounding electrode conductor
SLEEVE = listing(id="sleeve", takes=TAKES, method="compression", irreversible=True, tool="matched", **SAID)


def options(role: str, volts: float, silent_on: str = "") -> int:
    """Count what is offered for joints of some number of conductors of a role."""
    listings = [{key: said for key, said in one.items() if key != silent_on} for one in (SHELL, SLEEVE)]
    found = 0
    for count in (2, 3):
        joint = {"conductors": [{"size": "14 AWG", "count": count, "role": role}]}
        asked = {"joint": joint, "circuit": {"volts": volts}, "catalogue": catalogue(*listings)}
        found += len(CHOOSER.choose(asked, explain="brief")["options"])
    return found


@pytest.mark.parametrize("volts", [12, 120, 277])
@pytest.mark.parametrize("role", ROLE)
@pytest.mark.parametrize("name", marks().unsaid)
def test_what_is_said_to_be_offered_for_no_joint_is_offered_for_none(name: str, role: str, volts: float) -> None:
    assert options(role, volts)
    assert not options(role, volts, silent_on=name)
