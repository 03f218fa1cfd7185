"""Keys: who may call. A key is a secret text; the file of keys holds its SHA-256 digest only.

keys:
- name: estimating-suite
sha256: (64 characters, as `splicewright key` prints them)
scopes: [ask]
expires: 2027-06-30        # left out: never; the key holds through this day, UTC
"""

from __future__ import annotations

import datetime as dt
import hashlib
import hmac
import re
import secrets
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from flask import Request
from marshmallow import ValidationError
from marshmallow.fields import Nested
from werkzeug.exceptions import Forbidden, MethodNotAllowed, Unauthorized

from splicewright.document import Document
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join
from splicewright.refusals import Problem, Refused
from splicewright.strict_fields import Items, Text, Words
from splicewright.strict_schema import Strict, load
from splicewright.yaml_text import read_data_file

ASK, TRY, ADMIN = "ask", "try", "admin"
SCOPES = (ASK, TRY, ADMIN)
#: Paths that need no key: whether the service is well, how it is called, and the page to ask on, which sends the key
#: that is typed there. All others ask for the scope `ask`.
OPEN = frozenset(
    {
        "/",
        "/page/<name>",
        "/health/live",
        "/health/ready",
        "/openapi.json",
        "/docs",
        "/docs/<name>",
        "/problems",
        "/problems/<name>",
    }
)
#: Paths that ask for the scope `admin`.
FOR_ADMIN = frozenset({"/v1/reload", "/metrics"})
#: Paths that ask for the scope `try`: what is sent there is compiled.
FOR_TRIALS = frozenset({"/v1/trials"})
_LONGEST = 200  # characters of a key
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}\Z")
_DIGEST = re.compile(r"[0-9a-f]{64}\Z")
#: Digests of texts that anyone guesses; the first once stood in the documentation as an example, and opened every
#: service whose file of keys was copied from it.
_GUESSED = frozenset(hashlib.sha256(text.encode()).hexdigest() for text in ("test", "", "key", "secret", "password"))


class _Name(Text):
    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        text = super()._deserialize(value, *args, **kwargs)
        if not _NAME.match(text):
            raise ValidationError("may hold letters, digits, dots, dashes and underscores only")
        return text


class _Digest(Text):
    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        text = super()._deserialize(value, *args, **kwargs)
        if not _DIGEST.match(text):
            raise ValidationError(
                "is no SHA-256 digest: 64 of the characters 0-9 and a-f; `splicewright key` makes one"
            )
        if text in _GUESSED:
            raise ValidationError("is the digest of a text that anyone guesses; `splicewright key` makes a key")
        return text


class _Day(Text):
    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        text = super()._deserialize(value, *args, **kwargs)
        try:
            return dt.date.fromisoformat(text)
        except ValueError:
            raise ValidationError(f"{text!r} is not a day such as 2027-06-30") from None


class KeySchema(Strict):
    """One key."""

    name = _Name(64, required=True)
    sha256 = _Digest(64, required=True)
    scopes = Words(SCOPES, least=1, required=True)
    expires = _Day(10)


class KeysSchema(Strict):
    """A file of keys."""

    keys = Items(Nested(KeySchema), 1, 10_000, required=True)


class NoKey(Unauthorized):
    """A call without a key that holds."""

    def __init__(self, *, sent: bool) -> None:
        self._error = ', error="invalid_token"' if sent else ""
        super().__init__("this key is not known or has expired" if sent else "send a key: `Authorization: Bearer …`")

    def get_headers(self, *args: Any, **kwargs: Any) -> list[tuple[str, str]]:
        """Say how to send a key; the library's own way leaves out quotes that the standard asks for."""
        return [
            *super().get_headers(*args, **kwargs),
            ("WWW-Authenticate", f'Bearer realm="splicewright"{self._error}'),
        ]


@dataclass(frozen=True, slots=True)
class Key:
    """Who may call, and what."""

    name: str
    digest: bytes
    scopes: frozenset[str]
    expires: dt.date | None = None

    def holds(self, today: dt.date) -> bool:
        """Tell whether the key has not expired."""
        return self.expires is None or today <= self.expires


class Keys:
    """The keys of a file. Safe to share between threads."""

    def __init__(self, path: Path) -> None:
        """Read the file. Raises `Faults`."""
        self._path = path
        self._keys = read_keys(path)

    def reload(self) -> None:
        """Read the file anew; where that fails the keys in use stay. Raises `Faults`."""
        self._keys = read_keys(self._path)

    def find(self, token: str) -> Key | None:
        """Find the key that a token is, expired ones left out. Takes as long for any token."""
        digest = _digest(token)
        found: Key | None = None
        for key in self._keys:
            if hmac.compare_digest(key.digest, digest):
                found = key
        return found if found is not None and found.holds(dt.datetime.now(dt.UTC).date()) else None

    def of(self, authorization: str) -> Key | None:
        """Find the key that a header Authorization holds."""
        kind, _, token = authorization.partition(" ")
        token = token.strip()
        return self.find(token) if kind.lower() == "bearer" and 0 < len(token) <= _LONGEST else None


def needed_scope(rule: str) -> str | None:
    """Give the scope that a path asks for, as it is routed; None where it is open."""
    if rule in OPEN:
        return None
    if rule in FOR_TRIALS:
        return TRY
    return ADMIN if rule in FOR_ADMIN else ASK


def read_keys(path: Path, file: Path | None = None) -> tuple[Key, ...]:
    """Read a file of keys. Raises `Faults`, told under the name `file` where `path` is a copy of it."""
    file = file or path
    try:
        document = read_data_file(path.read_bytes(), str(file))
    except OSError as error:
        raise Faults([Fault(str(file), 0, "", str(error.strerror))]) from None
    try:
        return tuple(_keys(document))
    except Refused as error:
        raise document.faults(error.problems) from None


def _keys(document: Document) -> list[Key]:
    given = load(KeysSchema(), document.value)["keys"]
    twice = []
    for part in ("name", "sha256"):
        counts = Counter(one[part] for one in given)
        twice += [
            Problem(join("/keys", at, part), "stands in another key too")
            for at, one in enumerate(given)
            if counts[one[part]] > 1
        ]
    if twice:
        raise Refused(twice)
    return [Key(one["name"], one["sha256"].encode(), frozenset(one["scopes"]), one.get("expires")) for one in given]


def _digest(token: str) -> bytes:
    return hashlib.sha256(token.encode("utf-8", "surrogateescape")).hexdigest().encode()


def new_key() -> tuple[str, str]:
    """Make a key: the text to give to the caller, and its digest for the file."""
    token = "splicewright_" + secrets.token_urlsafe(32)
    return token, _digest(token).decode()


class Guard:
    """Asks for a key at every path that is not open."""

    def __init__(self, keys: Keys, *, open_metrics: bool) -> None:
        """Ask for one of these keys."""
        self._keys = keys
        self._opened = OPEN | ({"/metrics"} if open_metrics else set())

    def key_of(self, environ: Mapping[str, Any]) -> Key | None:
        """Give the key of a request, where it has one that holds."""
        return self._keys.of(environ.get("HTTP_AUTHORIZATION", ""))

    def check(self, request: Request, key: Key | None) -> None:
        """Raise 401 or 403 where a request lacks the key that its path takes."""
        path = _asked_path(request)
        if path in self._opened or request.method == "OPTIONS":  # a browser asks first whether it may send a key
            return
        needed = needed_scope(path) or ASK
        if key is None:
            raise NoKey(sent="HTTP_AUTHORIZATION" in request.environ)
        if needed not in key.scopes:
            raise Forbidden(f"the key {key.name} may not do this; it takes one with the scope `{needed}`")


def _asked_path(request: Request) -> str:
    if request.url_rule is not None:
        return str(request.url_rule.rule)
    # An open path is told what it takes, also where it is asked by another method.
    return request.path if isinstance(request.routing_exception, MethodNotAllowed) else ""
