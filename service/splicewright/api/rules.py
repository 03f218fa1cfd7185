"""GET /v1/rules and /v1/rules/{ruleset}/{rule}: the rules themselves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from flask import Blueprint
from werkzeug.exceptions import NotFound

from splicewright.api.operations import JSON, Operation, chooser, operation
from splicewright.api.shapes.rules import RuleShape, RulesShape
from splicewright.question import vocabulary as v
from splicewright.question.answer_vocabulary import EFFECT
from splicewright.question.read import DEFAULTS
from splicewright.question.schema import MOST_AMENDMENTS
from splicewright.refusals import Problem, Refused, Says
from splicewright.rulebook import Rulebook
from splicewright.rulebook.rule_json import SOURCES, not_there, rule_line, rule_whole, select
from splicewright.strict_fields import CommaTexts, Text, Word, about
from splicewright.strict_schema import Strict

blueprint = Blueprint("rules", __name__)


class CodeQuery(Strict):
    """Which code."""

    code = Word(v.CODES, metadata=about("The code edition whose rules are asked for.", default=DEFAULTS[""]["code"]))
    amendments = CommaTexts(
        Text(100), 0, MOST_AMENDMENTS, metadata=about("Amendments laid over it, in this order, with commas between.")
    )


class RulesQuery(CodeQuery):
    """Which rules."""

    ruleset = Text(60, metadata=about("Only the rules of this ruleset, such as `environment`."))
    effect = Word(EFFECT, metadata=about("Only rules that do this."))
    source = Word(SOURCES, metadata=about("Only rules with this kind of source."))


@operation(
    blueprint,
    Operation(
        "GET",
        "/v1/rules",
        id="listRules",
        tag="Looking things up",
        summary="List the rules",
        about="Every rule that holds for a code edition: what it does, what it says, and its source.",
        query=RulesQuery,
        gives={JSON: RulesShape},
        cached=True,
    ),
)
def rules(
    code: str | None = None,
    amendments: Sequence[str] | None = None,
    ruleset: str | None = None,
    effect: str | None = None,
    source: str | None = None,
) -> dict[str, Any]:
    """List rules."""
    book = book_asked(code, amendments)
    found = [rule_line(rule) for rule in select(book, ruleset=ruleset, effect=effect, source=source)]
    return {"rulesets": _used(book), "about": dict(sorted(book.about.items())), "rules": found}


@operation(
    blueprint,
    Operation(
        "GET",
        "/v1/rules/<ruleset>/<rule>",
        id="showRule",
        tag="Looking things up",
        summary="Show one rule",
        about="One rule whole: what it tests, what it does, its source, and the examples that are run as its tests.",
        paths={
            "ruleset": "The ruleset: the part of a rule's id before the slash.",
            "rule": "The part after the slash.",
        },
        query=CodeQuery,
        gives={JSON: RuleShape},
        errors=(404,),
        cached=True,
    ),
)
def rule(ruleset: str, rule: str, code: str | None = None, amendments: Sequence[str] | None = None) -> dict[str, Any]:
    """Show one rule."""
    book = book_asked(code, amendments)
    try:
        return {"rulesets": _used(book), **rule_whole(book.rule(f"{ruleset}/{rule}"))}
    except KeyError:
        says = not_there(book, f"{ruleset}/{rule}")
        # There are too many to name them all.
        raise NotFound(Says(f"no rule: {says}", says.code, says.nearest)) from None


def book_asked(code: str | None, amendments: Sequence[str] | None) -> Rulebook:
    """Give the rules of what an address names, or of what stands for it. Raises `Refused`."""
    unsaid = chooser().holding.unsaid.values
    stack = unsaid.get("amendments", ()) if amendments is None else amendments
    try:
        return chooser().holding.rules(code or unsaid["code"], tuple(stack)).rulebook
    except Refused as error:  # what is wrong stands in the address
        raise Refused(_in_address(problem) for problem in error.problems) from None


def _in_address(problem: Problem) -> Problem:
    says = problem.says if isinstance(problem.says, Says) else Says(problem.says, "not-valid")
    return Problem("", says.within("?amendments: "))


def _used(book: Rulebook) -> dict[str, Any]:
    return {"code": book.code, "amendments": list(book.amendments), "digest": book.digest}
