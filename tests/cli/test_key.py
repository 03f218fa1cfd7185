from __future__ import annotations

import hashlib

import yaml
from click.testing import CliRunner

from splicewright.cli.key import command


def test_entry_has_the_digest_of_the_key_that_is_told_apart() -> None:
    made = CliRunner().invoke(command, ["field-app", "--scope", "ask", "--scope", "admin", "--expires", "2030-01-31"])
    (entry,) = yaml.safe_load(made.stdout)
    assert entry["name"] == "field-app"
    assert entry["scopes"] == ["admin", "ask"]
    assert str(entry["expires"]) == "2030-01-31"
    assert entry["sha256"] == hashlib.sha256(made.stderr.strip().encode()).hexdigest()
    assert made.stderr.strip() not in made.stdout


def test_name_or_day_that_is_none_is_refused() -> None:
    made = CliRunner().invoke(command, ["field app", "--expires", "soon"])
    assert made.exit_code == 2
    assert "name: may hold letters" in made.stderr
    assert "expires: 'soon' is not a day" in made.stderr
