from __future__ import annotations

import pytest

from splicewright import shipped
from splicewright.faults import Faults
from splicewright.question.vocabulary import CODES
from splicewright.tables.loader import Table, read_table, table

NAMES = sorted(path.stem for path in (shipped.folder("rulesets") / "tables").glob("*.yaml"))

GOOD = """\
table: depths
about: How deep.
source: {document: NFPA 70, sections: {2023: Table 1}, through: 2023, obtained: memory}
rows: {one: 1}
more: [2]
"""


def written(folder, text, name="depths.yaml"):
    path = folder / name
    path.write_text(text)
    return path


def test_a_table_is_read_with_its_source_and_its_rows(tmp_path):
    source = {"document": "NFPA 70", "sections": {"2023": "Table 1"}, "through": 2023, "obtained": "memory"}
    assert read_table(written(tmp_path, GOOD)) == Table("depths", source, {"rows": {"one": 1}, "more": [2]})


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (("table: depths\n", ""), "1: a table needs 'table'"),
        (("about: How deep.\n", ""), "1: a table needs 'about'"),
        (
            ("source: {document: NFPA 70, sections: {2023: Table 1}, through: 2023, obtained: memory}\n", ""),
            "1: a table needs 'source'",
        ),
        (("table: depths", "# head\ntable: heights"), "2: table: the table is called 'depths' like its file"),
        (("obtained: memory", "seen: memory"), "3: source: is common-practice, or has document, sections"),
        (("document: NFPA 70, ", ""), "3: source: is common-practice, or has document, sections"),
        (("sections: {2023: Table 1}, ", ""), "3: source: is common-practice, or has document, sections"),
        (
            ("{document: NFPA 70, sections: {2023: Table 1}, through: 2023, obtained: memory}", "NFPA 70"),
            "3: source: is common-practice, or has document, sections",
        ),
        (
            ("Table 1}", "314.16}"),
            '3: source: a section that looks like a number is written in quotes, or "340.10" becomes 340.1',
        ),
        (("through: 2023", "through: 2020"), "3: source/through: is 2020, and NFPA 70 is asked through 2023; read"),
        (("NFPA 70", "NFPA 71"), "3: source/document: \"NFPA 71\" is not known; did you mean 'NFPA 70'?"),
        (("{2023: Table", "{2032: Table"), '3: source/sections/2032: NFPA 70 has no such edition: "2032" is not known'),
        (
            ("{2023: Table", "{2023: Table 2, 2017: Table"),
            "3: source/sections: names editions out of order; write them as NFPA 70 has them",
        ),
        (("{one: 1}", "{since: 2033}"), '4: rows/since: NFPA 70 has no such edition: "2033" is not known'),
        (
            (
                "{2023: Table 1}, through: 2023, obtained: memory}\nrows: {one: 1}",
                "{2020: Table 1}, through: 2023, obtained: memory}\nrows: {editions: {2023: 1}}",
            ),
            "4: rows/editions: has nothing for 2020, from which on depths has figures",
        ),
        (("more: [2]", "more: [2"), "6: not YAML: "),
        (("more:", "rows:"), '5: the key "rows" stands twice in one map'),
        (("rows: {one: 1}", "rows: &r {one: 1}"), "4: anchors and aliases are not allowed"),
    ],
)
def test_a_fault_in_a_table_is_told_with_its_file_and_line(tmp_path, change, fault):
    path = written(tmp_path, GOOD.replace(*change))
    with pytest.raises(Faults) as caught:
        read_table(path)
    assert str(caught.value).startswith(f"{path}:{fault}")


@pytest.mark.parametrize("text", ["- 1\n", "text\n", "1\n"])
def test_a_file_that_is_no_map_is_no_table(tmp_path, text):
    with pytest.raises(Faults, match="1: a table needs 'table'"):
        read_table(written(tmp_path, text))


def test_a_fault_whose_line_is_not_known_is_told_at_line_one(tmp_path):
    path = tmp_path / "depths.yaml"
    path.write_bytes(b"\xff")
    with pytest.raises(Faults, match=r"depths\.yaml:1: not YAML"):
        read_table(path)


def test_a_shipped_table_is_read_once():
    assert table("cover") is table("cover")


@pytest.mark.parametrize("name", NAMES)
def test_every_shipped_table_says_what_it_rests_on(name):
    source = table(name).source
    if source != "common-practice":
        assert source["document"]
        assert source["sections"]
        assert source["obtained"] in ("page", "memory")


@pytest.mark.parametrize("name", ["ampacity", "boxes", "cover", "grounding-conductors", "small-conductors", "torque"])
@pytest.mark.parametrize("code", [code for code in CODES if code.startswith("nfpa70-")])
def test_a_table_of_the_code_holds_for_every_edition_that_a_question_may_name(name, code):
    assert table(name).holds_for(code)


@pytest.mark.parametrize("code", ["nfpa70-2014", "nfpa70-2099", "nfpa70", "iec60364", "nfpa79-2023"])
def test_a_table_is_not_stretched_to_an_edition_that_it_was_not_entered_for(code):
    assert not table("ampacity").holds_for(code)


def test_common_practice_holds_for_every_code():
    assert table("strip-lengths").source == "common-practice"
    assert all(table("strip-lengths").holds_for(code) for code in (*CODES, "iec60364"))
