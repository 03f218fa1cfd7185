"""Reads requests for the server: more strictly than its library does, and no body that nobody asked for."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable
from contextlib import suppress
from typing import Any, cast

from waitress.parser import HTTPRequestParser, ParsingError
from waitress.receiver import ChunkedReceiver
from waitress.rfc7230 import CHUNK_EXT_RE, HEADER_FIELD_RE
from waitress.utilities import BadRequest, Error, RequestEntityTooLarge

#: Gives the most bytes that are read of the body of a request: method, path, value of Authorization; 0: none is.
Admits = Callable[[str, str, str], int]
_SIZE = re.compile(rb"[0-9A-Fa-f]{1,12}[ \t]*\Z")
_HOST = re.compile(r"[A-Za-z0-9._~!$&'()*+;=%:\[\]-]{0,255}\Z")
_CONTINUED = re.compile(rb"\r\n[ \t]")
_CODING = re.compile(rb"(?i)\r\ntransfer-encoding:([^\r\n]*)")
_LONGEST_LINE = 1_024  # of a chunk's size, or of a trailer
_SPARE = 65_536  # bytes of sizes and line ends that any body may have
_log = logging.getLogger(__name__)


class NoRoom(Error):
    """A body that can't be kept until it has come whole."""

    code = 503
    reason = "Service Unavailable"


class Parser(HTTPRequestParser):
    """Reads one request."""

    admits: Admits | None = None  # set for the class that a server uses
    unread = False  # a body may follow that is not read
    request_uri: str
    path: str

    def received(self, data: bytes) -> int:
        """Take what has come; give how many bytes of it belong to the request."""
        try:
            return int(super().received(data))
        except OSError as error:  # a long body is put into the temporary folder
            _log.warning("no room for a body in the temporary folder: %s", error.strerror)
            with suppress(OSError):
                cast("Any", self.body_rcv).getbuf().close()
            self.body_rcv, self.completed = None, True
            self.error: Any = NoRoom("there is no room for the body now; send it again later")
            return len(data)

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head. Raises `ParsingError`, which never holds what was sent."""
        if _CONTINUED.search(header_plus):
            raise ParsingError("a header is continued on a further line")
        # What the library takes for one list here may be two headers, or be left out of it.
        codings = [value.strip(b" \t").lower() for value in _CODING.findall(header_plus)]
        try:
            super().parse_header(header_plus)
        except ParsingError:
            raise ParsingError("the head of the request is malformed") from None
        wrong = self._malformed(codings)
        if wrong:
            raise ParsingError(wrong)
        if self.body_rcv is not None:
            self._receive_what_is_admitted()

    def _malformed(self, codings: list[bytes]) -> str | None:
        """Say what two servers could read as two different requests; never what was sent, which may hold a key."""
        headers, version = cast("dict[str, str]", self.headers), self.version
        host = headers.get("HOST")
        for says, holds in (
            ("only HTTP/1.0 and HTTP/1.1 are spoken here", version not in ("1.0", "1.1")),
            ("send one header Host", host is None and version == "1.1"),
            # Two of them make a list, which is no host either.
            ("the header Host names no host, or more than one", host is not None and not _HOST.match(host)),
            ("the address begins with two slashes", self.request_uri.startswith("//")),
            (
                "Transfer-Encoding stands beside Content-Length, or in HTTP/1.0",
                codings and ("CONTENT_LENGTH" in headers or version == "1.0"),
            ),
            ("a body may be sent in chunks, and in no other transfer coding", codings and codings != [b"chunked"]),
        ):
            if holds:
                return says
        return None

    def _receive_what_is_admitted(self) -> None:
        most = 0
        if self.admits is not None:
            most = self.admits(str(self.command), self.path, self.headers.get("AUTHORIZATION", ""))
        if not most or self.content_length > most:
            # The application says why, of the head alone; what follows is not read.
            cast("Any", self.body_rcv).getbuf().close()
            self.body_rcv = None
            self.unread = True
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
