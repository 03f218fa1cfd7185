"""The HTTP application."""

from __future__ import annotations

from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from splicewright.answering import Chooser, shipped_chooser
from splicewright.api import headers, keys, limits, problems, reload, request_logging
from splicewright.api.resources import BLUEPRINTS
from splicewright.api.settings import Settings


def create_app(
    chooser: Chooser | None = None,
    settings: Settings | None = None,
    *,
    asked: keys.Keys | None = None,
    renew: reload.Renew | None = None,
) -> Flask:
    """Make the application, answering from `chooser`, by default from the shipped rulesets.

    `asked` are the keys that callers must have; None asks for none. `renew` is what POST /v1/reload does, which
    does nothing where no keys are asked for. Raises `Faults`.
    """
    chooser, settings = chooser or shipped_chooser(), settings or Settings()
    app = Flask("splicewright", static_folder=None)
    app.config.update(
        MAX_BODY=settings.max_body,
        MAX_JOB=settings.max_job,
        MAX_BATCH=settings.max_batch,
        MAX_DEPTH=settings.max_depth,
    )
    app.extensions["chooser"] = chooser
    problems.register(app)
    # What is registered first sees a request first and its answer last.
    request_logging.register(app, chooser, settings)
    limits.register(app, settings)
    keys.register(app, asked, open_metrics=settings.open_metrics)
    headers.register(app, settings)
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
    reload.register(app, None if asked is None else renew)
    if settings.proxies:
        behind = ProxyFix(app.wsgi_app, x_for=settings.proxies, x_proto=0, x_host=0)
        app.wsgi_app = behind  # type: ignore[method-assign]
    return app
