"""The one writer of reports for people: what it is given is printed as it is, never acted on.

Text from outside (ids, names, labels) may hold control characters or marks that turn its direction; every part of a
report goes through here, where they are written as their numbers.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Literal

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text
from rich.tree import Tree

from splicewright.refusals import clean

_BOLD, _DIM = "bold", "dim"
#: A text with what hangs on it.
Branch = tuple[str, Sequence["Branch"]]
_LABEL = 8  # columns of the longest label
PLAIN_WIDTH = 100  # where the output is no terminal, so that it is the same everywhere


@contextmanager
def screen() -> Iterator[Console]:
    """Give the console: coloured and as wide as the terminal, or plain and of a fixed width in a pipe or file."""
    if sys.stdout.isatty():
        yield Console(highlight=False, emoji=False)
        return
    out = Console(highlight=False, emoji=False, width=PLAIN_WIDTH, color_system=None, force_terminal=False)
    with out.capture() as captured:
        yield out
    sys.stdout.write("".join(line.rstrip() + "\n" for line in captured.get().splitlines()))


class Page:
    """Lines of a report on a console. Every text is cleaned; none is read as markup."""

    def __init__(self, out: Console) -> None:
        self._out = out

    def headline(self, text: str) -> None:
        """Print what comes first."""
        self._out.print(Text(clean(text), style=_BOLD))

    def title(self, text: str) -> None:
        """Print the title of a part, with an empty line before it."""
        self._out.print(Text("\n" + clean(text), style=_BOLD))

    def line(self, text: str, *, indent: int = 0, dim: bool = False) -> None:
        """Print a line, its further lines as far in as the first."""
        self._out.print(Padding(Text(clean(text), style=_DIM if dim else ""), (0, 0, 0, indent)))

    def item(self, text: str, cited: str = "", *, indent: int = 2, mark: str = "•") -> None:
        """Print one of several, its further lines as far in as its text, with what it rests on."""
        table = Table.grid(padding=(0, 1, 0, 0))
        table.add_column(no_wrap=True)
        table.add_column(overflow="fold")
        table.add_row(Text(mark), Text.assemble(clean(text), (f" [{clean(cited)}]" if cited else "", _DIM)))
        self._out.print(Padding(table, (0, 0, 0, indent)))

    def labeled(self, label: str, texts: Iterable[str]) -> None:
        """Print texts under each other beside a label; nothing where there are none."""
        lines = [clean(text) for text in texts]
        if not lines:
            return
        table = Table(box=None, pad_edge=False, show_header=False, padding=(0, 1, 0, 0))
        table.add_column(width=_LABEL, no_wrap=True)
        table.add_column(overflow="fold")
        for at, line in enumerate(lines):
            table.add_row(Text(label if at == 0 else "", style=_BOLD), Text(line))
        self._out.print(table)

    def tree(self, branch: Branch, *, indent: int = 2) -> None:
        """Print a text and all that hangs on it."""

        def grow(tree: Tree, branches: Sequence[Branch]) -> Tree:
            for text, further in branches:
                grow(tree.add(Text(clean(text))), further)
            return tree

        text, branches = branch
        self._out.print(Padding(grow(Tree(Text(clean(text)), guide_style=_DIM), branches), (0, 0, 0, indent)))

    def table(
        self, columns: Sequence[tuple[str, bool]], rows: Iterable[Sequence[str]], *, heads: bool = True, whole: int = 0
    ) -> None:
        """Print a table; of each column its heading and whether it holds numbers. The first `whole` are not broken."""
        table = Table(box=None, pad_edge=False, header_style=_BOLD, padding=(0, 2, 0, 0), show_header=heads)
        for at, (heading, numbers) in enumerate(columns):
            justify: Literal["left", "right"] = "right" if numbers else "left"
            table.add_column(Text(clean(heading)), justify=justify, overflow="fold", no_wrap=at < whole)
        for row in rows:
            table.add_row(*(Text(clean(cell)) for cell in row))
        self._out.print(table)


@contextmanager
def page() -> Iterator[Page]:
    """Give a page on the screen."""
    with screen() as out:
        yield Page(out)
