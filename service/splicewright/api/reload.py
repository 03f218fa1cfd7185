"""Takes changed rules, catalogues and keys into use while requests go on: by SIGHUP, or by POST /v1/reload."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Mapping, Sequence
from http import HTTPStatus

import orjson
from flask import Flask, Response

from splicewright.api.keys import Keys, KeysFault
from splicewright.api.problems import problem
from splicewright.choice import Chooser
from splicewright.choice.reloading import NotProven, reload_rules
from splicewright.reading import Problem

#: Takes what is on disk into use; gives what to tell of it. Raises `NotRenewed`.
Renew = Callable[[], Mapping[str, object]]
_log = logging.getLogger(__name__)


class NotRenewed(ValueError):
    """Something on disk cannot be taken into use; what was in use in its place stays. Carries every reason."""

    def __init__(self, reasons: Sequence[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("; ".join(self.reasons))


def digests_in_use(chooser: Chooser) -> dict[str, dict[str, str]]:
    """Give the digests of the rules, by code, and of the catalogues, by name."""
    return {"rulesets": chooser.holding.rules_read(), "catalogues": chooser.holding.catalogues_read()}


class Renewal:
    """Renews what one process answers from. One renewal at a time; each is whole or not at all."""

    def __init__(self, chooser: Chooser, keys: Keys | None) -> None:
        """Renew the rules and catalogues of `chooser`, and the keys."""
        self._chooser, self._keys = chooser, keys
        self._lock = threading.Lock()
        self._wanted = threading.Event()

    def now(self) -> dict[str, object]:
        """Renew now; gives the digests in use. Raises `NotRenewed`. Keys are renewed also where rules cannot be."""
        with self._lock:
            self._wanted.clear()
            reasons: list[str] = []
            try:
                if self._keys is not None:
                    self._keys.reload()
            except KeysFault as error:
                reasons += error.faults
            try:
                reload_rules(self._chooser)
            except NotProven as error:
                reasons += error.reasons
            if reasons:
                raise NotRenewed(reasons)
            return {"status": "reloaded", **digests_in_use(self._chooser)}

    def soon(self) -> None:
        """Renew in a thread of its own and tell the log. What is asked for while one waits is asked for once."""
        if not self._wanted.is_set():
            self._wanted.set()
            threading.Thread(target=self._told, daemon=True).start()

    def _told(self) -> None:
        try:
            self.now()
        except NotRenewed as error:
            _log.warning("not reloaded, what is in use stays: %s", error)
        else:
            found = digests_in_use(self._chooser)
            told = [*found["rulesets"].values(), *found["catalogues"].values()]
            _log.info("rules and catalogues reloaded: %s", " ".join(told))


def register(app: Flask, renew: Renew) -> None:
    """Let callers who may do so renew what is in use."""

    @app.post("/v1/reload")
    def _reload() -> Response:
        try:
            found = renew()
        except NotRenewed as error:
            says = "what is on disk can't all be taken into use; what is in use in its place stays"
            return problem(HTTPStatus.CONFLICT, says, [Problem("", one) for one in error.reasons])
        return Response(orjson.dumps(found), content_type="application/json")
