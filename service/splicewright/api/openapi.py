"""The API's OpenAPI 3.1 document, made from what its views declare.

python -m splicewright.api.openapi > openapi/openapi.yaml
"""

from __future__ import annotations

import functools
import re
import sys
from collections.abc import Iterator, Mapping
from http import HTTPStatus
from typing import Any

import yaml
from apispec import APISpec

from splicewright.api import responses
from splicewright.api.api_prose import ABOUT, TAGS, VERSION
from splicewright.api.examples import Example, examples
from splicewright.api.json_schema import Converter, Plugin, schema_name
from splicewright.api.operations import JSON, OPERATIONS, Operation, Shape
from splicewright.api.shapes.errors import ProblemShape
from splicewright.api.shapes.fields import OneOf

_PART = re.compile(r"<(?:[a-z]+:)?([a-z_]+)>")


@functools.cache
def document() -> dict[str, Any]:
    """Give the whole document."""
    from splicewright.api.resources import BLUEPRINTS  # noqa: PLC0415 - one of them serves this document

    plugin = Plugin(schema_name_resolver=schema_name)
    spec = APISpec(
        "splicewright",
        VERSION,
        "3.1.0",
        plugins=[plugin],
        info={"description": ABOUT, "summary": "Which splice method, for these conductors, here, and why."},
        servers=[{"url": "/"}],
        security=responses.SECURITY,
        tags=[{"name": name, "description": about} for name, about in TAGS.items()],
    )
    converter = plugin.converter
    assert isinstance(converter, Converter)
    spec.components.security_scheme(
        "key",
        {
            "type": "http",
            "scheme": "bearer",
            "description": (
                "A key of the server's operator. A server on your own machine may ask for none. A key has scopes: "
                "`ask` for most calls, `admin` for those of the operator."
            ),
        },
    )
    responses.describe(spec, _shape(converter, ProblemShape))
    for one in (one for blueprint in BLUEPRINTS for one in OPERATIONS.get(blueprint.name, ())):
        spec.path(path=_PART.sub(r"{\1}", one.path), operations={one.method.lower(): _operation(one, converter)})
    found: dict[str, Any] = spec.to_dict()
    return found


def _operation(operation: Operation, converter: Converter) -> dict[str, Any]:
    own = [example for example in examples() if example.operation == operation.id]
    found: dict[str, Any] = {
        "operationId": operation.id,
        "tags": [operation.tag],
        "summary": operation.summary,
        "description": operation.about,
        **responses.security(operation),
    }
    parameters = list(_parameters(operation, converter, own))
    if parameters:
        found["parameters"] = parameters
    if operation.asks:
        found["requestBody"] = {
            "required": True,
            "content": {
                kind: _content(_shape(converter, shape), kind, {e.name: e.of_question() for e in own if e.kind == kind})
                for kind, shape in operation.asks.items()
            },
        }
    good = [example for example in own if example.status == HTTPStatus.OK]
    answer: dict[str, Any] = {
        "description": "The answer.",
        "content": {
            kind: _content(_shape(converter, shape), kind, {e.name: e.of_answer() for e in good if e.gives == kind})
            for kind, shape in operation.gives.items()
        },
    }
    found["responses"] = responses.responses(operation, answer)
    return found


def _parameters(operation: Operation, converter: Converter, own: list[Example]) -> Iterator[dict[str, Any]]:
    for name, about in operation.paths.items():
        seen = next((example.paths[name] for example in own if name in example.paths), None)
        example = {} if seen is None else {"example": seen}
        yield {
            "in": "path",
            "name": name,
            "required": True,
            "description": about,
            "schema": {"type": "string"},
            **example,
        }
    for name, field in operation.query().fields.items():
        schema = dict(converter.field2property(field))
        about = schema.pop("description", "")
        yield {"in": "query", "name": name, "required": False, "description": about, "schema": schema}


def _shape(converter: Converter, shape: Shape) -> dict[str, Any]:
    found: dict[str, Any] = (
        converter.choice(shape) if isinstance(shape, OneOf) else converter.resolve_nested_schema(shape)
    )
    return found


def _content(schema: Mapping[str, Any], kind: str, told: Mapping[str, Any]) -> dict[str, Any]:
    """Describe a body. A body of lines is text, each of whose lines has the schema."""
    written = (
        dict(schema) if kind == JSON else {"type": "string", "contentMediaType": kind, "contentSchema": dict(schema)}
    )
    return {"schema": written, **({"examples": dict(told)} if told else {})}


def as_yaml() -> str:
    """Write the document as it stands in `openapi/openapi.yaml`."""
    head = "# Written by `python -m tests.contract.examples`; not by hand.\n"
    # Without a style of its own, what holds only words and numbers goes on one line.
    return head + yaml.dump(
        document(), Dumper=_Plain, sort_keys=False, allow_unicode=True, width=110, default_flow_style=None
    )


class _Plain(yaml.CSafeDumper):
    """Writes every part out, without anchors, and text of several lines as it stands."""

    def ignore_aliases(self, _data: Any) -> bool:
        return True


def _text(dumper: _Plain, text: str) -> yaml.Node:
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None)


_Plain.add_representer(str, _text)


if __name__ == "__main__":
    sys.stdout.write(as_yaml())
