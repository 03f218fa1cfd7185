"""Takes the settings together: defaults, the project's `[service]`, a TOML file, the environment, the command line.

The later of these are the stronger ones. They are read by the command-line library, as the options of `serve`; what is
ours is to read the files with their lines, and to refuse variables that are none.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click
from click.core import ParameterSource
from marshmallow import ValidationError
from marshmallow.fields import Field

from splicewright.api.settings import Settings, SettingsSchema, declared, defaults
from splicewright.faults import Fault, Faults
from splicewright.json_pointer import join, pointer_parts, value_at
from splicewright.project.finding import VARIABLE, project_here
from splicewright.project.reading import Project
from splicewright.refusals import NotText, Refused, not_allowed
from splicewright.strict_fields import Flag, Items, Number, Word
from splicewright.strict_schema import load
from splicewright.toml_text import read_toml

PREFIX = "SPLICEWRIGHT"
FILE_VARIABLE = f"{PREFIX}_SETTINGS"
_PATHS = ("rulesets", "keys")
_PROJECT, _PLACES = "splicewright.project", "splicewright.places"


@dataclass(frozen=True)
class Configuration:
    """The settings, for each where it comes from, and the project that the service belongs to."""

    settings: Settings
    sources: Mapping[str, str]
    project: Project | None = None

    def told(self) -> Iterator[str]:
        """Write every setting as a line of TOML with where it comes from. No secret is told."""
        for name in declared():
            value = getattr(self.settings, name)
            written = f"# {name} is not set" if value is None else f"{name} = {toml(_without_password(value))}"
            yield f"{written:<44}  # {self.sources[name]}"


# --- the options -----------------------------------------------------------------------------


class Setting(click.Option):
    """An option for a setting, which may come from the environment and from files too."""

    def source(self, context: click.Context) -> str:
        """Tell where its value comes from."""
        name = str(self.name)
        found = context.get_parameter_source(name)
        if found is ParameterSource.COMMANDLINE:
            return self.opts[0]
        if found is ParameterSource.ENVIRONMENT:
            return f"{PREFIX}_{name.upper()}"
        return str(context.meta[_PLACES][name]) if found is ParameterSource.DEFAULT_MAP else "default"

    def get_error_hint(self, ctx: click.Context | None) -> str:
        """Name where a wrong value comes from."""
        return super().get_error_hint(ctx) if ctx is None else self.source(ctx)


class _AsRead(click.ParamType[Any]):
    """Text as the field of a setting reads it; several in a variable have commas between."""

    name = "text"
    envvar_list_splitter = ","

    def __init__(self, field: Field[Any]) -> None:
        self._field = field

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        try:
            return self._field.deserialize(value)
        except ValidationError as error:
            self.fail(" ".join(map(str, error.messages)), param, ctx)


def setting_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add an option for every setting, and `--settings`. Their context needs the prefix PREFIX for variables."""
    for name, field in reversed(list(declared().items())):
        command = _option(name, field)(command)
    named = f"TOML file of settings; also named by {FILE_VARIABLE}."
    eager: dict[str, Any] = {"is_eager": True, "expose_value": False, "callback": _take_files}
    return click.option("--settings", metavar="FILE", envvar=FILE_VARIABLE, help=named, **eager)(command)


def _option(name: str, field: Field[Any]) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    written, default = f"--{name.replace('_', '-')}", defaults()[name]
    about = str(field.metadata["description"])
    kinds: dict[str, Any] = {"multiple": isinstance(field, Items)}
    if isinstance(field, Flag):
        written += f"/--no-{written.removeprefix('--')}"
    elif isinstance(field, Number):
        kinds["type"] = click.IntRange(int(field.least), int(field.most))
    elif isinstance(field, Word):
        kinds["type"] = click.Choice(list(field.words))
    else:
        kinds["type"] = _AsRead(field.inner if isinstance(field, Items) else field)
    if not isinstance(field, Flag) and default not in (None, ()):
        about += f"  [default: {default}]"
    return click.option(written, name, cls=Setting, default=None, help=about, **kinds)


def configuration(context: click.Context) -> Configuration:
    """Give the settings of a command that has the options of `setting_options`."""
    options = [one for one in context.command.params if isinstance(one, Setting)]
    sources = {str(one.name): one.source(context) for one in options}
    given = {name: context.params[name] for name, source in sources.items() if source != "default"}
    return Configuration(Settings(**{**defaults(), **given}), sources, context.meta[_PROJECT])


# --- what comes from files -------------------------------------------------------------------


def _take_files(context: click.Context, _option: click.Parameter, file: str | None) -> None:
    """Let the project and the settings file say what neither command line nor environment does. Raises `Faults`."""
    named = context.find_root().obj
    project = project_here(named if isinstance(named, str) else None)
    faults = list(_unknown_variables(os.environ))
    values: dict[str, Any] = {}
    places: dict[str, str] = {}
    if project is not None:
        _take(project.text, str(project.file), "/service", values, places, faults)
    if file is not None:
        try:
            _take(Path(file).read_bytes(), file, "", values, places, faults)
        except OSError as error:
            faults.append(Fault(file, 0, "", str(error.strerror)))
    if faults:
        raise Faults(faults)
    context.meta[_PROJECT], context.meta[_PLACES] = project, places
    context.default_map = values


def _take(
    content: bytes | str, file: str, under: str, values: dict[str, Any], places: dict[str, str], faults: list[Fault]
) -> None:
    """Take what a file says in the table at the pointer `under`, with the place of each setting."""
    try:
        document = read_toml(content, file)
        found = load(SettingsSchema(), value_at(document.value, under) or {})
    except NotText as error:
        faults.append(Fault(file, error.line or 1, "", error.problems[0].says))
        return
    except Refused as error:
        for problem in error.problems:
            where = under + problem.pointer
            faults.append(Fault(file, document.line(where), "/".join(pointer_parts(where)), problem.says))
        return
    for name, value in found.items():
        values[name] = str(Path(file).parent / value) if name in _PATHS else value
        places[name] = f"{file}:{document.line(join(under, name))}"


def _unknown_variables(environment: Iterable[str]) -> Iterator[Fault]:
    known = [FILE_VARIABLE, VARIABLE, *(f"{PREFIX}_{name.upper()}" for name in declared())]
    for variable in sorted(environment):
        if variable.startswith(f"{PREFIX}_") and variable not in known:
            yield Fault(variable, 0, "", not_allowed(variable, known))


def _without_password(value: Any) -> Any:
    return re.sub(r"(?<=://)[^@/]*(?=@)", "…", value) if isinstance(value, str) else value


def toml(value: Any) -> str:
    """Write a setting as TOML has it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, tuple):
        return "[" + ", ".join(map(toml, value)) + "]"
    return str(value) if isinstance(value, int) else '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'


# --- a server without a command line of ours ---------------------------------------------------


@click.command("service")
@setting_options
def _service(**_: Any) -> None:
    """Have the options of the service, for a server that has no command line of ours."""


def configure(words: Sequence[str] = ()) -> Configuration:
    """Take the settings together, `words` being those of the command line. Raises `Faults`."""
    try:
        return configuration(_service.make_context("service", list(words), auto_envvar_prefix=PREFIX))
    except click.UsageError as error:
        raise Faults([Fault("", 0, "", error.format_message())]) from None
