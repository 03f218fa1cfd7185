"""Jobs as lines, for the tests beside this file."""

from __future__ import annotations

import orjson


def job(lines: int) -> bytes:
    """Give so many lines that ask about twenty joints, of which a quarter are none: their size has no unit."""
    sizes = ["14 AWG", "12 AWG", "10 AWG", "12"]
    made = (
        {"id": str(at), "joint": {"conductors": [{"size": sizes[at * 7 % 4], "count": 1 + at % 5}]}}
        for at in range(lines)
    )
    return b"".join(orjson.dumps(one) + b"\n" for one in made)
