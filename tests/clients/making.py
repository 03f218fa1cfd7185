"""Clients made from the document that a running server gives, by the generators that strangers would use."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import orjson
import pytest

from tests.api.serving import Server, ask
from tests.chosen import CHOSEN

#: CI chooses them. A generator or a tool that is missing there is a failure, never a skip.
CHOICE = "SPLICEWRIGHT_CLIENT_TESTS"
only_where_wanted = pytest.mark.skipif(
    CHOICE not in CHOSEN, reason=f"needs generators, node and npm; {CHOICE}=1 runs it"
)
TYPESCRIPT = Path(__file__).parent / "typescript"
VALIDATING = Path(__file__).parent / "validating"
PACKAGE = "splicewright_client"


def run(*command: str | Path, folder: Path, **environment: str) -> str:
    """Run a command, and give all that it said. Raises AssertionError, with that, where it fails."""
    ended = subprocess.run(
        [str(one) for one in command],
        cwd=folder,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ended.returncode == 0, ended.stdout + ended.stderr
    return ended.stdout + ended.stderr


def fetch_document(server: Server, folder: Path) -> Path:
    """Write down the document that a server gives."""
    answer = ask(server.port, "GET", "/openapi.json")
    assert answer.status == 200
    path = folder / "openapi.json"
    path.write_bytes(answer.body)
    return path


def make_python_client(document: Path) -> str:
    """Generate the Python package beside the document, and give what the generator had to say."""
    settings = document.with_name("generator.yaml")
    settings.write_text("post_hooks: []\n")  # they only make it prettier
    command = (sys.executable, "-m", "openapi_python_client", "generate", "--path", document, "--meta", "none")
    return run(*command, "--output-path", PACKAGE, "--config", settings, folder=document.parent)


def make_pydantic_models(document: Path, folder: Path) -> None:
    """Generate a module of pydantic models."""
    command = (sys.executable, "-m", "datamodel_code_generator", "--input", document, "--input-file-type", "openapi")
    told = ("--output-model-type", "pydantic_v2.BaseModel", "--formatters", "builtin")
    run(*command, *told, "--output", "splicewright_models.py", folder=folder)


def make_pydantic_package(document: Path, folder: Path) -> None:
    """Generate a whole package, with calls and models, by the generator that needs Java."""
    tool = Path(sys.executable).with_name("openapi-generator-cli")
    parts = "apis,models,supportingFiles,apiTests=false,modelTests=false,apiDocs=false,modelDocs=false"
    command = (tool, "generate", "-g", "python", "-i", document, "-o", folder, "--global-property", parts)
    run(*command, "--package-name", "splicewright_package", folder=folder)


def make_validating_calls(document: Path, folder: Path) -> None:
    """Generate calls in TypeScript that validate by zod, and compile the program that makes them."""
    source = VALIDATING / "zod"
    install_node_packages(folder, source)
    for name in ("openapi-ts.config.ts", "scenario.ts"):
        shutil.copy(source / name, folder)
    shutil.copy(document, folder)
    run(folder / "node_modules" / ".bin" / "openapi-ts", folder=folder)
    compile_typescript(folder)


def install_node_packages(folder: Path, source: Path = TYPESCRIPT) -> None:
    """Install what the lock file of `source` names into a folder, from npm's cache where it has it."""
    for name in ("package.json", "package-lock.json", ".npmrc", "tsconfig.json"):
        if (source / name).is_file():
            shutil.copy(source / name, folder)
    installed = source / "node_modules"  # there where somebody has run `npm ci` by hand; needs no network
    if _as_locked(installed, source):
        (folder / "node_modules").symlink_to(installed)
    else:
        run("npm", "ci", "--prefer-offline", "--no-progress", folder=folder)


def _as_locked(installed: Path, source: Path) -> bool:
    """Tell whether a folder holds the packages of the lock file, by the list that npm keeps in it."""
    kept = installed / ".package-lock.json"
    if not kept.is_file():
        return False
    locked = orjson.loads((source / "package-lock.json").read_bytes())["packages"]
    found = orjson.loads(kept.read_bytes())["packages"]
    return {name: one["integrity"] for name, one in found.items()} == {
        name: one["integrity"] for name, one in locked.items() if name
    }


def make_typescript_types(document: Path, folder: Path) -> None:
    """Generate the types of every call."""
    # Defaults are told in words and not by `default`, so this changes nothing today; it must not begin to matter.
    tool = folder / "node_modules" / ".bin" / "openapi-typescript"
    run(tool, document, "--default-non-nullable=false", "-o", "splicewright.ts", folder=folder)


def compile_typescript(folder: Path) -> None:
    """Compile every program in the folder, strictly."""
    run(folder / "node_modules" / ".bin" / "tsc", folder=folder)
