"""Request bodies: JSON only, and never longer than allowed, chunked ones included."""

from __future__ import annotations

from typing import Any

from flask import Request, current_app
from werkzeug.exceptions import RequestEntityTooLarge, UnsupportedMediaType

from splicewright.reading import read_json

_BLOCK = 65_536


def read_body(request: Request) -> Any:
    """Read a JSON body. Raises 415 for another type, 413 for one too long, `NotText` for no JSON."""
    if not request.is_json:
        raise UnsupportedMediaType("send the question as application/json")
    return read_json(_whole(request, int(current_app.config["MAX_BODY"])))


def _whole(request: Request, most: int) -> bytes:
    # Read block by block: the framework's own way silently cuts a chunked body at the limit.
    too_long = RequestEntityTooLarge(f"the body is longer than {most:,} bytes")
    if request.content_length is not None and request.content_length > most:
        raise too_long
    blocks, length = [], 0
    while block := request.stream.read(_BLOCK):
        length += len(block)
        if length > most:
            raise too_long
        blocks.append(block)
    return b"".join(blocks)
