"""What every answer says of itself to browsers and caches, calls from other sites' pages, and compression."""

from __future__ import annotations

import gzip
from http import HTTPStatus

from flask import Flask, Request, Response

from splicewright.api.settings import Settings

#: Said by every answer that does not say otherwise itself.
ALWAYS = (
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'"),
    ("Cache-Control", "no-store"),
)
_ALWAYS = {header[0].lower(): header for header in ALWAYS}
_LEVEL = 6
_COMPRESSED = (
    "application/json",
    "application/problem+json",
    "text/html",
    "text/css",
    "text/javascript",
    "text/plain",
    "image/svg+xml",
)


def of_every_answer(headers: list[tuple[str, str]], name: str, *, varies: bool) -> list[tuple[str, str]]:
    """Give the headers of an answer with those that every one has, and its id. `varies`: it may be compressed."""
    held = {key.lower() for key, _ in headers}
    found = [*headers, *(header for key, header in _ALWAYS.items() if key not in held), ("X-Request-Id", name)]
    if varies:
        found.append(("Vary", "Accept-Encoding"))
    return found


def compress(response: Response, request: Request, least: int) -> None:
    """Compress an answer of so many bytes or more where that is asked for.

    Lines that are streamed are never compressed, so that none is held back.
    """
    if (
        response.is_streamed
        or (response.content_length or 0) < least
        or response.status_code != HTTPStatus.OK
        or response.mimetype not in _COMPRESSED
        or request.accept_encodings["gzip"] <= 0
    ):
        return
    tag, _ = response.get_etag()
    packed = f"{tag}:gzip"
    if tag is None or not request.if_none_match.contains(packed):  # who has it needs no second one
        response.set_data(gzip.compress(response.get_data(), _LEVEL, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    if tag:
        response.set_etag(packed)
        response.make_conditional(request)


def allow_origins(app: Flask, settings: Settings) -> None:
    """Let pages of other sites call, where the settings name them."""
    if settings.origins:
        from flask_cors import CORS  # noqa: PLC0415 - the extra `web`

        CORS(
            app,
            origins=list(settings.origins),
            methods=["GET", "POST"],
            allow_headers=["Authorization", "Content-Type", "If-None-Match", "X-Request-Id"],
            expose_headers=["ETag", "Retry-After", "X-Request-Id"],
            max_age=600,
        )
