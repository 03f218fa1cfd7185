"""Bodies in chunks, as the server takes them, however they are cut on their way."""

from __future__ import annotations

import pytest
from waitress.buffers import OverflowableBuffer

from splicewright.api.waitress_parser import Chunks

WHOLE = b'5;a="b"\r\nhello\r\n6 \r\n world\r\n0\r\nX-Sum: 1\r\n\r\n'
AFTER = b"GET /"


def taken(parts: list[bytes], most: int = 1_000) -> tuple[Chunks, int]:
    chunks = Chunks(OverflowableBuffer(100_000), most)
    return chunks, sum(chunks.received(part) for part in parts)


def content(chunks: Chunks) -> bytes:
    file = chunks.getfile()
    return bytes(file.read())


def code(chunks: Chunks) -> int:
    assert chunks.error
    return chunks.error.code


@pytest.mark.parametrize("cut", range(len(WHOLE + AFTER)))
def test_body_is_the_same_wherever_it_is_cut(cut: int) -> None:
    sent = WHOLE + AFTER
    chunks, length = taken([sent[:cut], sent[cut:]])
    assert chunks.completed
    assert not chunks.error
    assert length == len(WHOLE)
    assert content(chunks) == b"hello world"


def test_body_may_come_byte_by_byte() -> None:
    chunks, length = taken([WHOLE[at : at + 1] for at in range(len(WHOLE))])
    assert chunks.completed
    assert length == len(WHOLE)
    assert content(chunks) == b"hello world"


@pytest.mark.parametrize(
    "sent",
    [
        b"\r\n",
        b"x\r\n",
        b"0x5\r\nhello\r\n",
        b"+5\r\nhello\r\n",
        b"5\nhello\n",
        b"5\r\nhello\r\r\n",
        b"5\r\nhelloo\r\n",
        b"5\r\nhello\r\n\r\n",
        b"5; \x01\r\nhello\r\n",
        b'5;a="\r\nhello\r\n',
        b"0\r\nno trailer\r\n",
        b"0\r\n continued\r\n",
        b"1" * 1_025,
        b"fffffffffffff\r\n",
    ],
)
def test_malformed_chunks_are_refused(sent: bytes) -> None:
    for parts in ([sent], [sent[at : at + 1] for at in range(len(sent))]):
        chunks, _ = taken(parts)
        assert code(chunks) == 400
        assert not chunks.completed


def test_body_too_long_is_refused_by_its_sizes() -> None:
    chunks, _ = taken([b"3e9\r\n"])
    assert code(chunks) == 413
    chunks, _ = taken([b"1f4\r\n" + b" " * 500 + b"\r\n1f5\r\n"])
    assert code(chunks) == 413


def test_body_in_crumbs_is_refused() -> None:
    chunks, _ = taken([b"1\r\n \r\n" * 70_000], 1_000_000)
    assert code(chunks) == 400
