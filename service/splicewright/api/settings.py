"""What the service may be told, each setting once: its name, what it may be, its default, what it does."""

from __future__ import annotations

import ipaddress
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from marshmallow import ValidationError
from marshmallow.fields import Field

from splicewright.strict_fields import Flag, Items, Number, Text, Word, about
from splicewright.strict_schema import Strict

_ORIGIN = re.compile(r"https?://[A-Za-z0-9.\-\[\]:]{1,250}\Z")
FORMATS = ("auto", "json", "text")
LEVELS = ("debug", "info", "warning", "error")


class Origin(Text):
    """Where a web page comes from: scheme, host and port."""

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        text = super()._deserialize(value, *args, **kwargs)
        if not _ORIGIN.match(text):
            raise ValidationError(f"{text!r} is no origin such as https://estimates.example; name each, `*` is none")
        return text


def _whole(least: int, most: int, text: str) -> Number:
    return Number(least, most, decimals=0, metadata=about(text))


class SettingsSchema(Strict):
    """The settings, in the order in which they are told."""

    host = Text(255, metadata=about("Address to listen on."))
    port = _whole(0, 65_535, "Port to listen on; 0 takes a free one.")
    rulesets = Text(4_000, metadata=about("Folder of rules and catalogues to answer from; else the shipped ones."))
    keys = Text(4_000, metadata=about("File of the keys that callers must have; none where left out."))
    open_to_anyone = Flag(metadata=about("Listen beyond this machine without keys: anyone who reaches it may ask."))
    open_metrics = Flag(metadata=about("Give /metrics without a key."))
    threads = _whole(1, 64, "Requests under way at once, in each process; of 1 a second thread is kept for short ones.")
    workers = _whole(1, 64, "Processes under gunicorn; `serve` is one process.")
    connections = _whole(10, 100_000, "Open connections of each process; further ones wait.")
    patience = _whole(
        1, 3_600, "Seconds for a client that sends or takes nothing, and for what is under way at a stop."
    )
    max_body = _whole(100, 1_000_000_000, "Longest body, in bytes.")
    max_job = _whole(100, 1_000_000_000, "Longest body of a whole job, in bytes.")
    max_batch = _whole(100, 10_000_000_000, "Longest body of lines (a batch), in bytes.")
    max_work = _whole(
        500_000, 1_000_000_000, "Work of one call, in counted pieces of about two microseconds; a batch's, by its line."
    )
    max_answer = _whole(1_000_000, 1_000_000_000, "Longest answer about a job, in bytes.")
    max_depth = _whole(8, 1_000, "Deepest nesting of lists and objects in a body.")
    cache = _whole(0, 100_000_000_000, "Bytes of answers kept in each process.")
    rate = Text(200, metadata=about("Most calls of one caller, such as `600/minute` or `20/second;5000/hour`."))
    rate_storage = Text(1_000, metadata=about("Where calls are counted; `memory://`: in each process by itself."))
    origins = Items(Origin(250), 0, 100, metadata=about("Origins of web pages that may call (CORS)."))
    proxies = _whole(0, 5, "Proxies in front, whose X-Forwarded-For tells who calls.")
    compress_from = _whole(0, 1_000_000_000, "Answers from this many bytes on are compressed for who asks; 0: none.")
    log_format = Word(FORMATS, metadata=about("Log lines; `auto` is text on a terminal and JSON elsewhere."))
    log_level = Word(LEVELS, metadata=about("What is logged at least."))
    log_requests = Flag(metadata=about("Log a line for each request."))


@dataclass(frozen=True)
class Settings:
    """What the service is told."""

    host: str = "127.0.0.1"
    port: int = 8000
    rulesets: str | None = None
    keys: str | None = None
    open_to_anyone: bool = False
    open_metrics: bool = False
    threads: int = 4
    workers: int = 2
    connections: int = 500
    patience: int = 60
    max_body: int = 1_000_000
    max_job: int = 20_000_000
    max_batch: int = 100_000_000
    max_work: int = 1_750_000
    max_answer: int = 30_000_000
    max_depth: int = 100
    cache: int = 64_000_000
    rate: str | None = None
    rate_storage: str = "memory://"
    origins: tuple[str, ...] = ()
    proxies: int = 0
    compress_from: int = 1_000
    log_format: str = "auto"
    log_level: str = "info"
    log_requests: bool = True

    @property
    def folder(self) -> Path | None:
        """The folder of rules and catalogues, where one is named."""
        return None if self.rulesets is None else Path(self.rulesets)


def declared() -> Mapping[str, Field[Any]]:
    """Give every setting's field, by its name."""
    found: Mapping[str, Field[Any]] = SettingsSchema().fields
    return found


def defaults() -> dict[str, Any]:
    """Give every setting's default, by its name."""
    return {field.name: field.default for field in fields(Settings)}


def reaches_beyond(host: str) -> bool:
    """Tell whether other machines may reach what listens on an address."""
    try:
        return not ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host != "localhost"


def exposed(settings: Settings) -> str | None:
    """Say what is wrong where anyone on the network could ask and nobody said that this is meant."""
    if settings.keys is not None or settings.open_to_anyone or not reaches_beyond(settings.host):
        return None
    return (
        f"{settings.host} can be reached from other machines, and no keys are asked for; name a file of keys "
        "(--keys FILE, or the setting `keys`), or say --open-to-anyone (`open_to_anyone`)"
    )
