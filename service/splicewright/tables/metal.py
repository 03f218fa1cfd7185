"""The metal of a conductor as listings count it: circular mils or square millimetres by the code's table."""

from __future__ import annotations

import functools
from fractions import Fraction

from splicewright.tables.loader import table
from splicewright.units import MM2_PER_KCMIL, Size


@functools.lru_cache(maxsize=1024)
def metal_of(size: Size, unit: str) -> Fraction:
    """Give how much metal a conductor has, in `mm2` or `cmil`.

    A gauge of the table has its printed figure, a size in kcmil or mm2 what it is called by, any other by its area.
    """
    row = table("conductor-metal").rows["gauges"].get(size.text)
    if row is not None:
        return Fraction(str(row[unit]))
    value, of = size.text.split(" ")
    if of == "kcmil":
        cmil = Fraction(value) * 1000
        return cmil if unit == "cmil" else cmil * MM2_PER_KCMIL / 1000
    mm2 = Fraction(value) if of == "mm2" else Fraction(size.area, 10**6)
    return mm2 if unit == "mm2" else mm2 * 1000 / MM2_PER_KCMIL
