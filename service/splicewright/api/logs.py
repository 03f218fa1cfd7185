"""The log: one line for each event, JSON for machines or text for a terminal. No line break of a stranger gets in."""

from __future__ import annotations

import logging
import sys
from typing import TextIO

import orjson

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


class JsonFormatter(logging.Formatter):
    """Lines for machines: the parts of a request stand beside the message."""

    def __init__(self) -> None:
        super().__init__(datefmt="%Y-%m-%dT%H:%M:%S%z")

    def format(self, record: logging.LogRecord) -> str:
        """Write one line."""
        told: dict[str, object] = {
            "time": self.formatTime(record, self.datefmt),
            "level": record.levelname,
            "logger": record.name,
            "message": record.getMessage().encode("utf-8", "backslashreplace").decode(),
        }
        parts = getattr(record, "request", None)
        if isinstance(parts, dict):
            told |= parts
        if record.exc_info:
            told["exc_info"] = self.formatException(record.exc_info)
        return orjson.dumps(told, default=str).decode()


def configure(settings: Settings, stream: TextIO | None = None) -> None:
    """Log to standard error as the settings say."""
    stream = stream or sys.stderr
    as_text = settings.log_format == "text" or (settings.log_format == "auto" and stream.isatty())
    handler = logging.StreamHandler(stream)
    handler.setFormatter(TextFormatter() if as_text else JsonFormatter())
    # No line tells these, and to look them up for each costs as much as to write it.
    logging.logThreads = logging.logProcesses = logging.logMultiprocessing = False
    logging.basicConfig(level=settings.log_level.upper(), handlers=[handler], force=True)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a request that waits a moment is no news
