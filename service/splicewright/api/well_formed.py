"""What no request may be, whichever server takes it: what two servers could read as two different requests."""

from __future__ import annotations

import re
from collections.abc import Sequence

_HOST = re.compile(r"[A-Za-z0-9._~!$&'()*+;=%:\[\]-]{0,255}\Z")


def malformed(
    version: tuple[int, int], target: str, hosts: Sequence[str], codings: Sequence[str], *, measured: bool
) -> str | None:
    """Say what is wrong with the head of a request, or nothing; never what was sent, which may hold a key.

    `codings` are the values of its headers Transfer-Encoding; `measured` tells whether it has a Content-Length.
    """
    wrong = {
        "only HTTP/1.0 and HTTP/1.1 are spoken here": version not in ((1, 0), (1, 1)),
        "send one header Host": len(hosts) > 1 or (not hosts and version == (1, 1)),
        "the header Host names no host": not all(map(_HOST.match, hosts)),
        "the address begins with two slashes": target.startswith("//"),
        "Transfer-Encoding stands beside Content-Length, or in HTTP/1.0": codings and (measured or version == (1, 0)),
        "a body may be sent in chunks, and in no other transfer coding": codings
        and [one.strip(" \t").lower() for one in codings] != ["chunked"],
    }
    return next((says for says, holds in wrong.items() if holds), None)
