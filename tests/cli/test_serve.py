"""What `serve` refuses before it listens, and what it shows."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from splicewright.api.settings import declared
from splicewright.cli.main import main


def serve(*options: str) -> Result:
    return CliRunner().invoke(main, ["serve", *options])


def test_address_that_others_reach_is_refused_without_keys() -> None:
    ended = serve("--host", "0.0.0.0")
    assert ended.exit_code == 2
    assert "name a file of keys (--keys FILE, or the setting `keys`), or say --open-to-anyone" in ended.output


def test_every_setting_is_shown_with_where_it_comes_from(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    file = tmp_path / "service.toml"
    file.write_text("threads = 3\n")
    monkeypatch.setenv("SPLICEWRIGHT_WORKERS", "5")
    lines = serve("--settings", str(file), "--port", "9000", "--show-settings").output.splitlines()
    assert len(lines) == len(declared())
    assert any(line.startswith("threads = 3 ") and line.endswith(f"# {file}:1") for line in lines)
    assert any(line.startswith("workers = 5 ") and line.endswith("# SPLICEWRIGHT_WORKERS") for line in lines)
    assert any(line.startswith("port = 9000 ") and line.endswith("# --port") for line in lines)


def test_every_setting_is_an_option() -> None:
    output = serve("--help").output
    assert all(f"--{name.replace('_', '-')}" in output for name in declared())


def test_wrong_setting_is_told_with_file_and_line(tmp_path: Path) -> None:
    file = tmp_path / "service.toml"
    file.write_text("\nthreds = 3\n")
    ended = serve("--settings", str(file))
    assert ended.exit_code == 2
    assert f"{file}:2: threds: unknown key; did you mean 'threads'?" in ended.output


def test_faulty_keys_are_told_with_file_and_line(tmp_path: Path) -> None:
    file = tmp_path / "keys.yaml"
    file.write_text("keys:\n  - {name: a, sha256: x, scopes: [ask]}\n")
    ended = serve("--port", "0", "--keys", str(file))
    assert ended.exit_code == 2
    assert f"{file}:2: a: sha256: is no SHA-256 digest" in ended.output


def test_rate_that_is_none_is_told() -> None:
    ended = serve("--port", "0", "--rate", "often")
    assert ended.exit_code == 2
    assert "'often' is no rate" in ended.output
