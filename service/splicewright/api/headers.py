"""What every answer says of itself to browsers and caches, calls from other sites' pages, and compression."""

from __future__ import annotations

from flask import Flask, Response
from flask_compress import Compress

from splicewright.api.settings import Settings

#: Said by every answer that does not say otherwise itself.
ALWAYS = (
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'"),
    ("Cache-Control", "no-store"),
)
_COMPRESSED = (
    "application/json",
    "application/problem+json",
    "text/html",
    "text/css",
    "text/javascript",
    "text/plain",
    "image/svg+xml",
)


def register(app: Flask, settings: Settings) -> None:
    """Add the headers. Lines that are streamed are never compressed, so that none is held back."""

    @app.after_request
    def _say(response: Response) -> Response:
        headers = response.headers
        for name, value in ALWAYS:
            if name not in headers:
                headers.add(name, value)
        return response

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
    if settings.compress_from:
        app.config.update(
            COMPRESS_MIMETYPES=list(_COMPRESSED),
            COMPRESS_ALGORITHM=["gzip"],
            COMPRESS_MIN_SIZE=settings.compress_from,
            COMPRESS_STREAMS=False,
        )
        Compress(app)
