"""Every published value has its source beside it, and says whether it was read on a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.external.published import cited, published

NAMES = sorted(path.stem for path in (Path(__file__).parent / "data").glob("*.yaml"))


def sources(value):
    if isinstance(value, dict):
        if "source" in value:
            yield value["source"]
        for inner in value.values():
            yield from sources(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from sources(inner)


@pytest.mark.parametrize("name", NAMES)
def test_every_file_of_published_values_names_its_sources(name):
    found = list(sources(published(name)))
    assert found
    for source in found:
        assert {"document", "section", "obtained"} <= source.keys() <= {"document", "edition", "section", "obtained"}
        assert source["obtained"] in ("page", "memory")


def test_a_citation_names_document_edition_section_and_how_it_was_obtained():
    source = {"document": "NFPA 70", "edition": 2023, "section": "340.10", "obtained": "memory"}
    assert cited(source, "UF", "wet") == "UF wet: NFPA 70 2023, 340.10 (memory)"
