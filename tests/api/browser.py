"""A headless browser on the API page, over a server of its own."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import orjson
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.wait import WebDriverWait
from werkzeug.serving import make_server

from splicewright.api.app import create_app
from splicewright.api.keys import Keys
from tests.chosen import CHOSEN

#: Set to 1 where the page is to be looked at: then a missing browser is a failure.
WANTED = "SPLICEWRIGHT_BROWSER_TESTS"
PATIENCE_S = 20
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


def is_wanted() -> bool:
    return WANTED in CHOSEN


@contextmanager
def serving(asked: Keys | None = None) -> Iterator[str]:
    server = make_server("127.0.0.1", 0, create_app(asked=asked), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


class Page:
    """The API page in a browser."""

    def __init__(self, driver: webdriver.Chrome, address: str) -> None:
        self.driver, self.address = driver, address
        driver.get(f"{address}/docs")
        self.one(".opblock")

    def one(self, selector: str, inside: WebElement | None = None) -> WebElement:
        """Wait for an element and give it."""
        where: Any = inside or self.driver
        found: WebElement = WebDriverWait(self.driver, PATIENCE_S).until(
            lambda _: next(iter(where.find_elements(By.CSS_SELECTOR, selector)), None)
        )
        return found

    def press(self, selector: str, inside: WebElement | None = None) -> None:
        """Press a button."""
        self.driver.execute_script("arguments[0].click()", self.one(selector, inside))

    def operation(self, name: str) -> WebElement:
        """Open an operation and give it."""
        found = self.one(f".opblock[id$='-{name}']")
        self.press(".opblock-summary-control", found)
        return found

    def try_out(self, name: str) -> tuple[str, str]:
        """Send an operation as the page has it filled in; give the status and the body that it shows."""
        found = self.operation(name)
        self.press(".execute", found)
        live = self.one(".live-responses-table .response", found)
        return self.one(".response-col_status", live).text.split()[0], self.one("pre", live).text

    def picture(self, path: str) -> None:
        """Take a picture of what the page shows of the first call that was opened, or of its beginning."""
        for element in self.driver.find_elements(By.CSS_SELECTOR, ".opblock.is-open")[:1]:
            self.driver.execute_script("arguments[0].scrollIntoView()", element)
        self.driver.save_screenshot(path)

    def said(self) -> list[str]:
        """Give what the browser complained of."""
        return [one["message"] for one in self.driver.get_log("browser")]

    def asked_of(self) -> set[str]:
        """Give every address that the page asked for anything; what the browser shows before it is not the page's."""
        found = set()
        for entry in self.driver.get_log("performance"):
            message = orjson.loads(entry["message"])["message"]
            sent = message["method"] == "Network.requestWillBeSent"
            if sent and message["params"]["documentURL"].startswith(self.address):
                found.add(message["params"]["request"]["url"])
        return found


@contextmanager
def browser(profile: Path) -> Iterator[webdriver.Chrome]:
    paths = {one: shutil.which(one) for one in ("chromium", "chromedriver")}
    missing = [one for one, path in paths.items() if path is None]
    assert not missing, f"{WANTED}=1 asks for a browser, and there is no {' and no '.join(missing)}"
    options = webdriver.ChromeOptions()
    options.binary_location = str(paths["chromium"])
    for flag in (*_FLAGS, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    found = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=paths["chromedriver"]))
    try:
        yield found
    finally:
        found.quit()
