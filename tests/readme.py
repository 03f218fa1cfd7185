"""The parts of the pages that are made from the real thing. `python -m tests.readme` writes them anew."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from splicewright import shipped
from splicewright.api.settings import declared, defaults
from splicewright.cli.main import main

ROOT = Path(__file__).parents[1]
README, SERVICE = ROOT / "README.md", ROOT / "docker" / "README.md"
QUESTION = shipped.folder("openapi") / "examples" / "boathouse-luminaire.yaml"


def rewritten(text: str) -> str:
    """Give the README with its question and answer as they are now."""
    question = QUESTION.read_text(encoding="utf-8").rstrip()
    answer = CliRunner().invoke(main, ["choose", str(QUESTION)]).stdout.rstrip()
    text = _filled(text, "## One question and its answer", "yaml", question)
    return _filled(text, "prints:", "text", answer)


def _filled(text: str, after: str, kind: str, content: str) -> str:
    pattern = rf"({re.escape(after)}.*?```{kind}\n).*?(\n```)"
    found, count = re.subn(pattern, lambda match: match[1] + content + match[2], text, count=1, flags=re.DOTALL)
    if not count:
        raise ValueError(f"no {kind} block after {after!r}")
    return found


# --- tables --------------------------------------------------------------------------------


def with_tables(text: str) -> str:
    """Give a page with each table that follows a mark `<!-- made: NAME -->` as it is now."""
    return re.sub(
        r"(<!-- made: (\w+) -->\n)(?:\|[^\n]*\n)+",
        lambda found: found[1] + "".join(f"{line}\n" for line in _TABLES[found[2]]()),
        text,
    )


def _settings() -> Iterator[str]:
    yield "| setting | default | what |"
    yield "|---|---|---|"
    standing = defaults()
    for name, field in declared().items():
        yield f"| `{name}` | {_value(standing[name])} | {field.metadata['description']} |"


def _value(value: Any) -> str:
    if value in (None, ()):
        return "none"
    if isinstance(value, bool):
        return "true" if value else "false"
    return f"{value:,}" if isinstance(value, int) and value >= 10_000 else str(value)


_TABLES: dict[str, Callable[[], Iterator[str]]] = {"settings": _settings}

if __name__ == "__main__":
    README.write_text(rewritten(README.read_text(encoding="utf-8")), encoding="utf-8")
    SERVICE.write_text(with_tables(SERVICE.read_text(encoding="utf-8")), encoding="utf-8")
