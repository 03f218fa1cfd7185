"""`python -m splicewright`: the command line."""

from __future__ import annotations

from splicewright.cli.main import main

main(prog_name="splicewright")
