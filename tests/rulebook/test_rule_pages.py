"""Reference pages: every rule of every edition is written, linked, escaped, with nothing loaded or run."""

from __future__ import annotations

import base64
import hashlib
import re
from html.parser import HTMLParser

import pytest

from splicewright.rulebook import Rulebook, load_rulebook
from splicewright.rulebook.amendment_files import read_amendment_text
from splicewright.rulebook.amendment_stack import lay
from splicewright.rulebook.rule_pages import POLICY, index_page, pages_of, ruleset_page

_FIRM = """\
ruleset: our-firm
about: "<script>alert('about')</script> & more"
amends: every-code
by: {authority: "A <img src=x onerror=alert(1)>", document: Ordinance 12, section: '4', obtained: page}
withdraws: [{rule: service/clear-housing-shows-the-ends, says: "<b>Why</b>!"}]
rules:
  - id: no-push-ins-in-kitchens
    when: [{joint: {tags: {includes: kitchen}}}]
    bar: {method: [push-in, lever]}
    remedies: [{place: {enclosure: box}, do: "</code><script>alert(2)</script>!"}]
    says: "\\"Quoted\\" <script>alert('says')</script>"
    note: "a < b && c > d"
    source: {document: "A <i>", section: "1", obtained: memory}
    examples: {fires: [{joint: {tags: [kitchen]}}], silent: [{}]}
"""


def address(name: str | None) -> str:
    return f"{name or 'index'}.html"


class Page(HTMLParser):
    """What a page holds."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []
        self.ids: set[str] = set()
        self.words = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        found = dict(attrs)
        assert not {key for key in found if key.startswith("on") or key in ("style", "src")}
        if tag == "a":
            self.links.append(found["href"] or "")
        if "id" in found:
            self.ids.add(found["id"] or "")

    def handle_data(self, data: str) -> None:
        self.words += data


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return load_rulebook("nfpa70-2023")


def test_every_rule_has_its_place_and_every_link_leads_somewhere(book: Rulebook) -> None:
    pages = {address(name): Page(ruleset_page(book, name, address)) for name in pages_of(book)}
    assert sorted(book.about) == pages_of(book)
    for rule in book.rules:
        ruleset, _, name = rule.id.partition("/")
        page = pages[address(ruleset)]
        assert name in page.ids
        assert rule.says in page.words
        assert all(str(one) not in page.words for one in ("None", "mappingproxy"))
    pages |= {address(None): Page(index_page(book, address, {}))}
    for name, page in pages.items():
        for link in page.links:
            file, _, part = link.partition("#")
            assert part == "" or part in pages[file or name].ids, link


def test_rules_are_told_in_words(book: Rulebook) -> None:
    words = " ".join(Page(ruleset_page(book, "environment", address)).words.split())
    assert "Fires whenthe place: exposure is buried or submerged Doesconcludes: place is wet Source" in words
    assert "Concluded by environment/" in words
    everything = " ".join(Page(ruleset_page(book, name, address)).words for name in pages_of(book))
    for told in (
        "another conductor: ", "bars the joint", "bars the method ", "hands the joint over", "refused as too-few",
        "prefers strongly a connector whose", "asks the step “", "a proposed splice is unsound where", "has to say: ",
        "be 1 mm off (of push-in", "make it as several joints", "says what to mind", "of the circuit",
    ):  # fmt: skip
        assert told in everything, told


def test_words_of_others_are_text_and_nothing_else(book: Rulebook) -> None:
    amended = lay(book, [read_amendment_text(_FIRM.encode(), "our-firm.yaml")])
    page, service = ruleset_page(amended, "our-firm", address), ruleset_page(amended, "service", address)
    for one in (page, service, index_page(amended, address, {"nfpa70-2020": "/rules?code=nfpa70-2020"})):
        assert not {"script", "img", "b", "i", "link"} & set(Page(one).tags)
    told = Page(page).words
    for words in ("<script>alert('says')</script>", "a < b && c > d", "</code><script>alert(2)</script>", "onerror="):
        assert words in told
    assert "was withdrawn by our-firm: <b>Why</b>!" in Page(service).words
    assert "push-in or lever" in told
    assert "cited from memory" in told


def test_a_replaced_rule_is_told_on_both_pages(book: Rulebook) -> None:
    text = _FIRM.replace('withdraws: [{rule: service/clear-housing-shows-the-ends, says: "<b>Why</b>!"}]\n', "")
    text = text.replace("    examples:", "    replaces: service/clear-housing-shows-the-ends\n    examples:")
    amended = lay(book, [read_amendment_text(text.encode(), "our-firm.yaml")])
    assert "was replaced by our-firm" in Page(ruleset_page(amended, "service", address)).words
    assert "service/clear-housing-shows-the-ends" in Page(ruleset_page(amended, "our-firm", address)).words


def test_the_policy_allows_the_style_of_the_page_and_no_more(book: Rulebook) -> None:
    style = re.findall(r"<style>(.*)</style>", index_page(book, address, {}))[0]
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    parts = dict(one.strip().split(" ", 1) for one in POLICY.split(";"))
    assert parts == {
        "default-src": "'none'", "style-src": f"'sha256-{digest}'", "base-uri": "'none'", "form-action": "'none'",
    }  # fmt: skip
