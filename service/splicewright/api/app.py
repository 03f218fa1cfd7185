"""The HTTP application."""

from __future__ import annotations

from flask import Flask

from splicewright.api import health, problems
from splicewright.api.resources import BLUEPRINTS
from splicewright.choice import Chooser, shipped_chooser

MAX_BODY = 1_000_000
MAX_BATCH = 100_000_000


def create_app(chooser: Chooser | None = None) -> Flask:
    """Make the application, answering from `chooser`, by default from the shipped rulesets."""
    app = Flask("splicewright", static_folder=None)
    app.config["MAX_BODY"] = MAX_BODY
    app.config["MAX_BATCH"] = MAX_BATCH
    app.extensions["chooser"] = chooser or shipped_chooser()
    problems.register(app)
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
    app.register_blueprint(health.blueprint)
    return app
