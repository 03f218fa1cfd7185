"""/problems: a page about each kind of problem, to which the `type` of a problem document leads."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from flask import Blueprint, Response
from werkzeug.exceptions import NotFound

from splicewright.api.operations import keep
from splicewright.api.problems import PAGES
from splicewright.error_codes import CALL_CODES, PART_CODES, TEXT_CODES
from splicewright.refusals import not_allowed

if TYPE_CHECKING:
    from collections.abc import Mapping

blueprint = Blueprint("problem_pages", __name__)
_LISTED = {"not-valid": PART_CODES, "not-json": TEXT_CODES}  # what an error in it may have as its `code`


@blueprint.get(PAGES.rstrip("/"))
def problems() -> Response:
    """Give a page that leads to those of every kind."""
    kinds = {code: f"{status}: {about}" for status, (code, about) in CALL_CODES.items()}
    return _page("Problems", "What a call may be answered with instead of an answer.", kinds, link=True)


@blueprint.get(f"{PAGES}<name>")
def about(name: str) -> Response:
    """Give the page of one kind."""
    for status, (code, told) in CALL_CODES.items():
        if code == name:
            return _page(code, f"Status {status}: {told}.", _LISTED.get(code, {}))
    known = [code for code, _ in CALL_CODES.values()]
    raise NotFound(not_allowed(name, known, "unknown-name").within("no kind of problem: "))


def _page(title: str, says: str, listed: Mapping[str, str], *, link: bool = False) -> Response:
    rows = [
        f"<dt>{f'<a href={PAGES + code}>{code}</a>' if link else code}</dt><dd>{escape(told)}</dd>"
        for code, told in listed.items()
    ]
    codes = f"<dl>{''.join(rows)}</dl>" if rows else ""
    html = (
        f"<!DOCTYPE html><html lang=en><meta charset=utf-8><title>{title}</title><h1>{title}</h1>"
        f"<p>{escape(says)}</p>{codes}<p><a href=/docs>The API</a></p></html>"
    )
    return keep(Response(html, content_type="text/html; charset=utf-8"))
