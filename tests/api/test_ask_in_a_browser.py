"""The page to ask on in a real browser, under its policy. `SPLICEWRIGHT_BROWSER_TESTS=1` runs these."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

import jsonpatch
import orjson
import pytest
from click.testing import CliRunner
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys as Press
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select
from selenium.webdriver.support.wait import WebDriverWait

from splicewright import shipped
from splicewright.api.keys import Keys, new_key
from splicewright.cli.main import main
from splicewright.json_pointer import pointer_words
from splicewright.reports import words
from tests.api.asking import BARRED, boathouse
from tests.api.browser import PATIENCE_S, browser, is_wanted, serving
from tests.clients.making import install_node_packages

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not is_wanted(), reason="SPLICEWRIGHT_BROWSER_TESTS=1 asks for them"),
    # What the browser's driver leaves open at its end is not ours.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
WIDTHS = (390, 1280)
LINE = "2 of 12 AWG solid, 1 of 18 AWG fine-stranded; wet; 120 V"
HOSTILE = "<img src=x onerror=alert(1)>"
#: A folder for pictures of the page, if they are wanted.
PICTURES = "BROWSER_PICTURES"


class AskPage:
    """The page to ask on in a browser."""

    def __init__(self, driver: webdriver.Chrome, address: str) -> None:
        self.driver, self.address = driver, address

    def opened(self, width: int = 1280, *, scheme: str = "light", asked: tuple[str, Any] | None = None) -> AskPage:
        """Open it anew at a width in a color scheme, perhaps by the link to a question."""
        size = {"width": width, "height": 1000, "deviceScaleFactor": 1, "mobile": False}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
        colors = [{"name": "prefers-color-scheme", "value": scheme}]
        self.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": colors})
        self.driver.get("about:blank")
        self.driver.get_log("browser")
        link = "" if asked is None else f"#{asked[0]}={quote(orjson.dumps(asked[1]).decode())}"
        self.driver.get(f"{self.address}/{link}")
        return self

    def until(self, script: str) -> Any:
        """Wait until a script gives something that is so."""
        return WebDriverWait(self.driver, PATIENCE_S).until(lambda _: self.driver.execute_script(f"return {script}"))

    def ready(self) -> AskPage:
        self.until("document.querySelector('#parts input')")
        return self

    def press(self, *keys: str) -> None:
        self.driver.switch_to.active_element.send_keys(*keys)

    def tab_to(self, label: str) -> None:
        """Press Tab until what has a label is reached."""
        script = "document.activeElement.labels?.[0]?.textContent ?? document.activeElement.textContent"
        for _ in range(60):
            self.press(Press.TAB)
            if str(self.driver.execute_script(f"return {script}")).strip().startswith(label):
                return
        pytest.fail(f"Tab does not lead to {label}")

    def field(self, label: str) -> WebElement:
        found = (
            f"[...document.querySelectorAll('#parts label')].find((one) => one.firstChild.textContent === '{label}')"
        )
        element: WebElement = self.until(f"{found}?.control")
        return element

    def headline(self) -> str:
        return str(self.until("document.querySelector('#answer .headline')?.textContent"))

    def answer(self) -> str:
        self.until("document.querySelector('#answer figure')")
        return self.driver.find_element(By.ID, "answer").text

    def stays_in_its_width(self) -> bool:
        return bool(
            self.driver.execute_script("const at = document.documentElement; return at.scrollWidth <= at.clientWidth")
        )

    def said(self) -> list[str]:
        return [one["message"] for one in self.driver.get_log("browser")]

    def picture(self, name: str) -> None:
        if PICTURES in os.environ:
            self.driver.save_screenshot(str(Path(os.environ[PICTURES]) / f"{name}.png"))


@pytest.fixture(scope="module")
def driver(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    with browser(tmp_path_factory.mktemp("ask") / "profile") as found:
        yield found


@pytest.fixture(scope="module")
def page(driver: webdriver.Chrome) -> Iterator[AskPage]:
    with serving() as address:
        yield AskPage(driver, address)


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("axe")
    install_node_packages(folder, Path(__file__).parent / "node")
    return (folder / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")


@pytest.mark.parametrize("width", WIDTHS)
def test_form_is_filled_in_and_asked_by_keyboard_alone(page: AskPage, width: int) -> None:
    page.opened(width).ready()
    page.tab_to("Size")
    page.press("12 AWG")
    page.tab_to("Count")
    page.press("3")
    page.tab_to("Exposure")
    page.press("damp")
    page.tab_to("Ask")
    page.press(Press.ENTER)
    assert page.headline().startswith("Use ")
    assert "circuit.overcurrent_amps" in page.answer()
    assert page.driver.switch_to.active_element.text == "The answer"
    assert page.stays_in_its_width()
    assert page.said() == []
    page.picture(f"asked-{width}")


@pytest.mark.parametrize("width", WIDTHS)
def test_line_fills_in_the_form_and_the_link_opened_anew_gives_the_same_answer(page: AskPage, width: int) -> None:
    page.opened(width, scheme="dark").ready()
    page.tab_to("In one line")
    page.press(LINE, Press.ENTER)
    page.until("document.activeElement.id === 'ask'")
    assert page.field("Size").get_attribute("value") == "12 AWG"
    assert Select(page.field("Exposure")).first_selected_option.text == "wet"
    page.press(Press.ENTER)
    answer, link = page.answer(), page.driver.current_url
    page.driver.get("about:blank")
    page.driver.get(link)
    assert page.answer() == answer
    assert Select(page.field("Exposure")).first_selected_option.text == "wet"
    assert page.stays_in_its_width()
    page.picture(f"line-{width}")


def test_what_a_line_says_in_other_words_is_filled_in_and_told(page: AskPage) -> None:
    page.opened().ready()
    page.tab_to("In one line")
    page.press("2 of 12 AWG; buried; depth 24 in; outside; ambient 100 F; 20 A breaker", Press.ENTER)
    page.until("document.activeElement.id === 'ask'")
    filled = {label: page.field(label).get_attribute("value") for label in ("Depth", "Ambient", "Overcurrent amps")}
    assert filled == {"Depth": "24", "Ambient": "100", "Overcurrent amps": "20"}
    assert Select(page.field("Site")).first_selected_option.text == "outdoors"
    told = page.until("document.querySelector('#status').textContent")
    assert "24 in as 24 in" not in told
    assert "it read outside as outdoors" in told
    assert "Sent as it came" not in page.driver.find_element(By.ID, "parts").text


def test_what_a_line_does_not_say_rightly_is_told_with_the_nearest_word(page: AskPage) -> None:
    page.opened().ready()
    page.tab_to("In one line")
    page.press("2 of 12 AWG; wett", Press.ENTER)
    told = page.until("document.querySelector('#line-problems').textContent")
    assert told == "column 14: \"wett\" is not known; did you mean 'wet'?"
    assert page.driver.switch_to.active_element.get_attribute("id") == "line"


def test_error_stands_beside_its_field(page: AskPage) -> None:
    page.opened().ready()
    page.tab_to("Size")
    page.press("12 AWGG", Press.ENTER)
    assert page.headline() == "There is no answer."
    size = page.field("Size")
    assert page.driver.switch_to.active_element == size
    assert size.get_attribute("aria-invalid") == "true"
    beside = page.driver.find_element(By.ID, (size.get_attribute("aria-describedby") or "").split()[-1])
    assert beside.text == "'12 AWGG' is not a size; write it like '12 AWG', '250 kcmil' or '2.5 mm2'"


def test_part_is_asked_for_where_its_conditions_hold(page: AskPage) -> None:
    page.opened().ready()
    page.driver.execute_script("document.querySelectorAll('#parts details').forEach((one) => { one.open = true; })")
    assert not page.field("Depth").is_displayed()
    Select(page.field("Exposure")).select_by_value("buried")
    assert page.field("Depth").is_displayed()


def test_what_would_do_is_asked_at_once(page: AskPage) -> None:
    page.opened(asked=("choices", BARRED))
    assert page.headline().startswith("Barred")
    page.driver.find_element(By.XPATH, "//button[text()='Ask it so']").click()
    page.until("document.querySelector('.headline').textContent.startsWith('Use ')")
    page.driver.back()
    page.until("document.querySelector('.headline').textContent.startsWith('Barred')")


def test_what_was_not_judged_and_can_hurt_stands_first_and_the_rest_is_folded(page: AskPage) -> None:
    question = {"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}}
    answer = page.opened(asked=("choices", question)).answer()
    assert "Not judged: overcurrent, continuous-load\n" in answer
    assert "state circuit.overcurrent_amps, circuit.continuous\n" in answer
    rest = page.driver.find_element(By.XPATH, "//details[starts-with(summary, 'Also not judged')]")
    assert rest.get_attribute("open") is None
    assert rest.find_element(By.TAG_NAME, "summary").text == "Also not judged: 3"
    assert "place.room" not in answer
    rest.find_element(By.TAG_NAME, "summary").click()
    assert "box-room: Whether the enclosure has room for all that is in it. State place.room" in rest.text


def test_circuit_that_was_assumed_is_told_with_its_conductor(page: AskPage) -> None:
    page.opened(asked=("choices", {"joint": {"conductors": [{"size": "12 AWG", "circuit": "B"}, {"size": "12 AWG"}]}}))
    assert page.headline()
    assert "circuit A (conductor 2)" in page.driver.find_element(By.ID, "answer").text


def test_why_of_one_connector_is_told_on_demand(page: AskPage) -> None:
    page.opened(asked=("choices", {"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}}))
    page.headline()
    page.driver.find_element(By.XPATH, "//summary[contains(., 'connectors refused')]").click()
    asking = page.until("document.querySelector('#answer details[open] li button')")
    asking.click()
    told = page.until("document.querySelector('#answer details[open] [aria-live] p')?.textContent")
    assert told.endswith("refused.")


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize(
    ("call", "example", "headline"),
    [("checks", "check-unsound", "Unsound: it may not stay"), ("boxes", "box", "Fits: 22.5 in3")],
)
def test_checks_and_boxes_are_asked_too(page: AskPage, width: int, call: str, example: str, headline: str) -> None:
    page.opened(width, asked=(call, boathouse(example)))
    assert page.headline().startswith(headline)
    assert page.driver.find_element(By.CSS_SELECTOR, f"input[value={call}]").is_selected()
    assert page.stays_in_its_width()
    assert page.said() == []
    page.picture(f"{call}-{width}")


def test_what_to_mind_of_a_box_and_of_its_joints_stands_together(page: AskPage) -> None:
    page.opened(asked=("boxes", boathouse("box")))
    page.headline()
    minded = page.driver.find_elements(By.XPATH, "//div[@class='told'][dt='Mind']")
    assert len(minded) == 1
    assert "told by volume alone" in minded[0].text
    assert "A listed connector excuses no leaking box" in minded[0].text


@pytest.mark.parametrize("call", ["choices", "checks", "boxes"])
def test_form_sends_what_it_was_given(page: AskPage, call: str) -> None:
    question = boathouse({"choices": "luminaire", "checks": "check", "boxes": "box"}[call])
    page.opened(asked=(call, question))
    page.headline()
    summary = "//summary[text()='The question as JSON, and a link to it']"
    page.driver.find_element(By.XPATH, summary).click()
    assert orjson.loads(page.driver.find_element(By.CSS_SELECTOR, "#answer pre").text) == question


def test_what_the_form_does_not_know_is_kept_and_shown_as_text(page: AskPage) -> None:
    question = {
        "joint": {"conductors": [{"size": "12 AWG", HOSTILE: HOSTILE}]},
        "id": HOSTILE,
        "place": {"reach": HOSTILE},
    }
    page.opened(asked=("choices", question))
    assert page.headline() == "There is no answer."
    assert HOSTILE in page.driver.find_element(By.ID, "parts").text
    assert page.driver.find_elements(By.TAG_NAME, "img") == []  # nothing is drawn where there is no answer
    for _ in range(2):
        page.driver.find_element(By.XPATH, "//button[text()='Leave out']").click()
    page.driver.find_element(By.ID, "ask").click()
    page.until("document.querySelector('.headline').textContent.startsWith('Use ')")


def test_answer_to_the_question_before_says_so(page: AskPage) -> None:
    page.opened(asked=("choices", {"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}}))
    page.headline()
    changed = page.driver.find_element(By.ID, "changed")
    assert changed.text == ""
    page.driver.find_element(By.XPATH, "//button[text()='Add to conductors']").click()
    assert changed.text.startswith("The form was changed since")
    page.driver.find_element(By.XPATH, "//button[text()='Take out conductors 2']").click()
    assert changed.text == ""
    page.driver.find_element(By.CSS_SELECTOR, "input[value=boxes]").click()
    page.until("!document.querySelector('.headline')")


@pytest.mark.parametrize("example", ["luminaire", "hoist", "path-light", "old-aluminum"])
def test_headline_is_that_of_the_command_line(page: AskPage, example: str) -> None:
    file = shipped.folder("openapi") / "examples" / f"boathouse-{example}.yaml"
    printed = " ".join(CliRunner().invoke(main, ["choose", str(file)]).output.split())
    page.opened(asked=("choices", boathouse(example)))
    assert printed.startswith(page.headline())


def test_figures_and_sources_are_worded_as_on_the_command_line(page: AskPage) -> None:
    lengths = [{"value": at / 2, "unit": "mm"} for at in range(1, 120)]
    lengths += [{"value": at / 16, "unit": "in"} for at in range(1, 50)]
    lengths += [{"value": "7/16", "unit": "in"}, {"value": 1.2, "unit": "cm"}, {"value": 0.3, "unit": "in"}]
    fills = [
        {"basis": "listed"},
        {"basis": "listed", "spare_ports": 2},
        {"basis": "bracketed", "between": ["a", "b"]},
        {"basis": "bracketed"},
    ]
    sources = [
        {"kind": "common-practice"},
        {"kind": "published", "document": "A", "edition": "2023", "section": "1", "obtained": "memory"},
    ]
    pointers = ["/joint/conductors/1/size", "/circuit/amps"]
    script = """const [told, done] = arguments;
        import('/page/words.js').then((words) => done(
            Object.entries(told).map(([name, given]) => [name, given.map((one) => words[name](one))])))"""
    given = {"bothUnits": lengths, "fillText": fills, "sourceText": sources, "pointerWords": pointers}
    found = page.opened().ready().driver.execute_async_script(script, given)
    worded: dict[str, Callable[[Any], str]] = {
        "bothUnits": words.both_units,
        "fillText": words.fill_text,
        "sourceText": words.source_text,
        "pointerWords": pointer_words,
    }
    assert dict(found) == {name: [how(one) for one in given[name]] for name, how in worded.items()}


@pytest.mark.parametrize(
    ("call", "label", "name"), [("checks", "Connector", "lever-3-port"), ("choices", "Catalogue", "shop")]
)
def test_names_of_catalogues_and_their_connectors_are_offered(page: AskPage, call: str, label: str, name: str) -> None:
    page.opened().ready()
    page.driver.find_element(By.CSS_SELECTOR, f"input[value={call}]").click()
    page.driver.execute_script("arguments[0].closest('details')?.setAttribute('open', '')", page.field(label))
    page.field(label).click()
    page.until(f"[...document.activeElement.list.options].some((one) => one.value === '{name}')")


def test_patches_are_applied_as_their_standard_says(page: AskPage) -> None:
    question = {"joint": {"conductors": [{"size": "12 AWG"}, {"size": "10 AWG"}]}, "place": {"a/b": 1}}
    patch = [
        {"op": "replace", "path": "/joint/conductors/0/size", "value": "14 AWG"},
        {"op": "add", "path": "/joint/conductors/1", "value": {"size": "8 AWG"}},
        {"op": "add", "path": "/joint/conductors/-", "value": {"size": "6 AWG"}},
        {"op": "remove", "path": "/joint/conductors/2"},
        {"op": "remove", "path": "/place/a~1b"},
        {"op": "add", "path": "/place/reach", "value": "accessible"},
    ]
    script = "const [one, by, done] = arguments; import('/page/patch.js').then(({changed}) => done(changed(one, by)))"
    found = page.opened().ready().driver.execute_async_script(script, question, patch)
    assert found == jsonpatch.apply_patch(question, patch)


def test_link_that_holds_no_question_is_told(page: AskPage) -> None:
    page.opened(asked=("choices", 5)).ready()
    assert page.until("document.querySelector('#status').textContent") == "The link holds no question that can be read."


@pytest.mark.parametrize("broken", ["#choices=%7B%22joint%22", "#choices=5", "#choices=%", "#choice={}", "#boxes="])
def test_broken_link_leaves_no_other_answer_standing(page: AskPage, broken: str) -> None:
    page.opened(asked=("choices", {"joint": BARRED["joint"]})).answer()
    page.driver.execute_script("location.hash = arguments[0]", broken)
    page.until("!document.querySelector('#answer figure')")
    assert page.headline() == "There is no answer: the link holds no question that can be read."
    assert "no question" in page.until("document.querySelector('#status').textContent")
    page.driver.back()
    assert page.answer()


@pytest.mark.parametrize("name", ["toString", "constructor", "nothing"])
def test_link_to_no_call_opens_the_form(page: AskPage, name: str) -> None:
    page.opened(asked=(name, {"joint": BARRED["joint"]})).ready()
    assert page.said() == []


def test_key_is_asked_for_sent_and_kept_nowhere(driver: webdriver.Chrome, tmp_path: Path) -> None:
    token, digest = new_key()
    path = tmp_path / "keys.yaml"
    path.write_text(f"keys:\n- {{name: a, sha256: {digest}, scopes: [ask]}}\n")
    with serving(Keys(path)) as address:
        page = AskPage(driver, address).opened(
            asked=("choices", {"joint": {"conductors": [{"size": "12 AWG", "count": 3}]}})
        )
        page.until("document.activeElement.id === 'key'")
        page.press(token, Press.ENTER)
        assert page.headline().startswith("Use ")
        kept = page.driver.execute_script("return localStorage.length + sessionStorage.length + document.cookie.length")
        assert kept == 0
        assert token not in page.driver.current_url


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1280, "light")])
@pytest.mark.parametrize("call", ["choices", "checks", "boxes"])
def test_no_grave_fault_keeps_anyone_out(page: AskPage, axe: str, call: str, width: int, scheme: str) -> None:
    question = boathouse({"choices": "luminaire", "checks": "check-unsound", "boxes": "box"}[call])
    page.opened(width, scheme=scheme, asked=(call, question))
    page.headline()
    page.driver.execute_script("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    page.driver.execute_script(axe)
    found = page.driver.execute_async_script("axe.run().then(arguments[0])")
    grave = [one for one in found["violations"] if one["impact"] in ("serious", "critical")]
    assert [(one["id"], [node["html"] for node in one["nodes"]][:3]) for one in grave] == []
