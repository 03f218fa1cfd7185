"""The command line as a whole: help, version, completion, and the same bytes on every locale."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator

import click
import orjson
import pytest
from click.testing import CliRunner

from splicewright import choose, shipped
from splicewright.cli.main import COMMANDS, main

COMMAND = [sys.executable, "-m", "splicewright"]
EXAMPLE = str(shipped.folder("openapi") / "examples" / "boathouse-luminaire.yaml")


def printed(*words: str, **environment: str) -> bytes:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("LC_", "LANG", "PYTHONIO"))}
    ended = subprocess.run([*COMMAND, *words], capture_output=True, check=False, env={**kept, **environment})
    assert ended.stderr == b""
    return ended.stdout


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_that_fits_a_terminal(name: str) -> None:
    result = CliRunner().invoke(main, [name, "--help"])
    assert result.exit_code == 0
    assert "Usage: " in result.stdout
    assert max(len(line) for line in result.stdout.splitlines()) <= 80


def every_command(group: click.Group, *path: str) -> Iterator[list[str]]:
    """Give the words of each command, those within others too."""
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        yield [*path, name]
        if isinstance(command, click.Group):
            yield from every_command(command, *path, name)


@pytest.mark.parametrize("words", [*every_command(main)], ids=" ".join)
@pytest.mark.parametrize("option", [["--project", "a.toml"], ["--project=a.toml"]])
def test_project_after_a_command_is_told_to_stand_before_it(words: list[str], option: list[str]) -> None:
    result = CliRunner().invoke(main, [*words, *option], prog_name="splicewright")
    assert result.exit_code == 2
    assert "No such option '--project'. It stands before the command: splicewright --project FILE " in result.stderr
    assert f"--project FILE {' '.join(words)}" in result.stderr
    other = CliRunner().invoke(main, [*words, "--projekt", "a.toml"], prog_name="splicewright")
    assert (other.exit_code, "before the command" in other.stderr) == (2, False)


def test_help_names_every_command_with_a_sentence() -> None:
    told = CliRunner().invoke(main, ["-h"]).stdout
    rows = [line.split(maxsplit=1) for line in told.partition("Commands:\n")[2].splitlines() if line.strip()]
    named = {row[0]: row[1] for row in rows if len(row) == 2}
    assert set(COMMANDS) <= set(named)
    assert all(len(named[name]) > 10 for name in COMMANDS)


def test_unknown_command_exits_with_2_and_names_the_nearest() -> None:
    result = CliRunner().invoke(main, ["chose"])
    assert result.exit_code == 2
    assert "choose" in result.stderr


def test_version_tells_the_rules_and_the_catalogue_that_answers_name() -> None:
    answer = choose({"joint": {"conductors": [{"size": "12 AWG", "count": 2}]}})
    told = CliRunner().invoke(main, ["--version"]).stdout.splitlines()
    assert told[1:] == [
        f"rulesets nfpa70-2023 {answer['rulesets']['digest']}",
        f"catalogue shop {answer['catalogue']['digest']}",
    ]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_script_is_printed_for_each_shell(shell: str) -> None:
    told = CliRunner().invoke(main, ["completion", shell]).stdout
    assert "_SPLICEWRIGHT_COMPLETE" in told


@pytest.mark.parametrize(
    ("words", "expected"), [("splicewright ba", "batch"), ("splicewright batch --explain b", "brief")]
)
def test_completion_completes_commands_and_words(words: str, expected: str) -> None:
    asked = {"COMP_WORDS": words, "COMP_CWORD": str(words.count(" ")), "_SPLICEWRIGHT_COMPLETE": "bash_complete"}
    script = "from splicewright.cli.main import main; main(prog_name='splicewright')"
    ended = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, check=False, env={**os.environ, **asked}
    )
    assert expected in ended.stdout.decode()


@pytest.mark.slow
@pytest.mark.parametrize(
    "locale", [{"LC_ALL": "C"}, {"LC_ALL": "POSIX"}, {"PYTHONIOENCODING": "latin-1"}, {"LANG": "de_DE"}]
)
def test_answer_is_printed_in_the_same_bytes_on_every_locale(locale: dict[str, str]) -> None:
    usual = printed("choose", EXAMPLE, LC_ALL="C.UTF-8")
    assert usual
    assert printed("choose", EXAMPLE, **locale) == usual


@pytest.mark.slow
def test_colour_is_for_terminals_only() -> None:
    assert b"\x1b" not in printed("choose", EXAMPLE)


@pytest.mark.slow
def test_start_to_an_error_in_a_batch_needs_no_terminal() -> None:
    line = orjson.loads(subprocess.run([*COMMAND, "batch"], input=b"{}\n", capture_output=True, check=False).stdout)
    assert line["line"] == 1
