"""One proposed splice in, one verdict out."""

from __future__ import annotations

from typing import Any

from splicewright.answering.chooser import Chooser, shipped_chooser
from splicewright.inspection.listing import ProposalMatch
from splicewright.inspection.makeup import make_up_points
from splicewright.inspection.model import judged
from splicewright.inspection.read import read_check
from splicewright.inspection.verdict_json import write_check


def check_splice(given: Any, chooser: Chooser | None = None, *, explain: str = "full") -> dict[str, Any]:
    """Check a proposed splice (the shape of POST /v1/checks): a question with a `proposal`.

    Raises `Refused` with every problem, each with its JSON Pointer. `explain` is the default for one that does not say.

    The shape of the answer is described in `api/shapes/checks.py` and printed in `openapi/openapi.yaml`. `verdict` is
    `unsound` where anything speaks against the splice, else `unproven` where anything that a rule asks is not said,
    else `sound`.
    """
    holding = (chooser or shipped_chooser()).holding
    check = read_check(given, holding, explain=explain)
    question = check.asked.question
    standing = ProposalMatch(check, holding.match(question), holding.rules(question.code))
    points = [*standing.points(), *make_up_points(standing)]
    return write_check(check, standing, judged(points, check.proposal))
