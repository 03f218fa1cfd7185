"""Request bodies: of a type that the call takes, and never longer than allowed, chunked ones included."""

from __future__ import annotations

from collections.abc import Collection

from flask import Flask, Request, current_app
from werkzeug.exceptions import RequestEntityTooLarge, UnsupportedMediaType
from werkzeug.sansio.utils import get_content_length
from werkzeug.wsgi import get_input_stream

from splicewright.json_text import read_json
from splicewright.memo import Memo
from splicewright.refusals import NotText, Says

JSON = "application/json"
#: Lists, objects and commas of a body: 24 for each joint of a job as large as it may be. They take memory:
#: read, each takes up to two hundred bytes where it was two.
MOST_PARTS = 1_200_000
_QUESTION = "MAX_BODY"  # names, in the application's configuration, the longest body of most routes
_LONGER = {"/v1/jobs": "MAX_JOB", "/v1/batches": "MAX_BATCH"}  # and of these
_BLOCK = 65_536
_AS_IT_IS = "identity"
_TAKEN: Memo[tuple[str, str, tuple[str, ...]], None] = Memo(100)  # types that were right
_LONGEST_TYPE = 200
_CHARSETS = ("utf-8", "utf8", "us-ascii", "ascii")  # every text in ASCII is one in UTF-8
_QUOTE = ord('"')
_NO_BRACKETS = bytes(set(range(256)).difference(b'[]{}"'))


class Bounded:
    """A body that is read block by block. Raises 413 as soon as it is longer than allowed."""

    # The framework's own way of reading silently cuts a chunked body at the limit.
    def __init__(self, request: Request, most: int | None = None) -> None:
        """Read the body of `request`, of at most so many bytes, or else of as many as its route takes."""
        environ = request.environ
        self._stream, self._length = get_input_stream(environ), 0
        self._most = most_of_route(current_app, str(request.url_rule)) if most is None else most
        told = get_content_length(environ.get("CONTENT_LENGTH"), environ.get("HTTP_TRANSFER_ENCODING"))
        if told is not None and told > self._most:
            raise self._too_long()

    def read(self, size: int, /) -> bytes:
        """Give at most `size` bytes; none at the end."""
        block = self._stream.read(size)
        self._length += len(block)
        if self._length > self._most:
            raise self._too_long()
        return block

    def _too_long(self) -> RequestEntityTooLarge:
        return RequestEntityTooLarge(f"the body is longer than {self._most:,} bytes")


def most_of_route(app: Flask, rule: str) -> int:
    """Give how many bytes an application takes of a body sent to a route."""
    return int(app.config[_LONGER.get(rule, _QUESTION)])


def most_of_question(app: Flask) -> int:
    """Give how many bytes an application takes of a body that is read at once, as that of a question is."""
    return int(app.config[_QUESTION])


def read_body(request: Request, most: int | None = None) -> bytes:
    """Read a body that is said to be JSON, of at most so many bytes, or else of as many as its route takes.

    Raises 415 for another type, 413 for one too long or of too many parts, `NotText` if too deep.
    """
    check_type(request, (JSON,))
    body = Bounded(request, most)
    blocks = []
    while block := body.read(_BLOCK):
        blocks.append(block)
    found = b"".join(blocks)
    opened = found.count(b"[") + found.count(b"{")
    if opened + found.count(b",") > MOST_PARTS:
        raise RequestEntityTooLarge(f"the body has more than {MOST_PARTS:,} lists, objects and commas")
    deepest = int(current_app.config["MAX_DEPTH"])
    if opened > deepest and depth(found) > deepest:
        raise NotText(Says(f"lists and objects are nested more than {deepest} deep", "too-deep"))
    return found


def depth(text: bytes) -> int:
    """Tell how deep lists and objects are nested in a JSON text."""
    # What is escaped in texts and then all but quotes and brackets is left out, so that few are left to look at; two
    # quotes side by side begin and end a text without a bracket, or end one and begin the next.
    marks = text.replace(b"\\\\", b"").replace(b'\\"', b"").translate(None, _NO_BRACKETS).replace(b'""', b"")
    now = deepest = 0
    within = False  # a text, whose brackets are not meant
    for one in marks:
        if one == _QUOTE:
            within = not within
        elif not within and one in b"[{":
            now += 1
            deepest = max(deepest, now)
        elif not within:
            now -= 1
    return deepest


def read_value(request: Request, most: int | None = None) -> object:
    """Read a body as the JSON value in it. Raises what `read_body` raises, and `NotText`."""
    return read_json(read_body(request, most))


def check_type(request: Request, kinds: Collection[str]) -> None:
    """Refuse a body of another type than these, in another charset than UTF-8, or that is encoded (415)."""
    environ = request.environ
    sent = environ.get("CONTENT_TYPE", ""), environ.get("HTTP_CONTENT_ENCODING", _AS_IT_IS), tuple(kinds)
    if sent not in _TAKEN:
        _check_type(request, kinds)
        if len(sent[0]) <= _LONGEST_TYPE:
            _TAKEN.keep(sent, None)


def _check_type(request: Request, kinds: Collection[str]) -> None:
    encoding = request.headers.get("Content-Encoding", _AS_IT_IS).strip().lower()
    if encoding not in ("", _AS_IT_IS):
        raise UnsupportedMediaType(
            _wrong(f"send the body as it is, not in the encoding {encoding[:30]!r}", [_AS_IT_IS])
        )
    if not (request.mimetype in kinds or (JSON in kinds and request.is_json)):
        given = f"not {request.mimetype[:60]!r}" if request.mimetype else "with its Content-Type"
        raise UnsupportedMediaType(_wrong(f"send the body as {' or '.join(kinds)}, {given}", kinds))
    charset = request.mimetype_params.get("charset", _CHARSETS[0])
    if charset.strip("'\" ").lower() not in _CHARSETS:
        raise UnsupportedMediaType(
            _wrong(f"send the body in UTF-8, not in the charset {charset[:30]!r}", _CHARSETS[:1])
        )


def _wrong(says: str, allowed: Collection[str]) -> Says:
    return Says(says, "wrong-media-type", None, allowed)
