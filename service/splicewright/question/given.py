"""What is done with parts as they were given, whatever they are parts of."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from splicewright.json_pointer import join
from splicewright.units import Size

_LONGEST_ID = 100


def id_of(given: Any) -> str | None:
    """Give the id of what was to be a question, box or job; None where it has none that an answer could give back."""
    found = given.get("id") if isinstance(given, Mapping) else None
    usable = isinstance(found, str) and len(found) <= _LONGEST_ID and not any("\ud800" <= c <= "\udfff" for c in found)
    return found if usable else None


def laid_under(given: Mapping[str, Any], defaults: Mapping[str, Any]) -> tuple[dict[str, Any], set[str]]:
    """Lay defaults under what was given, leaf by leaf, and give the pointers of what was laid.

    A quantity with its unit is one leaf. A part that is given and is no map stays as it is.
    """
    found, pointers = dict(given), set[str]()
    for part, laid in defaults.items():
        if part not in given:
            found[part] = dict(laid) if isinstance(laid, Mapping) else laid
            pointers.add(join("", part))
        elif isinstance(laid, Mapping) and isinstance(given[part], Mapping):
            found[part] = {**laid, **given[part]}
            pointers |= {join("", part, leaf) for leaf in laid if leaf not in given[part]}
    return found, pointers


def tagged(given: Mapping[str, Any], tags: Sequence[str]) -> Mapping[str, Any]:
    """Add tags of what a question is in to those of its joint; where these can't be read, it stays as it is."""
    joint = given.get("joint")
    own = joint.get("tags") if isinstance(joint, Mapping) else None
    if not tags or not isinstance(joint, Mapping) or not isinstance(own, list | None):
        return given
    return {**given, "joint": {**joint, "tags": [*(own or ()), *(tag for tag in tags if tag not in (own or ()))]}}


def filled_in(
    given: Mapping[str, Any],
    defaults: Mapping[str, Any],
    pointer: str,
    assumed: dict[str, Any],
    told: Collection[str] | None = None,
) -> dict[str, Any]:
    """Fill defaults in, and note each that was taken in `assumed`, under its pointer; of some keys only with `told`."""
    for key, value in defaults.items():
        if key not in given and (told is None or key in told):
            assumed[join(pointer, key)] = str(value) if isinstance(value, Size) else value
    return {**defaults, **given}
