"""Every rule and table that says it rests on a page cites a section that was read there."""

from __future__ import annotations

import re

import pytest

from splicewright import shipped
from splicewright.question.vocabulary import CODES
from splicewright.rulebook import load_rulebook
from splicewright.tables.loader import table
from tests.external.published import cited, published

READ = [
    (entry["source"], section)
    for entry in published("sections")["read"]
    for section in entry["sections"]
    if entry["source"]["obtained"] == "page"
]
NAMES = {section for _, section in READ}
CODES_70 = [code for code in CODES if code.startswith("nfpa70-")]
RULES = {rule.id: rule for code in CODES_70 for rule in load_rulebook(code).rules if rule.source.obtained == "page"}
TABLES = sorted(path.stem for path in (shipped.folder("rulesets") / "tables").glob("*.yaml"))


def parts(section):
    """Split a citation: `410.56(C), (D)` is of `410.56(C)` and `410.56(D)`, `marks, 10.4 d` of one."""
    found = []
    for part in section.split(", "):
        if part.startswith("("):
            found.append(re.match(r"[0-9.]+", found[-1])[0] + part)
        elif found and f"{found[-1]} {part}" in NAMES:
            found[-1] += f" {part}"
        elif found and len(part) == 1:
            found.append(found[-1][:-1] + part)
        else:
            found.append(part)
    return found


def was_read(document, edition, part):
    """Say whether a section, or a part of it, was read in an edition; in any where none is named."""
    return any(
        source["document"] == document
        and (edition is None or str(source.get("edition")) == str(edition))
        and (section == part or section.startswith(f"{part}("))
        for source, section in READ
    )


@pytest.mark.parametrize("rule_id", sorted(RULES), ids=lambda rule_id: cited(RULES[rule_id].source.to_dict(), rule_id))
def test_a_rule_that_rests_on_a_page_cites_a_section_that_was_read(rule_id):
    source = RULES[rule_id].source
    assert [part for part in parts(source.section) if not was_read(source.document, source.edition, part)] == []


def test_a_rule_cites_an_edition_that_it_holds_for_or_an_older_one():
    """Source: that of each rule: a section read in a newer edition proves nothing of those before it."""
    newer = [
        rule_id
        for rule_id, rule in RULES.items()
        if rule.source.document == "NFPA 70" and rule.source.edition and rule.editions
        # years; the older ones are not all declared
        if str(rule.source.edition) > rule.editions.editions[-1]
    ]
    assert newer == []


@pytest.mark.parametrize("name", TABLES)
def test_a_table_that_rests_on_a_page_cites_a_section_that_was_read(name):
    """Source: that of the table; the newest edition that it claims is the one that was read."""
    found = table(name)
    if found.code and found.source["obtained"] == "page":
        newest = str(found.source["through"])
        section = found.figure(found.source["sections"], newest)
        assert [part for part in parts(section) if not was_read(found.code.title, newest, part)] == []


@pytest.mark.parametrize(
    ("section", "expected"),
    [
        ("110.3(B)", ["110.3(B)"]),
        ("410.56(C), (D)", ["410.56(C)", "410.56(D)"]),
        ("marks, 10.4 d", ["marks 10.4 d"]),
        ("scope 1.2 a, b", ["scope 1.2 a", "scope 1.2 b"]),
        ("Table 300.5(A), notes", ["Table 300.5(A) notes"]),
        ("250.122(A), Table 250.122", ["250.122(A)", "Table 250.122"]),
    ],
)
def test_a_citation_is_split_into_its_sections(section, expected):
    assert parts(section) == expected


@pytest.mark.parametrize(
    ("document", "edition", "part", "read"),
    [
        ("NFPA 70", "2023", "314.28(A)", True),
        ("NFPA 70", None, "314.28(A)", True),
        ("NFPA 70", "2020", "314.28(A)", False),
        ("NFPA 70", "2023", "110.12", True),
        ("NFPA 70", "2023", "250.6", False),
        ("NFPA 70", "2023", "110.14(C)(1)", True),
        ("NFPA 70", "2017", "110.14(C)(1)", False),
        ("NFPA 70", "2023", "300.15(F)", False),
        ("UL 486D", None, "scope", False),
    ],
)
def test_only_what_was_read_counts_as_read(document, edition, part, read):
    assert was_read(document, edition, part) is read


def test_every_section_read_stands_once():
    """Source: those of the data file; this says that none of them is listed twice for one edition."""
    keys = [(source["document"], source.get("edition"), section) for source, section in READ]
    assert len(keys) == len(set(keys))
