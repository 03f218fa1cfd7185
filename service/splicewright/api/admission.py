"""Whose body is read at all: only one sent to an address that takes one, with a key where it asks for one."""

from __future__ import annotations

from flask import Flask
from werkzeug.exceptions import HTTPException

from splicewright.api.bodies import most_of_route
from splicewright.api.keys import needed_scope
from splicewright.memo import Memo

_LONGEST = 100  # characters of a path that is remembered


class Admission:
    """Who may send how much to an application."""

    def __init__(self, app: Flask) -> None:
        """Ask its routes and its keys."""
        self._app = app
        self._rules: Memo[tuple[str, str], str] = Memo(1_000)

    def most_bytes(self, method: str, path: str, authorization: str) -> int:
        """Give how many bytes are read of the body of a call; 0 where the application refuses it by its head alone."""
        rule = self._rules.get((method, path)) or self._routed(method, path)
        if rule is None:
            return 0
        keys, scope = self._app.extensions["keys"], needed_scope(rule)
        if keys is not None and scope is not None:
            key = keys.of(authorization)
            if key is None or scope not in key.scopes:
                return 0
        return most_of_route(self._app, rule)

    def _routed(self, method: str, path: str) -> str | None:
        try:
            found, _ = self._app.url_map.bind("").match(path, method, return_rule=True)
        except HTTPException:
            return None
        rule = str(found.rule)
        return self._rules.keep((method, path), rule) if len(path) <= _LONGEST else rule
