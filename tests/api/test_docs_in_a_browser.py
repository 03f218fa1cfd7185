"""The API page in a real browser, under its policy. `SPLICEWRIGHT_BROWSER_TESTS=1` runs these; they need Chromium."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.api.browser import Page, browser, is_wanted, serving

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not is_wanted(), reason="SPLICEWRIGHT_BROWSER_TESTS=1 asks for them"),
    # What the browser's driver leaves open at its end is not ours.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
#: Where to put a picture of the page, if one is wanted.
PICTURE = "BROWSER_PICTURE"


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    with serving() as address, browser(tmp_path / "profile") as driver:
        found = Page(driver, address)
        yield found
        if PICTURE in os.environ:
            found.picture(os.environ[PICTURE])


def test_every_call_is_on_the_page(page: Page) -> None:
    shown = {element.text for element in page.driver.find_elements("css selector", ".opblock-summary-path")}
    told = {path.replace("\u200b", "") for path in shown}
    assert {"/v1/choices", "/v1/checks", "/v1/boxes", "/v1/jobs", "/v1/batches", "/v1/rules"} <= told


def test_call_tried_from_the_page_is_answered(page: Page) -> None:
    status, body = page.try_out("choose")
    assert status == "200"
    assert json.loads(body)["outcome"] == "options"


def test_page_under_its_policy_complains_of_nothing_and_asks_nobody_else(page: Page) -> None:
    page.try_out("choose")
    assert page.said() == []
    asked = {one for one in page.asked_of() if not one.startswith(("data:", "blob:"))}
    assert f"{page.address}/v1/choices" in {one.partition("?")[0] for one in asked}
    assert [one for one in asked if not one.startswith(f"{page.address}/")] == []
