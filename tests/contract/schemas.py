"""The API's document as validators, for the answers of tests."""

from __future__ import annotations

import copy
import functools
from typing import Any

import jsonschema_rs

from splicewright.api.openapi import document

BASE = "urn:openapi"


def _closed(part: Any) -> Any:
    """Close every object that names its parts: an answer may gain parts later, but none that are not written down."""
    if isinstance(part, list):
        return [_closed(one) for one in part]
    if not isinstance(part, dict):
        return part
    found = {key: _closed(one) for key, one in part.items()}
    if found.get("type") == "object" and isinstance(found.get("properties"), dict):
        found.setdefault("additionalProperties", False)
    return found


@functools.cache
def strict_document() -> dict[str, Any]:
    """Give the document with every answer closed."""
    found = copy.deepcopy(document())
    schemas = found["components"]["schemas"]
    found["components"]["schemas"] = {
        name: _closed(schema) for name, schema in schemas.items() if name != "Document"
    } | {"Document": schemas["Document"]}
    return found


def validator(schema: dict[str, Any]) -> jsonschema_rs.Draft202012Validator:
    """Make a validator of a part of the document."""
    whole = {**schema, "components": strict_document()["components"]}
    return jsonschema_rs.Draft202012Validator(whole)


@functools.cache
def named(name: str) -> jsonschema_rs.Draft202012Validator:
    """Make a validator of a schema by its name."""
    return validator({"$ref": f"#/components/schemas/{name}"})


def faults(name: str, value: Any) -> list[str]:
    """Give what is wrong with a value by the schema of that name; of a tagged choice, by the one the tag names."""
    choice = document()["components"]["schemas"][name].get("discriminator")
    if choice and isinstance(value, dict) and value.get(choice["propertyName"]) in choice["mapping"]:
        name = choice["mapping"][value[choice["propertyName"]]].rpartition("/")[2]
    return [
        f"{'/'.join(map(str, error.instance_path))}: {error.message[:300]}" for error in named(name).iter_errors(value)
    ]


def response_schema(method: str, path: str, status: int, kind: str) -> dict[str, Any] | None:
    """Give the schema that the document has for a response; None where it has none."""
    found = document()["paths"][path][method.lower()]["responses"].get(str(status))
    if found and "$ref" in found:
        found = document()["components"]["responses"][found["$ref"].rpartition("/")[2]]
    schema: dict[str, Any] | None = ((found or {}).get("content") or {}).get(kind, {}).get("schema")
    return schema
