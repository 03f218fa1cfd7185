"""TOML read into a document that knows its lines."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from splicewright.refusals import NotText
from splicewright.toml_text import read_toml

TEXT = """# ours
code = "a"
"quoted key" = 1; it = 2
"""

WHOLE = '''# ours
code = "a"
a.dotted = 1
only = { methods = [
    "lever",
] }

[service]
port = 1
# nothing
text = """
[not.a.table]
port = 2
"""
[deep.er."with/slash"]
x = 2026-12-31

[[waive]]
rule = "a"
[[waive]]
rule = "b"
[waive.more]
y = 1
'''


@pytest.mark.parametrize(
    ("pointer", "line"),
    [
        ("/code", 2),
        ("/a/dotted", 3),
        ("/only/methods/0", 4),
        ("/service", 8),
        ("/service/port", 9),
        ("/service/text", 11),
        ("/service/not-there", 8),
        ("/deep", 15),
        ("/deep/er/with~1slash/x", 16),
        ("/waive", 18),
        ("/waive/0/rule", 19),
        ("/waive/1", 20),
        ("/waive/1/reason", 20),
        ("/waive/1/more/y", 23),
        ("/not-there", 1),
    ],
)
def test_each_part_has_its_line(pointer: str, line: int) -> None:
    assert read_toml(WHOLE).line(pointer) == line


def test_values_are_those_of_the_library_but_days_are_text() -> None:
    found = read_toml(WHOLE).value
    assert found["service"]["text"] == "[not.a.table]\nport = 2\n"
    assert found["deep"]["er"]["with/slash"]["x"] == "2026-12-31"
    assert read_toml("a = [12:30:00]").value == {"a": ["12:30:00"]}


def test_a_byte_order_mark_is_passed_over() -> None:
    assert read_toml(b"\xef\xbb\xbfa = 1").value == {"a": 1}


@pytest.mark.parametrize(
    ("content", "line", "says"),
    [
        (TEXT.encode(), 3, "not TOML: "),
        (b"a = 1\nb = [\n", 3, "not TOML: "),
        (b"a = 1\na = 2\n", 2, "not TOML: "),
        (b"\xff", 1, "is not UTF-8 text"),
        (b"a = " + b"[" * 3000, 1, "is nested too deeply"),
        (b"a = " + b"1" * 5000, 1, "can't be"),
        (b"a = 2026-02-31", 1, ""),
    ],
)
def test_what_is_no_toml_is_told_with_its_line(content: bytes, line: int, says: str) -> None:
    with pytest.raises(NotText) as raised:
        read_toml(content)
    assert raised.value.line == line
    assert says in raised.value.problems[0].says


def test_lines_are_not_looked_for_without_end() -> None:
    text = "a = [\n" + "[1],\n" * 5_000 + "]\nb = 1\n"
    document = read_toml(text)
    assert (document.line("/a"), document.line("/b")) == (1, 1)
    document = read_toml("a = [\n" + "1,\n" * 5_000 + "]\nb = 1\n")
    assert (document.line("/a/7"), document.line("/b")) == (1, 5_003)


_KEYS = st.sampled_from(["a", "b", '"c d"', "'e'", "a.b"])
_VALUES = st.sampled_from(["1", '"x"', "[1,\n 2]", "{ q = 1 }", '"""\n[t]\n"""', "2026-12-31"])
_LINES = st.one_of(
    st.builds("{} = {}".format, _KEYS, _VALUES),
    st.builds("[{}]".format, _KEYS),
    st.builds("[[{}]]".format, _KEYS),
    st.sampled_from(["", "# [x]", "  "]),
)


@given(st.lists(_LINES, max_size=8))
def test_every_part_of_what_the_library_takes_has_a_line_on_which_it_stands(lines: list[str]) -> None:
    text = "\n".join(lines)
    try:
        tomllib.loads(text)
    except ValueError:
        return
    document = read_toml(text)
    written = text.split("\n")
    for pointer in _pointers(document.value, ""):
        assert written[document.line(pointer) - 1].strip().strip("# ")


def _pointers(value: object, at: str) -> list[str]:
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [
        one for key, inner in parts for one in (f"{at}/{str(key).replace('/', '~1')}", *_pointers(inner, f"{at}/{key}"))
    ]
