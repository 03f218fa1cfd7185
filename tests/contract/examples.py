"""Answers the worked calls of `openapi/examples/calls` anew, and writes them and the API's document down.

    python -m tests.contract.examples

Run it where rules, catalogue or contract changed, and read the difference: it is what callers will see.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlsplit

import orjson
import yaml
from flask import Flask
from werkzeug.test import TestResponse

from splicewright import shipped
from splicewright.api import openapi
from splicewright.api.app import create_app
from splicewright.api.examples import KEYS, Example, examples

FOLDER = shipped.folder("openapi")


def app_for(settings: Mapping[str, Any]) -> Flask:
    """Make an application that is set as an example says."""
    app = create_app()
    app.config.update(settings)
    return app


def ask(example: Example) -> TestResponse:
    """Make the call of an example."""
    method, _, address = example.call.partition(" ")
    parts = urlsplit(address)
    body = example.text.encode() if example.text is not None else orjson.dumps(example.send)
    return app_for(example.settings).test_client().open(
        parts.path,
        method=method,
        query_string=parts.query,
        data=body if example.kind else None,
        content_type=example.kind,
        headers=dict(example.headers),
    )


def body_of(response: TestResponse) -> Any:
    """Give the body of a response: a value, or the text of what is not JSON."""
    return response.get_json() if response.mimetype.endswith("json") and response.mimetype != "application/x-ndjson" else response.text


class _Written(yaml.SafeDumper):
    """Writes text of several lines as it stands."""

    def ignore_aliases(self, _data: Any) -> bool:
        return True


def _text(dumper: yaml.SafeDumper, text: str) -> yaml.Node:
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None)


_Written.add_representer(str, _text)


def main() -> None:
    for path in sorted((FOLDER / "examples" / "calls").glob("*.yaml")):
        found = yaml.safe_load(path.read_text(encoding="utf-8"))
        example = next(one for one in read_anew() if one.name == path.stem)
        response = ask(example)
        found["status"] = response.status_code
        found["gives"] = response.mimetype
        found["answer"] = body_of(response)
        ordered = {key: found[key] for key in KEYS if key in found}
        text = yaml.dump(ordered, Dumper=_Written, sort_keys=False, allow_unicode=True, width=110)
        path.write_text(text, encoding="utf-8")
    read_anew()
    openapi.document.cache_clear()
    (FOLDER / "openapi.yaml").write_text(openapi.as_yaml(), encoding="utf-8")


def read_anew() -> tuple[Example, ...]:
    examples.cache_clear()
    return examples()


if __name__ == "__main__":
    main()
