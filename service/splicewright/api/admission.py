"""Whose body is read at all: only one sent to an address that takes one, with a key where it asks for one."""

from __future__ import annotations

from flask import Flask
from werkzeug.exceptions import HTTPException

from splicewright.api.keys import needed_scope

_SETTINGS = {"/v1/jobs": "MAX_JOB", "/v1/batches": "MAX_BATCH"}


def most_bytes(app: Flask, method: str, path: str, authorization: str) -> int:
    """Give how many bytes are read of the body of a call; 0 where the application refuses it by its head alone."""
    try:
        rule, _ = app.url_map.bind("").match(path, method, return_rule=True)
    except HTTPException:
        return 0
    keys, scope = app.extensions["keys"], needed_scope(rule.rule)
    if keys is not None and scope is not None:
        key = keys.of(authorization)
        if key is None or scope not in key.scopes:
            return 0
    return int(app.config[_SETTINGS.get(rule.rule, "MAX_BODY")])
