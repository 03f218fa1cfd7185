from __future__ import annotations

import pytest

from splicewright.tables.loader import Table, TableFault, read_table, table

GOOD = """\
table: depths
about: How deep.
source: {document: a code, sections: {2023: Table 1}, obtained: memory}
rows: {one: 1}
more: [2]
"""


def written(folder, text, name="depths.yaml"):
    path = folder / name
    path.write_text(text)
    return path


def test_a_table_is_read_with_its_source_and_its_rows(tmp_path):
    source = {"document": "a code", "sections": {"2023": "Table 1"}, "obtained": "memory"}
    assert read_table(written(tmp_path, GOOD)) == Table("depths", source, {"rows": {"one": 1}, "more": [2]})


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (("table: depths\n", ""), "1: a table needs 'table'"),
        (("about: How deep.\n", ""), "1: a table needs 'about'"),
        (
            ("source: {document: a code, sections: {2023: Table 1}, obtained: memory}\n", ""),
            "1: a table needs 'source'",
        ),
        (("table: depths", "# head\ntable: heights"), "2: the table is called 'depths' like its file"),
        (("obtained: memory", "seen: memory"), "3: a source is common-practice, or has document, sections"),
        (("document: a code, ", ""), "3: a source is common-practice, or has document, sections"),
        (("sections: {2023: Table 1}, ", ""), "3: a source is common-practice, or has document, sections"),
        (
            ("{document: a code, sections: {2023: Table 1}, obtained: memory}", "a code"),
            "3: a source is common-practice, or has document, sections",
        ),
        (("more: [2]", "more: [2"), "6: not YAML: "),
        (("more:", "rows:"), '5: the key "rows" stands twice in one map'),
        (("rows: {one: 1}", "rows: &r {one: 1}"), "4: anchors and aliases are not allowed"),
    ],
)
def test_a_fault_in_a_table_is_told_with_its_file_and_line(tmp_path, change, fault):
    path = written(tmp_path, GOOD.replace(*change))
    with pytest.raises(TableFault) as caught:
        read_table(path)
    assert str(caught.value).startswith(f"{path}:{fault}")


@pytest.mark.parametrize("text", ["- 1\n", "text\n", "1\n"])
def test_a_file_that_is_no_map_is_no_table(tmp_path, text):
    with pytest.raises(TableFault, match="1: a table needs 'table'"):
        read_table(written(tmp_path, text))


def test_a_fault_whose_line_is_not_known_is_told_at_line_one(tmp_path):
    path = tmp_path / "depths.yaml"
    path.write_bytes(b"\xff")
    with pytest.raises(TableFault, match=r"depths\.yaml:1: not YAML"):
        read_table(path)


def test_a_shipped_table_is_read_once():
    assert table("cover") is table("cover")


@pytest.mark.parametrize("name", ["cover", "insulation"])
def test_every_shipped_table_says_what_it_rests_on(name):
    source = table(name).source
    assert source["document"] == "NFPA 70"
    assert source["obtained"] in ("page", "memory")
