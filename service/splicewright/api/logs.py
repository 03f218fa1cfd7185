"""The log: one line for each event, JSON for machines or text for a terminal. No line break of a stranger gets in."""

from __future__ import annotations

import logging
import sys
from typing import TextIO

from pythonjsonlogger.orjson import OrjsonFormatter

from splicewright.api.settings import Settings

#: Escapes what would move the cursor or begin a line.
_ESCAPED = {code: f"\\x{code:02x}" for code in (*range(32), *range(127, 160))} | {0x2028: "\\u2028", 0x2029: "\\u2029"}


class TextFormatter(logging.Formatter):
    """Lines for people."""

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)-7s %(message)s", "%H:%M:%S")

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 - the library's name
        """Write one line."""
        parts = getattr(record, "request", None)
        if isinstance(parts, dict):
            record.message = " ".join(str(part) for part in parts.values() if part is not None)
        record.message = record.message.translate(_ESCAPED)
        return super().formatMessage(record)


class JsonFormatter(OrjsonFormatter):
    """Lines for machines: the parts of a request stand beside the message."""

    def __init__(self) -> None:
        super().__init__(
            ["asctime", "levelname", "name", "message"],
            rename_fields={"asctime": "time", "levelname": "level", "name": "logger"},
            datefmt="%Y-%m-%dT%H:%M:%S%z",
        )

    def process_log_record(self, log_data: dict[str, object]) -> dict[str, object]:
        """Lay the parts of a request open."""
        parts = log_data.pop("request", None)
        if isinstance(parts, dict):
            log_data |= parts
        return log_data


def configure(settings: Settings, stream: TextIO | None = None) -> None:
    """Log to standard error as the settings say."""
    stream = stream or sys.stderr
    as_text = settings.log_format == "text" or (settings.log_format == "auto" and stream.isatty())
    handler = logging.StreamHandler(stream)
    handler.setFormatter(TextFormatter() if as_text else JsonFormatter())
    logging.basicConfig(level=settings.log_level.upper(), handlers=[handler], force=True)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a request that waits a moment is no news
