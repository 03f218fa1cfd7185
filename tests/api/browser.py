"""A headless browser on the API page, over a server of its own."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from selenium import webdriver
from werkzeug.serving import make_server

from splicewright.api.app import create_app

#: Set where the browser must be there: then its absence is a failure.
REQUIRED = "SPLICEWRIGHT_BROWSER_REQUIRED"
_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--window-size=1280,1600",
)


def browser_is_here() -> bool:
    return all(shutil.which(one) for one in ("chromium", "chromedriver"))


def browser_may_be_missing() -> bool:
    return not os.environ.get(REQUIRED)


@contextmanager
def serving() -> Iterator[str]:
    server = make_server("127.0.0.1", 0, create_app(), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@contextmanager
def browser(profile: Path) -> Iterator[webdriver.Chrome]:
    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium") or ""
    for flag in (*_FLAGS, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    service = webdriver.ChromeService(executable_path=shutil.which("chromedriver"))
    found = webdriver.Chrome(options=options, service=service)
    try:
        yield found
    finally:
        found.quit()
