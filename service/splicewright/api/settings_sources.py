"""Takes the settings together: defaults, then a TOML file, then the environment, then what the command line says."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from environs import Env, EnvValidationError

from splicewright.api.settings import Settings, SettingsSchema, declared, defaults
from splicewright.faults import Fault, Faults
from splicewright.refusals import Refused, not_allowed
from splicewright.strict_fields import Flag, Items, Number
from splicewright.strict_schema import load

PREFIX = "SPLICEWRIGHT_"
FILE_VARIABLE = PREFIX + "SETTINGS"
_PATHS = ("rulesets", "keys")
_AT_LINE = re.compile(r"(.*) \(at line (\d+), column (\d+)\)\Z", re.DOTALL)


@dataclass(frozen=True)
class Configuration:
    """The settings, and for each where it comes from."""

    settings: Settings
    sources: Mapping[str, str]

    def told(self) -> Iterator[str]:
        """Write every setting as a line of TOML with where it comes from. No secret is told."""
        for name in declared():
            value = getattr(self.settings, name)
            written = f"# {name} is not set" if value is None else f"{name} = {toml(_without_password(value))}"
            yield f"{written:<44}  # {self.sources.get(name, 'default')}"


def configure(given: Mapping[str, Any], file: str | None = None) -> Configuration:
    """Take the settings together. `given` is what the command line says.

    The file is the one named, else the one that the environment names. Raises `Faults` with every fault.
    """
    file = file or os.environ.get(FILE_VARIABLE)
    faults: list[Fault] = []
    found: dict[str, Any] = {}
    sources: dict[str, str] = {}
    from_elsewhere = [*([] if file is None else [_from_file(file, faults)]), _from_environment(faults)]
    for values, places in [*from_elsewhere, (dict(given), {name: f"--{name.replace('_', '-')}" for name in given})]:
        found |= _valid(values, places, faults)
        sources |= {name: places[name] for name in values}
    if faults:
        raise Faults(faults)
    found = {name: tuple(value) if isinstance(value, list) else value for name, value in found.items()}
    return Configuration(Settings(**{**defaults(), **found}), sources)


_Told = tuple[dict[str, Any], dict[str, str]]


def _from_file(name: str, faults: list[Fault]) -> _Told:
    path = Path(name)
    try:
        text = path.read_text(encoding="utf-8")
        values = tomllib.loads(text)
    except OSError as error:
        faults.append(Fault(name, 0, "", str(error.strerror)))
        return {}, {}
    except UnicodeDecodeError:
        faults.append(Fault(name, 1, "", "is not UTF-8 text"))
        return {}, {}
    except tomllib.TOMLDecodeError as error:
        at = _AT_LINE.match(str(error))
        line, says = (int(at[2]), at[1]) if at else (1, str(error))
        faults.append(Fault(name, line, "", f"not TOML: {says}"))
        return {}, {}
    for key in _PATHS:
        if isinstance(values.get(key), str):
            values[key] = str(path.parent / values[key])
    return values, {key: f"{name}:{_line(text, key)}" for key in values}


def _line(text: str, key: str) -> int:
    """Find the line on which a key of the outermost table is written."""
    quoted = re.escape(key)
    found = re.search(rf"""(?m)^[ \t]*\[{{0,2}}[ \t]*["']?{quoted}["']?[ \t]*[=.\]]""", text)
    return 1 if found is None else text.count("\n", 0, found.start()) + 1


def _from_environment(faults: list[Fault]) -> _Told:
    values: dict[str, Any] = {}
    known = {PREFIX + name.upper(): name for name in declared()}
    environment = Env(eager=False)
    for variable in sorted(one for one in os.environ if one.startswith(PREFIX) and one != FILE_VARIABLE):
        if variable not in known:
            faults.append(Fault(variable, 0, "", not_allowed(variable, known)))
            continue
        name, field = known[variable], declared()[known[variable]]
        if isinstance(field, Flag):
            values[name] = environment.bool(variable)
        elif isinstance(field, Number):
            values[name] = environment.int(variable)
        elif isinstance(field, Items):
            values[name] = environment.list(variable)
        else:
            values[name] = environment.str(variable)
    try:
        environment.seal()
    except EnvValidationError as error:
        told = error.error_messages
        for variable, says in told.items() if isinstance(told, Mapping) else ():
            faults.append(Fault(variable, 0, "", " ".join(says)))
            values.pop(known[variable], None)
    return values, {name: PREFIX + name.upper() for name in values}


def _valid(values: dict[str, Any], places: Mapping[str, str], faults: list[Fault]) -> dict[str, Any]:
    try:
        found: dict[str, Any] = load(SettingsSchema(), values)
    except Refused as error:
        for problem in error.problems:
            name = problem.pointer.removeprefix("/").partition("/")[0]
            faults.append(Fault(places.get(name, name), 0, name, problem.says))
        return {}
    return found


def _without_password(value: Any) -> Any:
    return re.sub(r"(?<=://)[^@/]*(?=@)", "…", value) if isinstance(value, str) else value


def toml(value: Any) -> str:
    """Write a setting as TOML has it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, tuple):
        return "[" + ", ".join(map(toml, value)) + "]"
    return str(value) if isinstance(value, int) else '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
