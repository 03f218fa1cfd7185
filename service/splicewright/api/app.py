"""The HTTP application, and what is around each of its calls."""

from __future__ import annotations

from typing import Any

from flask import Flask, Request, Response
from flask.ctx import RequestContext
from flask.globals import request_ctx
from flask.sessions import NullSession
from werkzeug.middleware.proxy_fix import ProxyFix
from werkzeug.routing import MapAdapter

from splicewright.answering import Chooser, chooser_here
from splicewright.api import headers, keys, limits, problems, reload, under_way
from splicewright.api.metrics import CONTENT_TYPE
from splicewright.api.request_logging import Call, RequestLog
from splicewright.api.resources import BLUEPRINTS
from splicewright.api.settings import Settings
from splicewright.api.under_way import UnderWay

_CALL = "splicewright.call"
_NO_SESSION = NullSession()


class Service(Flask):
    """The application: the framework's own steps, and around each call, once, all that every call has.

    Before a call: its id, whose key it has, the rate, what the key may do, a place where it is a long one. After it:
    headers, compression, the log and the figures. What belongs to one resource stands in its own module.
    """

    def __init__(self, chooser: Chooser, settings: Settings, asked: keys.Keys | None) -> None:
        """Answer from `chooser`. Raises `Faults`."""
        super().__init__("splicewright", static_folder=None)
        self.config.update(
            MAX_BODY=settings.max_body,
            MAX_JOB=settings.max_job,
            MAX_BATCH=settings.max_batch,
            MAX_DEPTH=settings.max_depth,
            MAX_WORK=settings.max_work,
            MAX_ANSWER=settings.max_answer,
        )
        self.extensions["chooser"] = chooser
        self.extensions["keys"] = asked
        self._log = RequestLog(chooser, settings)
        self._guard = None if asked is None else keys.Guard(asked, open_metrics=settings.open_metrics)
        self._rate = limits.Rate(settings) if settings.rate else None
        self._places = under_way.Places(settings)
        self._compress_from = settings.compress_from

    def wsgi_app(self, environ: dict[str, Any], start_response: Any) -> Any:
        """Answer a call, with the headers of every answer."""
        call = environ[_CALL] = self._log.begin(environ)

        def start(status: str, sent: list[tuple[str, str]], exc_info: Any = None) -> Any:
            found = headers.of_every_answer(sent, call.id, varies=self._compress_from > 0)
            return start_response(status, found, exc_info)

        return super().wsgi_app(environ, start)

    def request_context(self, environ: dict[str, Any]) -> RequestContext:
        """Begin without a session: there are none."""
        return RequestContext(self, environ, session=_NO_SESSION)

    def create_url_adapter(self, request: Request | None) -> MapAdapter | None:
        """Route by path and method alone: no route depends on the host."""
        if request is None:
            return None
        environ = request.environ
        return MapAdapter(
            self.url_map, "", "/", "", "http", request.path, request.method, environ.get("QUERY_STRING", "")
        )

    def ensure_sync(self, func: Any) -> Any:
        """Give the function itself: none here is asynchronous."""
        return func

    def preprocess_request(self) -> Any:
        """Let a call begin, or raise what it is refused with."""
        request = request_ctx.request
        environ, rule = request.environ, request.url_rule
        call: Call = environ[_CALL]
        if rule is not None:
            call.path = rule.rule
        if self._guard is not None:
            call.key = self._guard.key_of(environ)
        if self._rate is not None:
            self._rate.count(request, call)
        if self._guard is not None:
            self._guard.check(request, call.key)
        call.under_way = UnderWay(self._places, environ)
        call.under_way.begins(request)
        return super().preprocess_request() if self.before_request_funcs else None

    def finalize_request(self, rv: Any, from_error_handler: bool = False) -> Response:  # noqa: ARG002 - the framework's
        """Make what a view gave, or what was raised, into an answer, and see to its end."""
        request = request_ctx.request
        call: Call = request.environ[_CALL]
        response = self.make_response(rv)
        if self.after_request_funcs:  # of other sites' pages
            response = self.process_response(response)
        if self._compress_from and "HTTP_ACCEPT_ENCODING" in request.environ:
            headers.compress(response, request, self._compress_from)
        self._log.measure(call, response)
        response.call_on_close(lambda: self._end(call))
        return response

    def do_teardown_request(self, exc: BaseException | None = None) -> None:
        """Do nothing: nothing here waits for the end of a call but `_end`, which waits for its last byte."""

    def do_teardown_appcontext(self, exc: BaseException | None = None) -> None:
        """Do nothing, likewise."""

    def figures(self) -> Response:
        """Give the figures in their text format."""
        return Response(self._log.metrics.written(), content_type=CONTENT_TYPE)

    def _end(self, call: Call) -> None:
        if call.under_way is not None:
            call.under_way.ends()
        self._log.end(call)


def create_app(
    chooser: Chooser | None = None,
    settings: Settings | None = None,
    *,
    asked: keys.Keys | None = None,
    renew: reload.Renew | None = None,
) -> Flask:
    """Make the application, answering from `chooser`, by default from the shipped rules and the project here.

    `asked` are the keys that callers must have; None asks for none. `renew` is what POST /v1/reload does, which
    does nothing where no keys are asked for. Raises `Faults`.
    """
    settings = settings or Settings()
    app = Service(chooser or chooser_here(), settings, asked)
    problems.register(app)
    under_way.register(app)
    headers.allow_origins(app, settings)
    app.add_url_rule("/metrics", "figures", app.figures)
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
    reload.register(app, None if asked is None else renew)
    if settings.proxies:
        behind = ProxyFix(app.wsgi_app, x_for=settings.proxies, x_proto=0, x_host=0)
        app.wsgi_app = behind  # type: ignore[method-assign]
    return app
