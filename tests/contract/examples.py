"""Answers the worked calls of `openapi/examples/calls` anew, and writes them and the API's document down.

    python -m tests.contract.examples

Run it where rules, catalogue or contract changed, and read the difference: it is what callers will see.
"""

from __future__ import annotations

import hashlib
import logging
import tempfile
from contextlib import nullcontext
from pathlib import Path
from typing import Any
from unittest.mock import patch
from urllib.parse import urlsplit

import orjson
import yaml
from flask import Flask
from werkzeug.test import TestResponse

from splicewright import shipped
from splicewright.api import openapi
from splicewright.api.app import create_app
from splicewright.api.examples import KEYS, Example, examples
from splicewright.api.keys import Keys
from splicewright.api.openapi import PROBLEM
from splicewright.api.settings import Settings
from splicewright.choice import Chooser

FOLDER = shipped.folder("openapi")


#: The keys of a server that asks for them, as a file of keys has them. No server of anybody else knows them.
KEYS_FILE = """\
keys:
  - {name: field-app, sha256: %s, scopes: [ask]}
"""
KEY = "an-example-only"
_NOW = 1_800_000_000.5  # where an answer says how long to wait


class _Failing(Chooser):
    """Fails as no chooser should."""

    def answer_json(self, *_: Any, **__: Any) -> bytes:
        raise RuntimeError("made to fail")


class _NotReady(Chooser):
    """Has rules that can't be read."""

    def engine(self, *_: Any, **__: Any) -> Any:
        raise OSError("made to fail")


_STATES = {"failing": _Failing, "not-ready": _NotReady}


def app_for(example: Example) -> Flask:
    """Make an application whose settings and state are as an example says."""
    rulesets = shipped.folder("rulesets")
    chooser = _STATES[example.state](rulesets) if example.state in _STATES else None
    keys = None
    if example.state == "asks-for-a-key":
        with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
            file.write(KEYS_FILE % hashlib.sha256(KEY.encode()).hexdigest())
            file.flush()
            keys = Keys(Path(file.name))
    return create_app(chooser, Settings(**example.settings), asked=keys)


def ask(example: Example) -> TestResponse:
    """Make the call of an example; twice where it shows too many calls."""
    method, _, address = example.call.partition(" ")
    parts = urlsplit(address)
    body = example.text.encode() if example.text is not None else orjson.dumps(example.send)
    client = app_for(example).test_client()
    logging.getLogger("splicewright").disabled = example.state is not None  # what is made to fail is no news
    with patch("time.time", return_value=_NOW) if example.state == "busy" else nullcontext():
        for _ in range(2 if example.state == "busy" else 1):
            response = client.open(
                parts.path,
                method=method,
                query_string=parts.query,
                data=body if example.kind else None,
                content_type=example.kind,
                headers=dict(example.headers),
            )
    logging.getLogger("splicewright").disabled = False
    return response


def body_of(response: TestResponse) -> Any:
    """Give the body of a response: a value, or the text of what is not JSON."""
    return response.get_json() if response.mimetype in ("application/json", PROBLEM) else response.text


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
