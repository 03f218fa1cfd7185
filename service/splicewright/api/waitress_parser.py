"""Reads requests for the server: more strictly than its library does, and no body that nobody asked for."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, cast

from waitress.parser import HTTPRequestParser, ParsingError
from waitress.receiver import ChunkedReceiver
from waitress.rfc7230 import CHUNK_EXT_RE, HEADER_FIELD_RE
from waitress.utilities import BadRequest, RequestEntityTooLarge

from splicewright.api.well_formed import malformed

#: Gives the most bytes that are read of the body of a request: method, path, value of Authorization; 0: none is.
Admits = Callable[[str, str, str], int]
_SIZE = re.compile(rb"[0-9A-Fa-f]{1,12}[ \t]*\Z")
_LONGEST_LINE = 1_024  # of a chunk's size, or of a trailer
_SPARE = 65_536  # bytes of sizes and line ends that any body may have


class Parser(HTTPRequestParser):
    """Reads one request."""

    admits: Admits | None = None  # set by the channel
    request_uri: str
    path: str

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head. Raises `ParsingError`, which never holds what was sent."""
        lines = header_plus.split(b"\r\n")[1:]
        if any(line[:1] in (b" ", b"\t") for line in lines):
            raise ParsingError("a header is continued on a further line")
        named = [(name.lower(), value.strip(b" \t").decode("latin-1")) for name, _, value in _parted(lines)]
        try:
            super().parse_header(header_plus)
        except ParsingError:
            raise ParsingError("the head of the request is malformed") from None
        wrong = malformed(
            _version(str(self.version)),
            self.request_uri,
            [value for name, value in named if name == b"host"],
            [value for name, value in named if name == b"transfer-encoding"],
            measured=any(name == b"content-length" for name, _ in named),
        )
        if wrong:
            raise ParsingError(wrong)
        if self.body_rcv is not None:
            self._receive_what_is_admitted()

    def _receive_what_is_admitted(self) -> None:
        most = 0
        if self.admits is not None:
            most = self.admits(str(self.command), self.path, self.headers.get("AUTHORIZATION", ""))
        if not most or self.content_length > most:
            # The application says why, of the head alone; what follows is not read.
            cast("Any", self.body_rcv).getbuf().close()
            self.body_rcv = None
            self.expect_continue = False
            headers = cast("dict[str, str]", self.headers)
            headers["CONNECTION"] = "close"
            headers.setdefault("CONTENT_LENGTH", "0")
            self.content_length = 0
        elif self.chunked:
            self.body_rcv = Chunks(cast("Any", self.body_rcv).getbuf(), most)


class Chunks(ChunkedReceiver):
    """Takes a body that is sent in chunks: strictly as RFC 9112 says, and not in crumbs."""

    def __init__(self, buf: Any, most: int) -> None:
        """Take at most so many bytes into a buffer."""
        super().__init__(buf)
        self._most = most
        self._left = self._taken = self._around = 0  # bytes of the chunk, of the body, of sizes and line ends
        self._line = b""
        self._read: Callable[[bytes], None] = self._size

    def received(self, data: bytes) -> int:
        """Take what has come; give how many bytes of it belong to the body."""
        at = 0
        while at < len(data) and not self.completed and not self.error:
            if self._left:
                part = data[at : at + self._left]
                self.buf.append(part)
                self._left -= len(part)
                at += len(part)
                continue
            end = data.find(b"\n", at) + 1 or len(data)
            self._line += data[at:end]
            self._around += end - at
            at = end
            if len(self._line) > _LONGEST_LINE or self._around > _SPARE + 4 * self._taken:
                self.error = BadRequest("the chunks are too small, or their lines too long")
            elif self._line.endswith(b"\n"):
                line, self._line = self._line, b""
                if line.endswith(b"\r\n"):
                    self._read(line[:-2])
                else:
                    self.error = BadRequest("a line of a chunk ends in LF alone")
        return at

    def _size(self, line: bytes) -> None:
        size, *further = line.split(b";", 1)
        extended = cast("re.Pattern[bytes]", CHUNK_EXT_RE)
        if not _SIZE.match(size) or not all(extended.fullmatch(b";" + one) for one in further):
            self.error = BadRequest("the size of a chunk is malformed")
            return
        self._left = int(size, 16)
        self._taken += self._left
        self._read = self._end if self._left else self._trailer
        if self._taken > self._most:
            self.error = RequestEntityTooLarge(f"the body is longer than {self._most:,} bytes")

    def _end(self, line: bytes) -> None:
        self._read = self._size
        if line:
            self.error = BadRequest("a chunk is longer than its size says")

    def _trailer(self, line: bytes) -> None:
        if not line:
            self.completed = True
        elif not cast("re.Pattern[bytes]", HEADER_FIELD_RE).match(line):
            self.error = BadRequest("a trailer is malformed")


def _parted(lines: list[bytes]) -> list[tuple[bytes, bytes, bytes]]:
    return [line.partition(b":") for line in lines]


def _version(text: str) -> tuple[int, int]:
    major, _, minor = text.partition(".")
    return (int(major), int(minor)) if major and minor else (0, 9)
