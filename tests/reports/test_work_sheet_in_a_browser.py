"""Work sheets in a real browser: on the screen and as a PDF. `SPLICEWRIGHT_BROWSER_TESTS=1` runs these."""

from __future__ import annotations

import base64
import io
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from splicewright import shipped
from splicewright.cli.main import main
from tests.api.browser import browser, is_wanted

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not is_wanted(), reason="SPLICEWRIGHT_BROWSER_TESTS=1 asks for them"),
    # What the browser's driver leaves open at its end is not ours.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
#: Where to put pictures and PDFs of the sheets, if they are wanted.
PICTURES = "BROWSER_PICTURES"
EXAMPLES = shipped.folder("openapi") / "examples"
MM_A_POINT, MM_A_PIXEL = 25.4 / 72, 25.4 / 96
LETTER = {"paperWidth": 8.5, "paperHeight": 11, "printBackground": False}


@pytest.fixture(scope="module")
def driver(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with browser(tmp_path_factory.mktemp("profile")) as found:
        yield found


def shown(driver: Any, folder: Path, command: str, name: str, *options: str) -> Any:
    sheet = folder / "sheet.html"
    file = str(EXAMPLES / f"boathouse-{name}.yaml")
    CliRunner().invoke(main, [command, file, "--report", f"html={sheet}", *options])
    driver.get(sheet.as_uri())
    return driver


def printed(driver: Any) -> bytes:
    """Print; once more where the browser's own process for it was not there in time, as on a machine under load."""
    from selenium.common.exceptions import WebDriverException  # noqa: PLC0415 - it is there where browsers are

    for left in range(4, -1, -1):
        try:
            return base64.b64decode(driver.execute_cdp_cmd("Page.printToPDF", LETTER)["data"])
        except WebDriverException as error:
            if not left or "Printing failed" not in str(error):
                raise
            time.sleep(2)
    raise AssertionError


def kept(driver: Any, name: str, pdf: bytes) -> None:
    if folder := os.environ.get(PICTURES):
        driver.set_window_size(1000, 1600)
        driver.save_screenshot(f"{folder}/{name}.png")
        (Path(folder) / f"{name}.pdf").write_bytes(pdf)


def widths_on_paper(pdf: bytes) -> list[float]:
    """Give the width in mm of every rectangle and straight line that is drawn, whatever it is scaled by."""
    found: list[float] = []

    def visit(operator: bytes, operands: Any, matrix: Any, _text: Any) -> None:
        numbers = [float(one) for one in operands] if operator in (b"re", b"m", b"l") else []
        if operator == b"re":
            found.append(abs(numbers[2] * matrix[0]) * MM_A_POINT)
        elif operator == b"m":
            last[:] = numbers
        elif operator == b"l":
            found.append(abs((numbers[0] - last[0]) * matrix[0]) * MM_A_POINT)
            last[:] = numbers

    last = [0.0, 0.0]
    for page in PdfReader(io.BytesIO(pdf)).pages:
        page.extract_text(visitor_operand_before=visit)
    return found


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("command", "name", "strip"), [("choose", "luminaire", 11), ("box", "box", 12)])
def test_strip_bar_measures_what_it_says_on_paper(
    driver: Any, tmp_path: Path, command: str, name: str, strip: int, language: str
) -> None:
    pdf = printed(shown(driver, tmp_path, command, name, "--language", language))
    kept(driver, f"{command}-{language}", pdf)
    widths = widths_on_paper(pdf)
    for millimetres in (strip, 50):
        assert min(abs(one - millimetres) for one in widths) < 0.2


def test_strip_bar_measures_what_it_says_on_the_screen(driver: Any, tmp_path: Path) -> None:
    shown(driver, tmp_path, "choose", "luminaire")
    found = {
        name: driver.execute_script(
            "return document.querySelector(arguments[0]).getBoundingClientRect().width", f".{of} .{name}"
        )
        for of, name in (("strip-bar", "bare"), ("control-line", "control"))
    }
    assert {name: one * MM_A_PIXEL for name, one in found.items()} == pytest.approx(
        {"bare": 11, "control": 50}, abs=0.2
    )


@pytest.mark.parametrize("language", ["en", "es"])
def test_nothing_is_wider_than_a_letter_page(driver: Any, tmp_path: Path, language: str) -> None:
    pdf = printed(shown(driver, tmp_path, "job", "job", "--language", language))
    kept(driver, f"job-{language}", pdf)
    assert max(widths_on_paper(pdf)) < 8.5 * 25.4
    assert {tuple(round(float(side)) for side in page.mediabox[2:]) for page in PdfReader(io.BytesIO(pdf)).pages} == {
        (612, 792)
    }


def test_each_box_begins_a_page(driver: Any, tmp_path: Path) -> None:
    pdf = PdfReader(io.BytesIO(printed(shown(driver, tmp_path, "job", "job"))))
    pages = [page.extract_text().replace("\ufb00", "ff") for page in pdf.pages]
    for heading in ("Box above-the-slip", "Box jetty-switch", "Takeoff for the supply house"):
        (page,) = [text for text in pages if heading in text]
        assert page.index(heading) < 30


@pytest.mark.parametrize("name", ["box", "luminaire"])
def test_box_of_a_few_joints_and_one_joint_take_a_page_each(driver: Any, tmp_path: Path, name: str) -> None:
    pdf = PdfReader(io.BytesIO(printed(shown(driver, tmp_path, "box" if name == "box" else "choose", name))))
    assert len(pdf.pages) == 2  # the other is for the supply house
    assert "and energize last" in pdf.pages[0].extract_text()


@pytest.mark.parametrize("language", ["en", "es"])
def test_no_text_is_smaller_than_nine_points(driver: Any, tmp_path: Path, language: str) -> None:
    shown(driver, tmp_path, "box", "box", "--language", language)
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    sizes = driver.execute_script(
        "return [...document.body.querySelectorAll('*')].filter(one => [...one.childNodes].some(inner => "
        "inner.nodeType === 3 && inner.textContent.trim())).map(one => parseFloat(getComputedStyle(one).fontSize) * "
        "(one.closest('svg') ? 96 / 25.4 : 1))"
    )
    driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    assert len(sizes) > 60
    assert min(sizes) >= 9 * 96 / 72 - 0.01


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("command", "name"), [("job", "job"), ("box", "box"), ("choose", "luminaire")])
def test_no_drawing_is_cut_on_a_phone(driver: Any, tmp_path: Path, command: str, name: str, language: str) -> None:
    shown(driver, tmp_path, command, name, "--language", language)
    phone = {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": False}
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", phone)
    beyond = driver.execute_script(
        "return [...document.querySelectorAll('svg')].map(one => one.getBoundingClientRect().right)"
        ".filter(right => right > innerWidth).length"
    )
    driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    assert beyond == 0


def test_takeoff_is_read_on_a_phone_without_a_turn(driver: Any, tmp_path: Path) -> None:
    shown(driver, tmp_path, "job", "job", "--language", "es")
    phone = {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": False}
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", phone)
    beyond = driver.execute_script(
        "return [...document.querySelectorAll('td')]"
        ".filter(one => one.getBoundingClientRect().right > innerWidth).length"
    )
    before = driver.execute_script(
        "return getComputedStyle(document.querySelector('tbody .number'), '::before').content"
    )
    driver.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    assert (beyond, before) == (0, '"Necesarios"')


def test_sheet_under_its_policy_complains_of_nothing_and_fits_a_phone(driver: Any, tmp_path: Path) -> None:
    shown(driver, tmp_path, "job", "job")
    assert [one["message"] for one in driver.get_log("browser") if "favicon" not in one["message"]] == []
    assert driver.execute_script("return getComputedStyle(document.querySelector('.first')).borderTopWidth") != "0px"
    driver.set_window_size(500, 900)
    assert driver.execute_script("return document.documentElement.scrollWidth <= innerWidth")
    driver.set_window_size(1280, 1600)


def test_every_drawing_says_what_it_shows(driver: Any, tmp_path: Path) -> None:
    shown(driver, tmp_path, "job", "job")
    told = driver.execute_script(
        "return [...document.querySelectorAll('svg')].map(one => one.querySelector('title').textContent + ': ' + "
        "one.querySelector('desc').textContent)"
    )
    assert len(told) > 20
    assert all(re.match(r"\w.*: \w", one) for one in told)
