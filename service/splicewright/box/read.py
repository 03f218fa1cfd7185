"""From given values to a request about a box: refuse what is none, fill in defaults and note each of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from splicewright.box.model import GROUNDING, BoxRequest, Contents, Piece, Section, Wire
from splicewright.box.schema import BoxFillSchema, DeviceSchema, TerminalBlockSchema, WireSchema
from splicewright.box.volume import Volume, measured_volume
from splicewright.json_pointer import join
from splicewright.question.given import filled_in
from splicewright.question.read import UNSAID, Unsaid, load_taking
from splicewright.question.vocabulary import CODES
from splicewright.refusals import Problem, Refused, Says
from splicewright.strict_schema import defaults_of, made_once
from splicewright.tables.boxes import boxes_hold_for, free_length, standard_boxes, standard_material, standard_opening
from splicewright.units import Measured, Size, whole

#: What a box may be as a place of joints; the first where not given.
ENCLOSURES = ("box", "conduit-body")
_GROUPS = ("place", "circuit", "work")
_LAID_AS_GIVEN = ("amendments", "catalogue", "only")
_TOP, _WIRE = defaults_of(BoxFillSchema), defaults_of(WireSchema)


def read_box(given: Any, unsaid: Unsaid = UNSAID) -> BoxRequest:
    """Read a request. Raises `Refused` with every problem; the joints are not read here."""
    if not isinstance(given, Mapping):
        raise Refused([Problem("", Says("a box is an object with its wires", "wrong-type"))])
    found, given, read_as = load_taking(made_once(BoxFillSchema), given, unsaid.values["code"])
    assumed: dict[str, Any] = {}
    told_by: Mapping[str, str] = {}
    if unsaid is not UNSAID:
        found, assumed, told_by = unsaid.filled(found, needs_catalogue=bool(found.get("joints")))
    if wrong := list(_contradictions(found)):
        raise Refused(wrong)
    top = filled_in({key: found[key] for key in _TOP if key in found}, _TOP, "", assumed)
    box = found.get("box", {})
    wires = tuple(_wire(wire, join("/wires", at), assumed) for at, wire in enumerate(found["wires"]))
    largest = max(wire.size for wire in wires)
    contents = Contents(
        wires=wires,
        clamps=top["clamps"] == "internal",
        fittings=top["fittings"],
        devices=_pieces(found, "devices", defaults_of(DeviceSchema), largest, assumed),
        terminal_blocks=_pieces(found, "terminal_blocks", defaults_of(TerminalBlockSchema), largest, assumed),
    )
    return BoxRequest(
        id=found.get("id"),
        code=top["code"],
        catalogue=top["catalogue"],
        explain=top["explain"],
        include=tuple(found.get("include", ())),
        box=_section(box, _gangs(box, assumed)) if box else None,
        gangs=_gangs(box, assumed),
        opening=_opening(box),
        extensions=tuple(_section(extension, 1) for extension in found.get("extensions", ())),
        contents=contents,
        laid=_laid(given, found, top["code"], told_by),
        tags=tuple(found.get("tags", ())),
        joints=tuple(found.get("joints", ())),
        assumed=assumed,
        told_by=told_by,
        read_as=read_as,
    )


def _wire(given: Mapping[str, Any], pointer: str, assumed: dict[str, Any]) -> Wire:
    apart = given.get("role") == "isolated-grounding"
    one = filled_in(given, {**_WIRE, "isolated": apart}, pointer, assumed)
    lengths = {key: Measured(**given[key]) if key in given else None for key in ("free", "outside")}
    return Wire(**{**one, **lengths})


def _pieces(
    found: Mapping[str, Any], key: str, defaults: Mapping[str, Any], largest: Size, assumed: dict[str, Any]
) -> tuple[Piece, ...]:
    filled = [
        filled_in(one, {"largest": largest, **defaults}, join("", key, at), assumed)
        for at, one in enumerate(found.get(key, ()))
    ]
    return tuple(Piece(one["largest"], one["count"], one.get("gangs", 1)) for one in filled)


def _gangs(box: Mapping[str, Any], assumed: dict[str, Any]) -> int:
    if "name" not in box or not standard_boxes()[box["name"]].per_gang:
        return 0
    return int(filled_in(box, {"gangs": 1}, "/box", assumed)["gangs"])


def _section(given: Mapping[str, Any], gangs: int) -> Section:
    """Make a section of a standard box, a marked volume, or (where marked with more than the table's) both."""
    words = f"{given.get('name', '')}{f', {gangs} gangs' if gangs > 1 else ''}"
    if "volume" not in given:
        return Section(words, Volume(standard_boxes()[given["name"]].volume(max(1, gangs))), "boxes")
    value, unit = given["volume"]["value"], given["volume"]["unit"]
    words = words or f"marked {value} {unit}"
    return Section(words, measured_volume(value, unit), "marked", metric=unit == "cm3")


def _opening(box: Mapping[str, Any]) -> str:
    if "opening" in box:
        unit = box["opening"]["unit"]
        return "small" if box["opening"]["value"] < free_length(unit).opening_below else "large"
    return standard_opening() if "name" in box else "unknown"


def _laid(given: Mapping[str, Any], found: Mapping[str, Any], code: str, told_by: Mapping[str, str]) -> dict[str, Any]:
    """Give what lies under each joint: the code, what was given beside the box, and what the box says of the place."""
    laid: dict[str, Any] = {"code": code, **{key: given[key] for key in _LAID_AS_GIVEN if key in given}}
    laid |= {key: found[key] for key in _LAID_AS_GIVEN if any(at.startswith(f"/{key}") for at in told_by)}
    laid |= {group: dict(given[group]) for group in _GROUPS if group in given}
    place = laid.setdefault("place", {})
    place.setdefault("enclosure", ENCLOSURES[0])
    if "name" in found.get("box", {}):
        place.setdefault("box_material", standard_material())
    return laid


def _contradictions(found: Mapping[str, Any]) -> Iterator[Problem]:
    code = found.get("code", _TOP["code"])
    if not boxes_hold_for(code):
        codes = ", ".join(one for one in CODES if boxes_hold_for(one))
        yield Problem("/code", f"no box fill is entered for {code}; use one of: {codes}")
    yield from _of_the_box(found)
    for at, extension in enumerate(found.get("extensions", ())):
        if len(extension) != 1:
            says = (
                "has neither name nor volume; give one of them"
                if not extension
                else "gives name and volume; give one of them"
            )
            yield Problem(join("/extensions", at), says)
    for at, wire in enumerate(found["wires"]):
        yield from _of_a_wire(wire, join("/wires", at))


def _of_the_box(found: Mapping[str, Any]) -> Iterator[Problem]:
    box, place = found.get("box"), found.get("place", {})
    enclosure = place.get("enclosure", ENCLOSURES[0])
    if enclosure not in ENCLOSURES:
        yield Problem("/place/enclosure", f"is {enclosure}; box fill is reckoned for: {', '.join(ENCLOSURES)}")
    if box is None:
        return
    if "name" not in box:
        if "volume" not in box:
            yield Problem("/box", "has neither name nor volume; give one of them, or leave out the box")
        if "gangs" in box:
            yield Problem("/box/gangs", "is for standard boxes made by gangs; a marked volume holds for the whole box")
        return
    standard = standard_boxes()[box["name"]]
    if "gangs" in box and not standard.per_gang:
        says = "is for standard boxes made by gangs; write further sections of this one as extensions"
        yield Problem("/box/gangs", says)
    least = standard.volume(box.get("gangs", 1))
    if "volume" in box and measured_volume(**box["volume"]).in3 < least:
        says = f"is less than the {Volume(least)} that the table gives this box; leave out name or volume"
        yield Problem("/box/volume", says)
    if place.get("box_material", standard_material()) != standard_material():
        yield Problem("/place/box_material", f"is {place['box_material']}, but the box is of {standard_material()}")
    if enclosure != ENCLOSURES[0] and enclosure in ENCLOSURES:
        yield Problem("/place/enclosure", f"is {enclosure}, but the box is a standard box; give its marked volume only")


def _of_a_wire(one: Mapping[str, Any], pointer: str) -> Iterator[Problem]:
    path, role = one.get("path", "ends"), one.get("role", "ungrounded")
    if one.get("isolated") and role not in GROUNDING:
        yield Problem(join(pointer, "isolated"), f"is for equipment grounding conductors, but role is {role}")
    if role == "isolated-grounding" and one.get("isolated") is False:
        yield Problem(join(pointer, "isolated"), "is false, but role is isolated-grounding")
    if one.get("canopy") and path != "ends":
        yield Problem(join(pointer, "canopy"), f"is for wires that end in the box, but path is {path}")
    if "free" in one and path not in ("ends", "looped"):
        yield Problem(join(pointer, "free"), f"is for wires that end in the box or are looped, but path is {path}")
    if "outside" in one and path != "ends":
        yield Problem(join(pointer, "outside"), f"is for wires that end in the box, but path is {path}")


def shorter(length: Measured, limit: int) -> bool:
    """Say whether a length is below a limit in the same unit."""
    return whole(length.value, length.unit) < whole(limit, length.unit)
