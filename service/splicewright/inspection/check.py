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

    The answer has `id` as given; `answer`, the content address, the proposal included; `verdict`: `unsound` where
    anything speaks against it, else `unproven` where anything that a rule asks is not said, else `sound`; `proposed`:
    {connector?, method, fill?}, its fill as in an option; then points, each {rule, says, from} and

    - `violations`: about?, a pointer to what it is about (none: the joint itself); compared?; connectors?, those that
      it holds for where only a method is proposed;
    - `unproven`: asks?, a pointer to what the proposal is to say (none: the joint is outside this tool);
    - `confirmed`: about, compared?, how?: what the listing says.

    `compared` is {said, wanted, within, tolerance: the rule that allows it}, without the last two where nothing is
    allowed. `unjudged`: [{about, said, says}] is what was said though no rule speaks of it. `options` are the sound
    ones beside what is proposed, ranked as in a choice, and `more` counts those beyond `limit`. `assumed`, `cautions`,
    `referrals`, `rules`, `rulesets` and `catalogue` are as in a choice. Brief leaves out `from`, `compared`,
    `connectors`, `how`, `rules` and the inner parts of options, and gives counts for `confirmed` and `assumed`.
    """
    holding = (chooser or shipped_chooser()).holding
    check = read_check(given, holding, explain=explain)
    question = check.asked.question
    standing = ProposalMatch(check, holding.match(question), holding.rules(question.code))
    points = [*standing.points(), *make_up_points(standing)]
    return write_check(check, standing, judged(points, check.proposal))
