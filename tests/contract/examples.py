"""Answers the worked calls of `openapi/examples/calls` anew, and writes them and the API's document down.

    python -m tests.contract.examples

Run it where rules, catalogue or contract changed, and read the difference: it is what callers will see. Digests are
written as zeros.
"""

from __future__ import annotations

import functools
import hashlib
import logging
import shutil
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
from splicewright.answering import Chooser, shipped_chooser
from splicewright.api import openapi
from splicewright.api.app import create_app
from splicewright.api.examples import KEYS, Example, examples
from splicewright.api.keys import Keys
from splicewright.api.problems import PROBLEM
from splicewright.api.reload import NotRenewed, digests_in_use
from splicewright.api.settings import Settings
from splicewright.operate.reloading import NotProven, prove_copy
from tests.zeros import as_zeros

FOLDER = shipped.folder("openapi")


#: The keys of a server that asks for them, as a file of keys has them. No server of anybody else knows them.
KEYS_FILE = """\
keys:
  - {name: field-app, sha256: %s, scopes: [ask]}
  - {name: operator, sha256: %s, scopes: [admin]}
"""
SECRETS = ("an-example-only", "an-operators-example-only")
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
    if example.state is None:
        return create_app(shipped_chooser(), Settings(**example.settings))
    chooser = _STATES.get(example.state, Chooser)(shipped.folder("rulesets"))
    if example.state not in ("asks-for-a-key", "broken-on-disk"):
        return create_app(chooser, Settings(**example.settings))
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(KEYS_FILE % tuple(hashlib.sha256(one.encode()).hexdigest() for one in SECRETS))
        file.flush()
        keys = Keys(Path(file.name))
    renew = _not_renewed if example.state == "broken-on-disk" else functools.partial(_renewed, chooser)
    return create_app(chooser, Settings(**example.settings), asked=keys, renew=renew)


def _renewed(chooser: Chooser) -> dict[str, object]:
    """Tell what a renewal tells, without the proof, which takes seconds; `tests/operate/` has it made."""
    chooser.holding.load_everything()
    return {"status": "reloaded", **digests_in_use(chooser)}


def _not_renewed() -> dict[str, object]:
    """Renew from a folder in which a rule file was broken."""
    with tempfile.TemporaryDirectory() as name:
        rulesets = shutil.copytree(shipped.folder("rulesets"), Path(name) / "rulesets")
        (rulesets / "nfpa70" / "environment.yaml").write_text("rules: [")
        try:
            prove_copy(rulesets, Path(name) / "copy")
        except NotProven as error:
            raise NotRenewed(error.reasons) from None
    raise AssertionError


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
        found["answer"] = as_zeros(body_of(response))
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
