"""How many calls a caller may make in a time."""

from __future__ import annotations

import importlib.util
import logging
import math
import time
from types import SimpleNamespace
from typing import TYPE_CHECKING

from flask import Request
from werkzeug.exceptions import TooManyRequests

from splicewright.api.settings import Settings
from splicewright.faults import Fault, Faults

if TYPE_CHECKING:
    from limits.strategies import RateLimiter

    from splicewright.api.request_logging import Call

#: Whether the service is well may be asked as often as one likes.
UNCOUNTED = frozenset({"/health/live", "/health/ready"})
_PREFIX = "splicewright"
_log = logging.getLogger(__name__)


def asks_for_extra(settings: Settings) -> str | None:
    """Say what to install where settings ask for a library of the extra `web` that is not there."""
    wanted = {"limits": settings.rate, "flask_cors": settings.origins}
    named = {"limits": "rate", "flask_cors": "origins"}
    missing = [named[one] for one, asked in wanted.items() if asked and importlib.util.find_spec(one) is None]
    if not missing:
        return None
    return f"{' and '.join(missing)}: asks for the extra `web`; install it: pip install 'splicewright[web]'"


def check_rate(settings: Settings) -> None:
    """Raise `Faults` where the rate is none."""
    if not settings.rate:
        return
    from limits import parse_many  # noqa: PLC0415 - the extra `web`

    try:
        good = all(limit.amount > 0 for limit in parse_many(settings.rate))  # nobody could call: not what was meant
    except ValueError:
        good = False
    if not good:
        says = f"{settings.rate!r} is no rate; write `600/minute` or `20/second;5000/hour`"
        raise Faults([Fault("", 0, "rate", says)])


class TooMany(TooManyRequests):
    """A call beyond the rate of its caller."""

    def __init__(self, limit: object, seconds: int) -> None:
        super().__init__(f"more calls than {limit} were made; wait {seconds} s", retry_after=seconds)


class Rate:
    """Counts the calls of each caller, right, wrong or without a route. Safe to share between threads."""

    def __init__(self, settings: Settings) -> None:
        """Count from nothing. Raises `Faults` for a rate that is none, or a storage that is none."""
        from limits import parse_many, storage, strategies  # noqa: PLC0415 - the extra `web`

        check_rate(settings)
        self._limits = parse_many(settings.rate or "")
        try:
            kept = storage.storage_from_string(settings.rate_storage)
        except Exception as error:
            raise Faults([Fault("", 0, "rate_storage", f"can't be used: {error}")]) from error
        in_memory = settings.rate_storage == "memory://"
        kind = strategies.MovingWindowRateLimiter if in_memory else strategies.FixedWindowRateLimiter
        self._strategy: RateLimiter = kind(kept)
        self._now = time.monotonic if in_memory else time.time  # what machines count together goes by the clock
        if in_memory:
            # The library goes by the clock here too: set back by a day, it would keep callers out for a day.
            setattr(storage.memory, "time", SimpleNamespace(time=time.monotonic))  # noqa: B010 - no part of its types

    def count(self, request: Request, call: Call) -> None:
        """Count a call. Raises 429 where there were too many. A store that is away lets calls through."""
        # A browser asks before a call whether it may make it: that is the same call.
        asked_before = request.method == "OPTIONS" and "HTTP_ACCESS_CONTROL_REQUEST_METHOD" in request.environ
        if asked_before or call.path in UNCOUNTED:
            return
        who = f"key {call.key.name}" if call.key is not None else f"address {request.remote_addr}"
        try:
            breached = [limit for limit in self._limits if not self._strategy.hit(limit, _PREFIX, who)]
            resets = [self._strategy.get_window_stats(limit, _PREFIX, who).reset_time for limit in breached]
        except Exception:  # noqa: BLE001 - whatever the store's library raises
            _log.exception("calls can't be counted, and are let through")
            return
        if breached:
            raise TooMany(breached[0], max(1, math.ceil(max(resets) - self._now())))
