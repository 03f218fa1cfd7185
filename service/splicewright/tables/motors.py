"""The fuse or breaker ahead of a motor, by its kind. Source: rulesets/tables/standard-devices.yaml.

What is asked for a code is a code edition such as `nfpa70-2023`.
"""

from __future__ import annotations

import functools
from fractions import Fraction

from splicewright.tables.conductors import largest_device
from splicewright.tables.loader import table


@functools.cache
def motor_devices() -> frozenset[str]:
    """Give the kinds of devices that the table of motors knows."""
    return frozenset(table("standard-devices").rows["motor_devices"])


def usual_motor_device(amperes: Fraction, device: str, code: str) -> Fraction:
    """Give the largest device of its kind that starts most motors of a full-load current: the next rating up."""
    percent: int = table("standard-devices").rows["motor_devices"][device]["percent"]
    return largest_device(amperes * Fraction(percent, 100), code)


def largest_motor_device(amperes: Fraction, device: str, code: str) -> Fraction:
    """Give the most that a device of its kind may be for a motor that does not start on less."""
    rows = table("standard-devices").rows["motor_devices"][device]["most"]
    percent = next(row["percent"] for row in rows if amperes <= row.get("to", amperes))
    return max(amperes * Fraction(percent, 100), usual_motor_device(amperes, device, code))
