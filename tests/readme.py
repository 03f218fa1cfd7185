"""The parts of the README that are made from the real thing. `python -m tests.readme` writes them anew."""

from __future__ import annotations

import re
from pathlib import Path

from click.testing import CliRunner

from splicewright import shipped
from splicewright.cli.main import main

README = Path(__file__).parents[1] / "README.md"
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


if __name__ == "__main__":
    README.write_text(rewritten(README.read_text(encoding="utf-8")), encoding="utf-8")
