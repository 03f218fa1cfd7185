"""`splicewright vocabulary`: every word that a request may use, with its meaning."""

from __future__ import annotations

import click

from splicewright.cli.input import fail
from splicewright.cli.project import chooser_of_command


@click.command("vocabulary")
@click.argument("name", metavar="[LIST]", required=False)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print it.")
def command(name: str | None, form: str) -> None:
    """Give every list of words, or the words of one LIST (such as exposure) with their meanings and where they go.

    JSON is what GET /v1/vocabulary answers; without LIST it has the ends of every number too.
    """
    import orjson

    from splicewright.form_vocabulary import vocabulary_plain, word_list, word_lists
    from splicewright.refusals import not_allowed
    from splicewright.reports.lists import print_word_lists, print_words

    try:
        if form == "json":
            click.echo(
                orjson.dumps(
                    vocabulary_plain(name, unsaid=chooser_of_command().holding.unsaid), option=orjson.OPT_INDENT_2
                )
            )
        elif name is None:
            print_word_lists(word_lists())
        else:
            print_words(word_list(name))
    except KeyError:
        fail(f"no list: {not_allowed(str(name), [one.name for one in word_lists()])}")
