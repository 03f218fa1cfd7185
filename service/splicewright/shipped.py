"""The data that ships with the package: inside the installed package, or beside it in a checkout.

A wheel has, beside its YAML files, what each was read to (`written`, made by `service/hatch_build.py`): JSON is read
ten times faster. What was written is found by the digest of the bytes it was read from, so a YAML file that was changed
since is read itself.
"""

from __future__ import annotations

import functools
import hashlib
from pathlib import Path

import orjson

from splicewright import yaml_text
from splicewright.document import Document
from splicewright.json_pointer import join
from splicewright.yaml_text import read_yaml

_PACKAGE = Path(__file__).resolve().parent
_INSTALLED = _PACKAGE / "data"
#: The folder of `data` for what YAML files were read to.
READ = "read"


def folder(name: str) -> Path:
    """Give the folder of shipped data called `name` (`rulesets`, `openapi`)."""
    installed = _INSTALLED / name
    return installed if installed.is_dir() else _PACKAGE.parents[1] / name


def is_installed() -> bool:
    """Say whether the shipped data are those of an installed package, which were checked before it was built."""
    return _INSTALLED.is_dir()


def read_data_file(path: Path, file: str) -> Document:
    """Read the YAML document of a file, a shipped one from what it was read to already.

    Its faults are told under the name `file`. Raises `Faults` where the text is no YAML, OSError.
    """
    content = path.read_bytes()
    if path.is_relative_to(_INSTALLED):
        try:
            kept = orjson.loads((_INSTALLED / READ / written_name(content)).read_bytes())
        except FileNotFoundError:
            return yaml_text.read_data_file(content, file)
        lines = kept["lines"]
        return Document(
            kept["value"],
            functools.partial(_where, lines, content),
            file,
            functools.partial(yaml_text.line_again, content),
        )
    return yaml_text.read_data_file(content, file)


def _where(lines: dict[str, tuple[int, int]], content: bytes, at: str) -> tuple[int, int]:
    return lines.get(at) or read_yaml(content).where(at)


def written_name(content: bytes) -> str:
    """Give the name of the file that has what a YAML file of these bytes was read to."""
    return f"{hashlib.sha256(content).hexdigest()}.json"


def written(content: bytes) -> bytes:
    """Write what a YAML file is read to: its value, and lines and columns of what its first lists hold.

    Raises `NotText`, and ValueError for a value that JSON would give back otherwise.
    """
    document = read_yaml(content)
    value = document.value
    lists = {"": value} if isinstance(value, list) else {join("", key): inner for key, inner in value.items()}
    places = [join(at, n) for at, inner in lists.items() if isinstance(inner, list) for n in range(len(inner))]
    text = orjson.dumps({"value": value, "lines": {place: document.where(place) for place in places}})
    if repr(orjson.loads(text)["value"]) != repr(value):
        raise ValueError("is not the same once written as JSON and read")
    return text


@functools.cache
def digest(name: str) -> str:
    """Give a digest of all files of a shipped folder, by their names and bytes: the same for the same installation."""
    found = hashlib.sha256()
    root = folder(name)
    for path in sorted(one for one in root.rglob("*") if one.is_file()):
        content = path.read_bytes()
        found.update(f"{path.relative_to(root).as_posix()} {len(content)} ".encode() + content)
    return "sha256:" + found.hexdigest()
