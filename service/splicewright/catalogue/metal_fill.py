"""How a joint stands in a listing by total metal: so many conductors, of sizes from one to another, so much in all.

A total is summed in the unit of the listing, by the figures that the code's table has for each gauge: what cartons say
was reckoned with those. A conductor of the other system of sizes than the listing's is bracketed by the ends of the
sizes, as in a port.
"""

from __future__ import annotations

from fractions import Fraction

from splicewright.catalogue.fill import Fill, comfort, refused
from splicewright.catalogue.model import Shape
from splicewright.catalogue.takes import Metal
from splicewright.tables.metal import metal_of
from splicewright.units import METAL_UNITS, Measured, plain

_STEPS = 1000  # of a unit: the finest that a listing has, and the table


class MetalFill:
    """Judges joints by one total of metal."""

    def __init__(self, listed: Metal) -> None:
        """Reckon its ends in the unit that it is summed in."""
        self._listed, self._text = listed, str(listed)
        self._unit = METAL_UNITS[listed.least.unit][0]
        self._least, self._most = _summed(listed.least), _summed(listed.most)

    def __call__(self, shape: Shape) -> Fill | None:
        """Judge a joint. None where conductors of one of its kinds are not taken."""
        listed = self._listed
        if shape.mask & ~listed.kinds:
            return None
        metal = sum((metal_of(part.size, self._unit) * part.count for part in shape.parts), Fraction(0))
        return self._over_filled(shape, metal) or self._under_filled(shape, metal) or self._fits(shape, metal)

    def _over_filled(self, shape: Shape, metal: Fraction) -> Fill | None:
        listed, thick = self._listed, shape.parts[0]
        if shape.count > listed.utmost:
            return refused("too-many", f"{shape.counted}; at most {listed.utmost} are listed")
        if thick.area > listed.thickest.area:
            return refused("too-large", f"{thick.size}; {listed.thickest} is the largest listed")
        if metal > self._most:
            return refused("too-large", f"{self._total(shape, metal)}; at most {listed.most} of metal is listed")
        return None

    def _under_filled(self, shape: Shape, metal: Fraction) -> Fill | None:
        listed, thin = self._listed, shape.parts[-1]
        if shape.count < listed.fewest:
            return refused("too-few", f"{shape.counted}; at least {listed.fewest} are listed")
        if thin.area < listed.thinnest.area:
            return refused("too-small", f"{thin.size}; {listed.thinnest} is the smallest listed")
        if metal < self._least:
            return refused("too-small", f"{self._total(shape, metal)}; at least {listed.least} of metal is listed")
        return None

    def _fits(self, shape: Shape, metal: Fraction) -> Fill:
        listed = self._listed
        ease = comfort(*(int(one * _STEPS) for one in (metal, self._least, self._most)))
        if any(part.size.system != listed.thinnest.system for part in shape.parts):
            return Fill("bracketed", between=(listed.thinnest.text, listed.thickest.text), comfort=ease)
        return Fill("listed", listing=self._text, comfort=ease)

    def _total(self, shape: Shape, metal: Fraction) -> str:
        return f"{shape.text}, {plain(round(float(metal), 3))} {self._unit} in all"


def _summed(amount: Measured) -> Fraction:
    return Fraction(str(amount.value)) * METAL_UNITS[amount.unit][1]
