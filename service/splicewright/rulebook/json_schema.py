"""The formats of rule files and amendments as JSON Schemas for editors, made of what reads them.

They tell no less than is taken. What one part says of another (a near miss that is none, a place in a sentence that has
no value), which sizes and quantities there are, and which rule an amendment names, only reading tells.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from marshmallow import Schema, fields

from splicewright.codes import codes
from splicewright.question.fact_kinds import CONDUCTOR_LEAVES, SINGLE_LEAVES, FactKind, fact_kinds
from splicewright.question.leaf import leaves_of
from splicewright.question.model import Circuit, Conductor, Joint, Place, Work
from splicewright.question.schema import QuestionSchema
from splicewright.question.vocabulary import MAKE_UP_FIGURES, METHODS, PHASES, PROPOSED, PROVES, SIGNS
from splicewright.rulebook.amendment_files import EVERY_CODE, AmendmentSchema, AuthorityField, AuthoritySchema
from splicewright.rulebook.attributes import ATTRIBUTES
from splicewright.rulebook.comparisons import BARE_NUMBERS, ORDERED, SINGLE_GROUPS
from splicewright.rulebook.effects import EFFECTS, STRENGTHS, VERDICTS
from splicewright.rulebook.model import IF_STATED
from splicewright.rulebook.proposals import CONNECTOR, FIGURES
from splicewright.rulebook.schema import ID, RulesetSchema, SourceField, SourceSchema, Worded
from splicewright.strict_fields import TAG_PATTERN, Items, Text, Word

Plain = dict[str, Any]
_TEXT: Plain = {"type": "string"}
_TRUE: Plain = {"const": True}
_CONDITION = r"^[a-z][a-z0-9]*([-_][a-z0-9]+)*$"
_SAYING = r"[^\s-]"  # something beside blanks and strokes
_PHRASE = "^" + ID.pattern.removesuffix(r"\Z") + "$"
_PARTS: Mapping[str, type] = {
    "joint": Joint, "conductor": Conductor, "place": Place, "circuit": Circuit, "work": Work,
}  # fmt: skip
_GIVEN: Plain = {part: {"$ref": f"#/$defs/given-{part}"} for part in _PARTS}


def rules_json_schema() -> Plain:
    """Give the JSON Schema of a rule file of a code or of practice."""
    return _file(RulesetSchema(), "Rules of a code edition, or of practice")


def amendment_json_schema() -> Plain:
    """Give the JSON Schema of a file that amends a code."""
    return _file(AmendmentSchema(), "Rules laid over a code: of a county, or of a house")


def _file(schema: Schema, title: str) -> Plain:
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
        **_map(schema),
        "$defs": {
            **{group: _tests(group) for group in (*SINGLE_GROUPS, "conductor")},
            "listing": _map_of({name: _of_listing(kind) for name, kind in ATTRIBUTES.items()}, least=1),
            "fact": {**_map_of({"fact": _word(fact_kinds())}), "required": ["fact"]},
            "methods": _one_or_several(_word(METHODS)),
            **{f"given-{part}": _given_part(part, of) for part, of in _PARTS.items()},
            "question": _map_of({**_GIVEN, "proposal": {"type": "object"}, **_rest_of_question()}),
            "change": _map_of({**_GIVEN, "split": _TRUE, "do": _TEXT}, least=1),
        },
    }


# --- maps of schema fields -----------------------------------------------------------------------


def _map(schema: Schema) -> Plain:
    required = [key for key, field in schema.fields.items() if field.required]
    found = _map_of({key: _field(key, field) for key, field in schema.fields.items()})
    if set(EFFECTS) <= set(schema.fields):
        found["oneOf"] = [{"required": [effect]} for effect in EFFECTS]
    return {**found, "required": required} if required else found


def _field(key: str, field: fields.Field[Any]) -> Plain:
    if isinstance(field, SourceField | AuthorityField | fields.Nested):
        return _inner(field)
    if isinstance(field, fields.List):
        items = _ref("question") if isinstance(field.inner, fields.Dict) else _field(key, field.inner)
        bounds = {"maxItems": field.most} if isinstance(field, Items) else {}
        return {"type": "array", "items": items, **bounds, **({"minItems": 1} if key == "fires" else {})}
    if isinstance(field, Word):
        return _word(field.words)
    if isinstance(field, Text):
        pattern = _PHRASE if key == "id" else _SAYING if isinstance(field, Worded) else None
        return {"type": "string", "maxLength": field.longest, **({"pattern": pattern} if pattern else {})}
    return _RAW[key]()


def _inner(field: fields.Field[Any]) -> Plain:
    if isinstance(field, SourceField):
        return {"oneOf": [{"const": "common-practice"}, _map(SourceSchema())]}
    return _map(field.schema if isinstance(field, fields.Nested) else AuthoritySchema())


def _map_of(properties: Plain, *, least: int = 0) -> Plain:
    found = {"type": "object", "additionalProperties": False, "properties": properties}
    return {**found, "minProperties": least} if least else found


def _word(words: Iterable[str]) -> Plain:
    return {"enum": list(words)}


def _one_or_several(one: Plain) -> Plain:
    return {"anyOf": [one, {"type": "array", "items": one, "minItems": 1}]}


def _ref(name: str) -> Plain:
    return {"$ref": f"#/$defs/{name}"}


# --- what a rule tests ---------------------------------------------------------------------------


def _when() -> Plain:
    of_condition = {
        "type": "object",
        "minProperties": 1,
        "maxProperties": 1,
        "propertyNames": {"pattern": _CONDITION},
        "additionalProperties": _one_or_several(_TEXT),
    }
    patterns = {**{group: _ref(group) for group in (*SINGLE_GROUPS, "conductor")}, "condition": of_condition}
    one = {**_map_of(patterns, least=1), "maxProperties": 1}
    return {"anyOf": [{"const": "always"}, {"type": "array", "items": one, "minItems": 1}]}


def _tests(group: str) -> Plain:
    kinds = {name.partition(".")[2]: kind for name, kind in fact_kinds().items() if name.startswith(f"{group}.")}
    return _map_of({leaf: _described(kind, _of_fact(kind)) for leaf, kind in kinds.items()}, least=1)


def _described(kind: FactKind, found: Plain) -> Plain:
    return {"description": kind.about, **found} if kind.about else found


def _of_fact(kind: FactKind) -> Plain:
    value = _value(kind)
    compared = _one_or_several(value)
    if kind.kind == "words":
        return {"anyOf": [*compared["anyOf"], {**_map_of({"includes": compared}, least=1)}]}
    operators = ("other-than",) if kind.kind in ("word", "flag") else (*ORDERED, "other-than")
    return {"anyOf": [*compared["anyOf"], _map_of(dict.fromkeys(operators, value), least=1)]}


def _value(kind: FactKind) -> Plain:
    if kind.kind == "flag":
        return {"type": "boolean"}
    if kind.kind in ("word", "words"):
        return {"type": "string", "pattern": TAG_PATTERN} if kind.open else _word(kind.words)
    if kind.kind == "count":
        return {"type": "integer"}
    return {"type": ["string", "number"]} if kind.kind in BARE_NUMBERS else _TEXT


def _of_listing(kind: FactKind) -> Plain:
    value = {"anyOf": [_value(kind), _ref("fact")]}
    several = {"anyOf": [{"type": "array", "items": _value(kind), "minItems": 1}, _ref("fact")]}
    if kind.kind == "words":
        tests = {"includes": value, "includes-any": several, "includes-all": several}
        return _described(kind, _map_of(tests, least=1))
    operators = ("other-than",) if kind.kind in ("word", "flag") else (*ORDERED, "other-than", IF_STATED)
    compared = _map_of(dict.fromkeys(operators, value), least=1)
    return _described(kind, {"anyOf": [*_one_or_several(_value(kind))["anyOf"], compared]})


def _excuses() -> Plain:
    entry = {**{group: _ref(group) for group in (*SINGLE_GROUPS, "conductor")}, "because": _TEXT}
    return {"type": "array", "items": {**_map_of(entry, least=2), "required": ["because"]}, "minItems": 1}


# --- what a rule does ----------------------------------------------------------------------------


def _conclude() -> Plain:
    words = {"type": "string", "pattern": _CONDITION}
    bounds = {"minProperties": 1, "maxProperties": 1, "propertyNames": {"pattern": _CONDITION}}
    return {"type": "object", **bounds, "additionalProperties": words}


def _bar() -> Plain:
    return {"anyOf": [{"const": "joint"}, {**_map_of({"method": _ref("methods")}), "required": ["method"]}]}


def _prefer() -> Plain:
    return {**_map_of(dict.fromkeys(STRENGTHS, _ref("listing")), least=1), "maxProperties": 1}


def _step() -> Plain:
    listed = _map_of({"listing": _word(MAKE_UP_FIGURES), "one_for_all": _ref("methods")})
    keys = {
        "phase": _word(PHASES),
        "methods": _ref("methods"),
        "do": _TEXT,
        "value": {"anyOf": [_TEXT, {**listed, "required": ["listing"]}]},
        "proves": _word(PROVES),
        "unless": _ref("listing"),
    }
    return {**_map_of(keys), "required": ["phase", "do"]}


def _defect() -> Plain:
    said = {**_map_of({word: {"type": "boolean"} for word in PROPOSED}, least=1), "maxProperties": 1}
    keys = {
        "sign": _word(SIGNS),
        "said": {"anyOf": [_word(PROPOSED), said]},
        "methods": _ref("methods"),
        "unless": _ref("listing"),
    }
    return {**_map_of(keys), "oneOf": [{"required": ["sign"]}, {"required": ["said"]}]}


def _ask() -> Plain:
    return {**_map_of({"for": _word((CONNECTOR, *PROPOSED)), "methods": _ref("methods")}), "required": ["for"]}


def _tolerance() -> Plain:
    keys = {"of": _word(FIGURES), "within": _TEXT, "methods": _ref("methods")}
    return {**_map_of(keys), "required": ["of", "within"]}


def _amends() -> Plain:
    return _one_or_several(_word((*codes().offered(), *codes().by_name, EVERY_CODE)))


_RAW: Mapping[str, Callable[[], Plain]] = {
    "when": _when,
    "excuses": _excuses,
    "conclude": _conclude,
    "demand": lambda: _ref("listing"),
    "bar": _bar,
    "refer": lambda: _TRUE,
    "refuse": lambda: {**_map_of({"fill": _word(VERDICTS)}), "required": ["fill"]},
    "prefer": _prefer,
    "step": _step,
    "caution": lambda: _TRUE,
    "defect": _defect,
    "ask": _ask,
    "tolerance": _tolerance,
    "remedies": lambda: {"type": "array", "items": _ref("change")},
    "editions": lambda: {"type": ["string", "integer"]},
    "edition": lambda: {"type": ["string", "integer"]},
    "through": lambda: {"type": ["string", "integer"]},
    "amends": _amends,
}


# --- questions of examples, and changes to them --------------------------------------------------


def _given_part(part: str, of: type) -> Plain:
    known = {**SINGLE_LEAVES, **CONDUCTOR_LEAVES}
    return _map_of({leaf: _given(known.get(f"{part}.{leaf}")) for leaf in _leaves(part, of)}, least=1)


def _leaves(part: str, of: type) -> list[str]:
    return [*leaves_of(of), *(["conductors"] if part == "joint" else [])]


def _given(kind: FactKind | None) -> Plain:
    """Tell what a leaf is given as; of figures only reading tells it."""
    if kind is None or kind.kind not in ("word", "words", "flag"):
        return {}
    found = _value(kind)
    return _described(kind, _one_or_several(found) if kind.kind == "words" else found)


def _rest_of_question() -> Plain:
    return {key: {} for key in QuestionSchema().fields if key not in _PARTS}
