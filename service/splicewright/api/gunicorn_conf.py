"""Configuration of gunicorn: `gunicorn -c python:splicewright.api.gunicorn_conf`.

Settings come from the environment (`SPLICEWRIGHT_…`), the file that SPLICEWRIGHT_SETTINGS names, and the project file:
the one that SPLICEWRIGHT_PROJECT names, else the nearest from the working folder upwards. SIGHUP proves and reads
rules, catalogues, what the project says of questions, and keys anew, and the processes take them into use while they
answer; settings stay as they were. Whatever application the command line names, it is the one below: that with the keys
and the proven rules.
"""

from __future__ import annotations

import signal
from typing import Any

from flask import Flask

from splicewright.api.gunicorn_master import Master, settings_of

_master = Master()
settings = _master.settings
_told = settings_of(_master)

wsgi_app = "splicewright.api.gunicorn_conf:application()"
worker_class = "splicewright.api.gunicorn_worker.Worker"  # our own server
preload_app = False  # the rule engine is not to be shared between processes: each compiles the rules for itself
max_requests = 0  # processes do not grow, so none is replaced
timeout = 120  # without a sign of life, which the loop gives; a long request does not keep it from that
accesslog = None  # the application logs requests, with their ids
control_socket_disable = True
bind = _told["bind"]
workers = _told["workers"]
graceful_timeout = _told["graceful_timeout"]
worker_tmp_dir = _told["worker_tmp_dir"]
logconfig_dict = {
    "version": 1,
    "disable_existing_loggers": False,
    "root": {},
    "handlers": {},
    "formatters": {},
    "loggers": {
        "gunicorn.error": {"level": "INFO", "handlers": [], "propagate": True},
        "gunicorn.access": {"level": "ERROR", "handlers": [], "propagate": False},
    },
}


def application() -> Flask:
    """Make the application of one process."""
    return _master.application()


def on_starting(server: Any) -> None:
    """Prove the rules before any process is started, and put our way of reloading in the place of gunicorn's.

    Its own ends every process before the new ones can answer, and waits for the slowest client of the old ones.
    """
    _master.begin(server.cfg.address)
    server.app.app_uri = wsgi_app
    server.handle_hup = _master.soon


def post_worker_init(worker: Any) -> None:
    """Leave SIGHUP to the master, also where all processes are sent it."""
    signal.signal(signal.SIGHUP, signal.SIG_IGN)
    worker.log.info("Worker ready (pid: %s)", worker.pid)


def child_exit(_server: Any, worker: Any) -> None:
    """Take note of a process that has ended."""
    _master.forget(worker.pid)


def worker_exit(_server: Any, _worker: Any) -> None:
    """Clear up in place of a master that was killed."""
    _master.left()


def on_exit(_server: Any) -> None:
    """Clear up."""
    _master.stop()
