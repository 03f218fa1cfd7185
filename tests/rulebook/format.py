"""Writes the JSON Schemas of rule files and amendments for editors, made of what reads them.

python -m tests.rulebook.format
"""

from __future__ import annotations

from pathlib import Path

import orjson

from splicewright.rulebook.json_schema import amendment_json_schema, rules_json_schema
from tests.scratch import ROOT

RULES = ROOT / "rulesets" / "rules.schema.json"
AMENDMENT = ROOT / "rulesets" / "amendments" / "amendment.schema.json"


def written() -> dict[Path, bytes]:
    """Give each file as it is to be."""
    schemas = {RULES: rules_json_schema(), AMENDMENT: amendment_json_schema()}
    return {path: orjson.dumps(schema, option=orjson.OPT_INDENT_2) + b"\n" for path, schema in schemas.items()}


if __name__ == "__main__":
    for path, text in written().items():
        path.write_bytes(text)
