"""`splicewright batch`: one line out for each line in, in order; a bad line spoils no other."""

from __future__ import annotations

import bz2
import codecs
import gzip
import io
import lzma
import os
import random
import subprocess
import sys
import zipfile
from pathlib import Path

import orjson
import pytest
from click.testing import CliRunner

from splicewright import choose
from splicewright.batch.lines import LONGEST_LINE
from splicewright.cli.main import main

GOOD = {"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}}


def run(*lines: bytes, explain: str = "brief") -> tuple[int, list[dict[str, object]]]:
    result = CliRunner().invoke(main, ["batch", "-", "--explain", explain], input=b"\n".join(lines))
    return result.exit_code, [orjson.loads(line) for line in result.stdout_bytes.splitlines()]


def test_good_lines_exit_with_0_and_carry_their_ids() -> None:
    status, answers = run(*(orjson.dumps({"id": f"j{number}", **GOOD}) for number in range(3)))
    assert status == 0
    assert [answer["id"] for answer in answers] == ["j0", "j1", "j2"]


def test_bad_line_gets_an_error_line_and_the_rest_go_on() -> None:
    status, answers = run(
        orjson.dumps(GOOD),
        orjson.dumps({"id": "b", "joint": {"conductors": [{"size": 12}]}}),
        orjson.dumps(GOOD),
    )
    assert status == 1
    assert answers[0]["outcome"] == answers[2]["outcome"] == "options"
    assert answers[1] == {
        "outcome": "error",
        "id": "b",
        "line": 2,
        "errors": [
            {
                "pointer": "/joint/conductors/0/size",
                "says": "'12' has no unit; write '12 AWG' or '12 mm2'",
                "code": "not-a-size",
                "allowed": ["12 AWG", "12 mm2"],
            }
        ],
    }


def test_hostile_lines_are_errors_and_nothing_more() -> None:
    hostile = [
        b"[" * 100_000,
        b'{"a":NaN}',
        b"\xff\xfe",
        b"null",
        b"{",
        b"",
        b'{"joint":1e999}',
        b'{"a":1,"a":2}',
        b'"\\ud800"',
    ]
    status, answers = run(*hostile, orjson.dumps(GOOD))
    assert status == 1
    assert len(answers) == len(hostile) + 1
    assert [answer.get("line") for answer in answers[:-1]] == list(range(1, len(hostile) + 1))
    assert answers[-1]["outcome"] == "options"


def test_overlong_line_is_an_error_and_the_next_is_answered() -> None:
    status, answers = run(b'"' + b"x" * (3 * LONGEST_LINE) + b'"', orjson.dumps(GOOD))
    assert status == 1
    assert "longer than" in str(answers[0]["errors"])
    assert answers[1]["outcome"] == "options"


def test_explain_of_a_line_beats_the_default() -> None:
    _, (brief, full) = run(orjson.dumps(GOOD), orjson.dumps({**GOOD, "explain": "full"}))
    assert "rules" not in brief
    assert "rules" in full


def included(*options: str, question: dict[str, object] | None = None) -> dict[str, object]:
    line = orjson.dumps(question or GOOD)
    result = CliRunner().invoke(main, ["batch", "-", *options], input=line)
    answer: dict[str, object] = orjson.loads(result.stdout_bytes)
    return answer


def test_answers_have_what_is_included_beside_what_is_explained() -> None:
    assert included("--include", "rules, fill") == choose({**GOOD, "include": ["fill", "rules"]})
    assert included("--explain", "full", "--include", "rules") == choose(GOOD)


def test_include_of_a_line_beats_that_of_the_command() -> None:
    line: dict[str, object] = {**GOOD, "include": ["meets"]}
    assert included("--include", "rules", question=line) == choose(line)


def test_check_of_a_line_has_what_is_included() -> None:
    check = {**GOOD, "proposal": {"connector": "lever-2-port"}}
    assert "confirmed" in included("--include", "confirmed", question=check)
    assert "confirmed" not in included(question=check)


def test_name_of_what_to_include_that_is_none_ends_the_command_with_the_nearest() -> None:
    result = CliRunner().invoke(main, ["batch", "-", "--include", "rules,prooves"], input=b"")
    assert result.exit_code == 2
    assert "did you mean 'proofs'?" in result.stderr


def test_going_on_with_another_include_is_refused(tmp_path: Path) -> None:
    lines, out = tmp_path / "in.ndjson", str(tmp_path / "out.ndjson")
    lines.write_bytes(orjson.dumps(GOOD) + b"\n")
    asked = ["batch", str(lines), "--output", out, "--quiet"]
    assert CliRunner().invoke(main, [*asked, "--include", "rules"]).exit_code == 0
    lines.write_bytes((orjson.dumps(GOOD) + b"\n") * 2)
    other = CliRunner().invoke(main, [*asked, "--resume", "--include", "meets"])
    assert (other.exit_code, "--include changed" in other.stderr) == (2, True)
    assert CliRunner().invoke(main, [*asked, "--resume", "--include", "rules"]).exit_code == 0
    first, second = Path(out).read_bytes().splitlines()
    assert first == second


def test_thousand_lines_with_one_in_a_hundred_broken_keep_their_order() -> None:
    draw = random.Random(7)
    lines = []
    for number in range(1_000):
        size = draw.choice(["14 AWG", "12 AWG", "10 AWG", "2.5 mm2"])
        question = {"id": str(number), "joint": {"conductors": [{"size": size, "count": draw.randint(1, 6)}]}}
        if number % 100 == 50:
            question["joint"] = {"conductors": [{"size": "12"}]}
        lines.append(orjson.dumps(question))
    status, answers = run(*lines)
    assert status == 1
    assert [answer["id"] for answer in answers] == [str(number) for number in range(1_000)]
    assert [number for number, answer in enumerate(answers) if "errors" in answer] == list(range(50, 1_000, 100))


def _zipped(data: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("a.ndjson", data)
    return out.getvalue()


LINES = orjson.dumps(GOOD) + b"\n"
_TEXT = LINES.decode()
OTHERS = {
    "is packed by gzip": [gzip.compress(LINES)],
    "is packed by bzip2; unpack it first": [bz2.compress(LINES)],
    "is packed by xz; unpack it first": [lzma.compress(LINES)],
    "is packed by zstd; unpack it first": [b"\x28\xb5\x2f\xfd\x04\x00"],
    "is packed by zip": [_zipped(LINES)],
    "is a Parquet file; call it .parquet": [b"PAR1\x15\x04"],
    "is UTF-16; save it as UTF-8": [
        codecs.BOM_UTF16_LE + _TEXT.encode("utf-16-le"), codecs.BOM_UTF16_BE + _TEXT.encode("utf-16-be"),
        _TEXT.encode("utf-16-le"), _TEXT.encode("utf-16-be"),
    ],
    "is UTF-32; save it as UTF-8": [
        codecs.BOM_UTF32_LE + _TEXT.encode("utf-32-le"), codecs.BOM_UTF32_BE + _TEXT.encode("utf-32-be"),
        _TEXT.encode("utf-32-le"), _TEXT.encode("utf-32-be"),
    ],
}  # fmt: skip


@pytest.mark.parametrize(
    ("says", "data"),
    # Named by their places: packed bytes have the time in them, and processes would name them otherwise.
    [pytest.param(says, one, id=f"{says}-{at}") for says, each in OTHERS.items() for at, one in enumerate(each)],
)
def test_file_that_holds_no_lines_of_text_is_told_by_what_it_is(tmp_path: Path, says: str, data: bytes) -> None:
    path = tmp_path / "a.ndjson"
    path.write_bytes(data)
    result = CliRunner().invoke(main, ["batch", str(path), "--output", str(tmp_path / "out.ndjson")])
    assert (result.exit_code, result.stdout, f"{path}: {says}" in result.stderr) == (2, "", True)
    assert not (tmp_path / "out.ndjson").exists()
    if "gzip" in says:
        assert f"call it {path}.gz" in result.stderr
    (tmp_path / "b.ndjson.gz").write_bytes(gzip.compress(data))
    result = CliRunner().invoke(main, ["batch", str(tmp_path / "b.ndjson.gz")])
    assert (result.exit_code, says in result.stderr) == (2, True)


def test_standard_input_that_is_a_file_is_told_too_and_one_of_lines_is_read_from_its_first(tmp_path: Path) -> None:
    def batch(data: bytes) -> subprocess.CompletedProcess[bytes]:
        path = tmp_path / "a"
        path.write_bytes(data)
        with path.open("rb") as stream:
            command = [sys.executable, "-m", "splicewright", "batch", "--quiet"]
            return subprocess.run(command, stdin=stream, capture_output=True, check=False, env=dict(os.environ))

    told = batch(gzip.compress(LINES))
    assert (told.returncode, b"standard input: is packed by gzip; unpack it first" in told.stderr) == (2, True)
    assert batch(LINES * 3).stdout.count(b"\n") == 3


@pytest.mark.parametrize("data", [b"", b"\n", b"{", b"[]", b"\0", b"\xef\xbb\xbf{}", b"a\0bc\n", b"\xff\n"])
def test_what_may_be_lines_is_answered_line_by_line(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a.ndjson").write_bytes(data)
    assert CliRunner().invoke(main, ["batch", str(tmp_path / "a.ndjson")]).exit_code == (1 if data else 0)
