"""Numbers of things in words."""

from __future__ import annotations


def counted(number: int, noun: str) -> str:
    """Write how many there are of a thing: `1 box`, `2 boxes`, `1,200 entries`."""
    return f"{number:,} {noun if number == 1 else plural(noun)}"


def plural(noun: str) -> str:
    """Write a noun for more than one: `entries` of `entry`."""
    if noun.endswith("y"):
        return f"{noun[:-1]}ies"
    return f"{noun}es" if noun.endswith("x") else f"{noun}s"
