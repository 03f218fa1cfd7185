"""Reference pages of a rulebook, one for each ruleset, as plain HTML: no script, nothing asked from anywhere."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from html import escape
from typing import Any

import orjson

from splicewright.rulebook.model import Rule, Rulebook
from splicewright.rulebook.rule_json import rulesets
from splicewright.rulebook.rule_words import effect_words, remedy_words, when_words
from splicewright.units import counted

_STYLE = (
    "body{font:16px/1.45 system-ui,sans-serif;max-width:52rem;margin:2rem auto;padding:0 1rem;color:#1b1b1b;"
    "background:#fff}article{border-top:1px solid #bbb;margin-top:2rem}h2{font-size:1.1rem}dt{font-weight:600;"
    "margin-top:.5rem}dd{margin:0 0 0 1rem}ul{margin:0;padding-left:1.2rem}code{font-size:.9em;overflow-wrap:anywhere}"
    ".says{font-size:1.05rem}"
)
#: A page is text with this style: nothing else is loaded, sent or run.
POLICY = (
    "default-src 'none'; style-src 'sha256-"
    + base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()
    + "'; base-uri 'none'; form-action 'none'"
)
#: Gives the address of a ruleset's page, or of the first one for None.
Address = Callable[[str | None], str]


def index_page(book: Rulebook, address: Address, others: Mapping[str, str]) -> str:
    """Give the page that leads to those of every ruleset, and to `others`: names with their addresses."""
    counts = {name: sum(rule.ruleset == name for rule in book.rules) for name in pages_of(book)}
    rows = "".join(
        f"<dt>{_link(address(name), name)} ({counted(counts[name], 'rule')})</dt>"
        f"<dd>{escape(book.about.get(name, ''))}</dd>"
        for name in counts
    )
    beside = ", ".join(_link(where, name) for name, where in others.items())
    return _page(
        f"Rules of {_name(book)}",
        f"<p>{counted(len(book.rules), 'rule')}, <code>{escape(book.digest)}</code></p><dl>{rows}</dl>"
        + (f"<p>Others: {beside}</p>" if beside else ""),
    )


def pages_of(book: Rulebook) -> list[str]:
    """Give the names of the rulesets that have a page: also of one whose rules were all set aside."""
    return sorted({*rulesets(book), *(gone.rule.ruleset for gone in book.amended)})


def ruleset_page(book: Rulebook, ruleset: str, address: Address) -> str:
    """Give the page of a ruleset: each of its rules whole, and those that amendments set aside."""
    successors = {rule.succeeds: rule.id for rule in book.rules if rule.succeeds}
    concluding: dict[tuple[str, str], list[str]] = {}
    for rule in book.rules:
        if rule.effect.concludes:
            concluding.setdefault(rule.effect.concludes, []).append(rule.id)
    own = [rule for rule in book.rules if rule.ruleset == ruleset]
    writer = _RuleWriter({rule.id for rule in book.rules}, successors, concluding, address)
    gone = [one for one in book.amended if one.rule.ruleset == ruleset]
    set_aside = "".join(
        f"<li>{escape(one.rule.id)} was {one.did} by {escape(one.amendment)}: {escape(one.says)}</li>" for one in gone
    )
    return _page(
        f"{ruleset}, {_name(book)}",
        f"<p>{escape(book.about.get(ruleset, ''))}</p><p>{_link(address(None), 'All rules')}</p>"
        + (f"<h2>Set aside</h2><ul>{set_aside}</ul>" if gone else "")
        + "".join(map(writer.article, own)),
    )


def _name(book: Rulebook) -> str:
    return "+".join((book.code, *book.amendments))


def _page(title: str, body: str) -> str:
    return (
        f'<!DOCTYPE html>\n<html lang="en"><meta charset="utf-8"><meta http-equiv="Content-Security-Policy"'
        f' content="{escape(POLICY)}"><meta name="viewport" content="width=device-width"><title>{escape(title)}</title>'
        f"<style>{_STYLE}</style>\n<h1>{escape(title)}</h1>\n{body}\n</html>\n"
    )


def _link(address: str, text: str) -> str:
    return f'<a href="{escape(address)}">{escape(text)}</a>'


class _RuleWriter:
    """Writes rules with links to those that they name."""

    def __init__(
        self,
        known: set[str],
        successors: Mapping[str, str],
        concluding: Mapping[tuple[str, str], list[str]],
        address: Address,
    ) -> None:
        self._known, self._successors, self._concluding, self._address = known, successors, concluding, address

    def article(self, rule: Rule) -> str:
        """Give one rule whole."""
        name = rule.id.partition("/")[2]
        parts = "\n".join(f"<dt>{title}</dt><dd>{told}</dd>" for title, told in self._parts(rule) if told)
        return (
            f'\n<article id="{escape(name)}"><h2>{_link(f"#{name}", rule.id)}</h2>'
            f'<p class="says">{escape(rule.says)}</p>\n<dl>\n{parts}\n</dl></article>'
        )

    def _parts(self, rule: Rule) -> Iterator[tuple[str, str]]:
        holds = f"{rule.code} {rule.editions or ''}" if rule.code else (rule.amendment or "every code")
        yield "Fires when", self._when(rule)
        yield "Does", escape(effect_words(rule))
        yield "Instead", _list(remedy_words(one) for one in rule.raw.get("remedies", ()))
        yield "Leaves out", _list(f"{one.leaf}: {', '.join(one.words)}, because {one.because}" for one in rule.excuses)
        yield "Note", escape(rule.note or "")
        yield "Source", escape(_cited(rule.source.to_dict()))
        yield "By", escape(_cited(rule.by.to_dict()) if rule.by else "")
        yield "Of", escape(holds)
        yield "Stands in place of", self._named(rule.replaces)
        yield "Goes on from", self._named(rule.succeeds)
        yield "Goes on in", self._named(self._successors.get(rule.id))
        yield "Fires on", _examples(rule.fires)
        yield "Is silent on", _examples(rule.silent)

    def _when(self, rule: Rule) -> str:
        rests_on = [
            rule_id
            for pattern in rule.when
            if pattern.scope == "condition"
            for test in pattern.tests
            for word in test.values
            for rule_id in self._concluding.get((test.name.partition(".")[2], str(word)), ())
        ]
        told = _list(when_words(rule)) or "always"
        named = ", ".join(self._named(rule_id) for rule_id in dict.fromkeys(rests_on))
        return f"{told}<p>Concluded by {named}</p>" if named else told

    def _named(self, rule_id: str | None) -> str:
        if rule_id is None or rule_id not in self._known:
            return escape(rule_id or "")
        ruleset, _, name = rule_id.partition("/")
        return _link(f"{self._address(ruleset)}#{name}", rule_id)


def _list(texts: Iterable[str]) -> str:
    items = "".join(f"<li>{escape(text)}</li>" for text in texts)
    return f"<ul>{items}</ul>" if items else ""


def _cited(found: Mapping[str, Any]) -> str:
    if found.get("kind") == "common-practice":
        return "common practice"
    told = [str(found[key]) for key in ("authority", "document", "edition", "section") if found.get(key)]
    read = {"page": "read on a page", "memory": "cited from memory"}[str(found["obtained"])]
    return f"{', '.join(told)} ({read}{', ' + str(found['checked']) if found.get('checked') else ''})"


def _examples(partials: Iterable[Mapping[str, Any]]) -> str:
    items = "".join(f"<li><code>{escape(orjson.dumps(one).decode())}</code></li>" for one in partials)
    return f"<ul>{items}</ul>" if items else ""
