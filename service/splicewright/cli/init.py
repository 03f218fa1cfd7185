"""`splicewright init`: a project file to begin with."""

from __future__ import annotations

from pathlib import Path

import click

from splicewright.cli.input import fail
from splicewright.project.finding import FILE

_TOP = (
    "# The project: what stands for every question that does not say it, in this folder and those below it.",
    "# Take the # away from a line to say it. Paths start from the folder of this file.",
)

#: What is shown of settings that are not set.
_UNSET = {"rulesets": '"rulesets/"', "keys": '"keys.yaml"', "rate": '"600/minute"'}


@click.command("init")
@click.argument("folder", default=".", type=click.Path(path_type=Path, file_okay=False, exists=True))
def command(folder: Path) -> None:
    """Write splicewright.toml into FOLDER (this one where not given), with a comment at each line.

    As it is written it says nothing: every answer is as it was without it. A file that is there is left as it is.
    """
    from splicewright.whole_file import write_whole

    file = folder / FILE
    try:
        write_whole(file, beginning().encode(), new=True)
    except FileExistsError:
        fail(f"{file}: is there already; it is left as it is")
    except OSError as error:
        fail(f"{file}: {error.strerror}")
    click.echo(f"{file}: take the # away from what you want to say")


def beginning() -> str:
    """Give the text of a project file that says nothing yet, with every line that it may have."""
    from splicewright.api.settings import declared, defaults
    from splicewright.api.settings_sources import toml
    from splicewright.codes import codes
    from splicewright.project.reading import ProjectSchema

    shown = {
        "code": f'"{codes().default}"',
        "catalogue": '"our-shelf"',
        "amendments": '["coastal-county", "our-firm"]',
        "catalogues": '"shelf/"',
        "amendment_files": '"rules/"',
        "only": '{ methods = ["lever", "twist-on"], connectors = [] }',
        "waive": '[{ rule = "concern/overcurrent", reason = "why", until = "2026-12-31" }]',
        "columns": '{ "Wire" = "size" }',
    }
    lines = [_line(key, value, ProjectSchema().fields[key].metadata["description"]) for key, value in shown.items()]
    lines += ["", "[service]  # settings of `splicewright serve` and of gunicorn; flag and environment are stronger"]
    for name, field in declared().items():
        value = defaults()[name]
        written = _UNSET[name] if value is None else toml(value)
        lines.append(_line(name, written, field.metadata["description"]))
    return "\n".join((*_TOP, "", *lines, ""))


def _line(key: str, value: str, about: str) -> str:
    written = f"# {key} = {value}"
    return f"{written:<44}  # {about}"
