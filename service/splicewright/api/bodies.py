"""Request bodies: JSON only, and never longer than allowed, chunked ones included."""

from __future__ import annotations

from flask import Request, current_app
from werkzeug.exceptions import RequestEntityTooLarge, UnsupportedMediaType

_BLOCK = 65_536


def read_body(request: Request) -> bytes:
    """Read a body that is said to be JSON. Raises 415 for another type, 413 for one too long."""
    if not request.is_json:
        raise UnsupportedMediaType("send the question as application/json")
    most = int(current_app.config["MAX_BODY"])
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
