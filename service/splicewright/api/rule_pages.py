"""/rules: reference pages of the rules in use, made when they are first asked for."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response
from werkzeug.exceptions import NotFound

from splicewright.api.operations import keep, read_query
from splicewright.api.rules import CodeQuery, book_asked
from splicewright.memo import Memo
from splicewright.question.vocabulary import CODES
from splicewright.refusals import not_allowed
from splicewright.rulebook import Rulebook
from splicewright.rulebook.rule_pages import POLICY, Address, index_page, pages_of, ruleset_page
from splicewright.strict_schema import made_once

blueprint = Blueprint("rule_pages", __name__)
#: By what the pages are made of; they are the same until rules are.
_MADE: Memo[tuple[Any, ...], bytes] = Memo(100)


@blueprint.get("/rules")
def index() -> Response:
    """Give the page that leads to every ruleset."""
    return _page(None)


@blueprint.get("/rules/<ruleset>")
def ruleset(ruleset: str) -> Response:
    """Give the page of one ruleset."""
    return _page(ruleset)


def _page(name: str | None) -> Response:
    asked = read_query(made_once(CodeQuery))
    book = book_asked(asked.get("code"), asked.get("amendments"))
    if name is not None and name not in (known := pages_of(book)):
        raise NotFound(not_allowed(name, known, "unknown-name").within("no ruleset: "))
    key = (book.digest, book.code, book.amendments, tuple(sorted(book.about.items())), name)
    if (made := _MADE.get(key)) is None:
        made = _MADE.keep(key, _made(book, name).encode())
    response = Response(made, content_type="text/html; charset=utf-8")
    response.headers["Content-Security-Policy"] = f"{POLICY}; frame-ancestors 'none'"
    return keep(response)


def _made(book: Rulebook, name: str | None) -> str:
    if name is not None:
        return ruleset_page(book, name, _addresses(book.code, book.amendments))
    others = {code: _addresses(code, ())(None) for code in CODES if code != book.code or book.amendments}
    return index_page(book, _addresses(book.code, book.amendments), others)


def _addresses(code: str, amendments: tuple[str, ...]) -> Address:
    laid = {"amendments": ",".join(amendments)} if amendments else {}
    asked = urlencode({"code": code, **laid}, safe=",")
    return lambda name: f"/rules{f'/{name}' if name else ''}?{asked}"
