"""A catalogue as YAML text, always in the same form: what goes together on a line, and what would be misread quoted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import yaml

from splicewright.yaml_text import plain_scalar

_WIDTH = 112
_LONG = 96  # characters of a map or list that stands on one line


class _Dumper(yaml.CSafeDumper):
    """Writes what the strict reader reads again."""

    def ignore_aliases(self, _data: Any) -> bool:
        """Write out what stands in several places."""
        return True


def _text(dumper: _Dumper, value: str) -> yaml.Node:
    quoted = "'" if not isinstance(plain_scalar(value), str) else None
    return dumper.represent_scalar("tag:yaml.org,2002:str", value, style=quoted)


def _map(dumper: _Dumper, value: Mapping[str, Any]) -> yaml.Node:
    return dumper.represent_mapping("tag:yaml.org,2002:map", value.items(), flow_style=_on_one_line(value))


def _list(dumper: _Dumper, value: list[Any]) -> yaml.Node:
    return dumper.represent_sequence("tag:yaml.org,2002:seq", value, flow_style=_on_one_line(value))


def _on_one_line(value: Any) -> bool:
    """Say whether a map or list holds plain values only, and few."""
    each = list(value.values()) if isinstance(value, Mapping) else value
    plain = not any(isinstance(one, Mapping | list) for one in each)
    return plain and len(str(value)) <= _LONG


_Dumper.add_representer(str, _text)
_Dumper.add_representer(dict, _map)
_Dumper.add_representer(list, _list)


def yaml_of(catalogue: Mapping[str, Any]) -> str:
    """Write a catalogue given as plain data. Connectors are parted by an empty line."""
    head = {key: value for key, value in catalogue.items() if key != "connectors"}
    parts = [_written(head), "connectors:\n"]
    for connector in catalogue["connectors"]:
        parts.append("".join(f"  {line}" for line in _written([_Block(connector)]).splitlines(keepends=True)))
        parts.append("\n")
    return "".join(parts[:-1])


class _Block(dict[str, Any]):
    """A map of which each key has a line, however short it is."""


def _block(dumper: _Dumper, value: _Block) -> yaml.Node:
    return dumper.represent_mapping("tag:yaml.org,2002:map", value.items(), flow_style=False)


_Dumper.add_representer(_Block, _block)


def _written(value: Any) -> str:
    shown = _Block(value) if isinstance(value, dict) else value
    text: str = yaml.dump(
        shown, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=_WIDTH, default_flow_style=False
    )
    return text
