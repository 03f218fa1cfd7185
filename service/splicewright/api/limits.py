"""How much a caller may ask for: calls in a time, and long calls at once."""

from __future__ import annotations

import importlib.util
import math
import threading
import time
from http import HTTPStatus
from typing import TYPE_CHECKING

from flask import Flask, Response, request
from werkzeug.exceptions import ServiceUnavailable, TooManyRequests

from splicewright.api.keys import caller
from splicewright.api.problems import problem
from splicewright.api.settings import Settings
from splicewright.faults import Fault, Faults

if TYPE_CHECKING:
    from flask_limiter import Limiter, RequestLimit

#: Calls that may take many seconds, or wait long for a client that takes its answer slowly.
LONG = frozenset({"/v1/batches", "/v1/jobs"})
#: Whether the service is well may be asked as often as one likes.
UNCOUNTED = frozenset({"/health/live", "/health/ready"})
LATER_S = 5
_NOWHERE = "nowhere"
_HELD = "splicewright.long"


def asks_for_extra(settings: Settings) -> str | None:
    """Say what to install where settings ask for a library of the extra `web` that is not there."""
    wanted = {"flask_limiter": settings.rate, "flask_cors": settings.origins}
    named = {"flask_limiter": "rate", "flask_cors": "origins"}
    missing = [named[one] for one, asked in wanted.items() if asked and importlib.util.find_spec(one) is None]
    if not missing:
        return None
    return f"{' and '.join(missing)}: asks for the extra `web`; install it: pip install 'splicewright[web]'"


def register(app: Flask, settings: Settings) -> None:
    """Keep the limits. Raises `Faults` for a rate that is none."""
    if settings.rate:
        _count_calls(app, settings)
    _hold_long_calls(app, max(1, settings.threads - 1))


def _count_calls(app: Flask, settings: Settings) -> None:
    from flask_limiter import Limiter  # noqa: PLC0415 - the extra `web`

    check_rate(settings)
    try:
        limiter = Limiter(
            _who,
            app=app,
            request_identifier=lambda: request.endpoint or _NOWHERE,  # else a call without a route is not counted
            application_limits=[settings.rate or ""],
            application_limits_exempt_when=_uncounted,
            storage_uri=settings.rate_storage,
            strategy="moving-window" if settings.rate_storage == "memory://" else "fixed-window",
            swallow_errors=True,  # a store that is away lets calls through, and the log says so
            key_prefix="splicewright",
        )
    except Exception as error:
        raise Faults([Fault("", 0, "rate_storage", f"can't be used: {error}")]) from error
    app.register_error_handler(TooManyRequests, lambda _: _too_many(limiter))


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


def _who() -> str:
    key = caller(request)
    return f"key {key.name}" if key is not None else f"address {request.remote_addr}"


def _uncounted() -> bool:
    # A browser asks before a call whether it may make it: that is the same call.
    asked_before = request.method == "OPTIONS" and "Access-Control-Request-Method" in request.headers
    return asked_before or (request.url_rule is not None and request.url_rule.rule in UNCOUNTED)


def _too_many(limiter: Limiter) -> Response:
    breached: RequestLimit | None = limiter.current_limit
    seconds = 1 if breached is None else max(1, math.ceil(breached.reset_at - time.time()))
    allowed = "" if breached is None else f" than {breached.limit}"
    response = problem(HTTPStatus.TOO_MANY_REQUESTS, f"more calls{allowed} were made; wait {seconds} s")
    response.headers["Retry-After"] = str(seconds)
    return response


def _hold_long_calls(app: Flask, most: int) -> None:
    # One thread is always left for short calls, whatever the clients of long ones do.
    places = threading.BoundedSemaphore(most)

    @app.before_request
    def _take_a_place() -> None:
        if request.url_rule is not None and request.url_rule.rule in LONG:
            if not places.acquire(blocking=False):
                raise ServiceUnavailable(
                    f"{most} long calls are under way; try again in {LATER_S} s", retry_after=LATER_S
                )
            request.environ[_HELD] = True

    @app.after_request
    def _give_it_back(response: Response) -> Response:
        if request.environ.pop(_HELD, False):
            response.call_on_close(places.release)
        return response
