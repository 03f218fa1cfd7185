"""What is said instead of a question's words: no refusal leads to the opposite, and a slip leads to its word."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from splicewright import shipped
from splicewright.nearest_word import Spoken, meant, slips
from splicewright.question import vocabulary as v
from splicewright.question.read import read_question
from splicewright.refusals import Refused, not_allowed
from splicewright.yaml_text import read_yaml

LISTS = {name: var for name, var in vars(v).items() if name.isupper() and isinstance(var, dict)}
SPOKEN = {name: one for name, one in LISTS.items() if isinstance(one, Spoken)}
NEGATING = ("un", "in", "non", "dis", "de")


def told(word: str, words: dict[str, str]) -> str | None:
    """What a refusal leads to: one of the words, or a sentence."""
    found = meant(word, words)
    return words.said[found] if isinstance(words, Spoken) and found in words.said else found


def known(words: dict[str, str]) -> dict[str, str]:
    """All words that a refusal may take another for, with what each leads to."""
    return {**(words.said if isinstance(words, Spoken) else {}), **{word: word for word in words}}


def slipped(word: str) -> Iterator[str]:
    """Each letter left out, swapped with the next, doubled, followed by another, and another in its place."""
    for at in range(len(word)):
        before, letter, after = word[:at], word[at], word[at + 1 :]
        yield before + after
        yield before + after[:1] + letter + after[1:]
        yield before + letter + letter + after
        yield before + letter + "e" + after
        yield before + "x" + after


def negated(word: str) -> Iterator[str]:
    for prefix in (*NEGATING, "not"):
        yield from (prefix + word, f"{prefix}-{word}", f"{prefix} {word}")


@pytest.mark.parametrize("name", LISTS)
def test_negated_word_leads_nowhere_near_the_word(name: str) -> None:
    words = LISTS[name]
    every = known(words)
    wrong = [
        (given, means)
        for word, means in every.items()
        for given in negated(word)
        if given not in every and told(given, words) == means and not within_a_slip(given, means, every)
    ]
    assert wrong == []


@pytest.mark.parametrize("name", LISTS)
def test_word_without_its_negating_prefix_is_never_answered_with_the_word(name: str) -> None:
    every = known(LISTS[name])
    bare = {
        word.removeprefix(prefix).lstrip("-"): means
        for word, means in every.items()
        for prefix in NEGATING
        if word.startswith(prefix)
    }
    assert [word for word, means in bare.items() if word not in every and told(word, LISTS[name]) == means] == []


@pytest.mark.slow
@pytest.mark.parametrize("name", LISTS)
def test_negated_word_with_a_slip_is_not_taken_for_the_word(name: str) -> None:
    words = LISTS[name]
    wrong = [
        (given, word)
        for word in words
        for prefix in NEGATING
        if not word.startswith(prefix)
        for given in slipped(prefix + word)
        if meant(given, words) == word and slips(given.lower(), word.lower()) > 1
    ]
    assert wrong == []


def within_a_slip(given: str, means: str, every: dict[str, str]) -> bool:
    """Whether `given` is, with one slip at most, the word that is meant or is said instead of it."""
    return any(slips(given, one.lower()) < 2 for one, leads in every.items() if leads == means)


@pytest.mark.slow
@pytest.mark.parametrize("name", LISTS)
def test_slip_leads_to_its_word_and_to_no_other(name: str) -> None:
    words = LISTS[name]
    every = known(words)
    lost, mistaken = [], []
    for word, means in every.items():
        for given in {one.lower() for one in slipped(word)} - every.keys():
            found = told(given, words)
            if found is None and len(word) > 4 and not in_doubt(given, every):
                lost.append((given, word))
            if found not in (None, means) and not within_a_slip(given, found, every):
                mistaken.append((given, word, found))
    assert (lost, mistaken) == ([], [])


def in_doubt(given: str, every: dict[str, str]) -> bool:
    """Whether two words that mean different things are both within a slip."""
    return len({means for one, means in every.items() if slips(given, one.lower()) < 2}) > 1


@pytest.mark.parametrize("name", SPOKEN)
def test_what_is_said_leads_to_a_word_or_a_choice_of_words(name: str) -> None:
    words = SPOKEN[name]
    assert words.said.keys().isdisjoint(words)
    for word, leads in words.said.items():
        assert word == word.lower().replace(" ", "-").replace("_", "-")
        assert leads in words or any(one in leads.replace(",", "").split() for one in words), leads
        assert word not in leads.replace(",", "").split()[:1]


@pytest.mark.parametrize("name", SPOKEN)
def test_what_is_said_negated_never_leads_where_it_leads_unnegated(name: str) -> None:
    every = known(SPOKEN[name])
    pairs = [(prefix + word, word) for word in every for prefix in (*NEGATING, "im") if prefix + word in every]
    assert [pair for pair in pairs if every[pair[0]] == every[pair[1]]] == []


def test_every_list_of_the_file_goes_with_the_words_of_a_list() -> None:
    lists = read_yaml((shipped.folder("rulesets") / "words" / "synonyms.yaml").read_bytes()).value["lists"]
    # What is said of codes follows from their declaration.
    assert sorted(lists) == sorted(name.lower().replace("_", "-") for name in SPOKEN if name != "CODES")


def test_nothing_is_said_twice_in_a_list() -> None:
    lists = read_yaml((shipped.folder("rulesets") / "words" / "synonyms.yaml").read_bytes()).value["lists"]
    for name, one in lists.items():
        every = [*one.get("one", {}).values(), *(several["said"] for several in one.get("several", ()))]
        told = [said if isinstance(said, str) else said["said"] for listed in every for said in listed]
        assert len(set(told)) == len(told), name


@pytest.mark.parametrize(
    ("leaf", "word", "says"),
    [
        ("conductor/role", "ground", "say equipment-grounding for the green or bare one, grounding-electrode for the "),
        ("conductor/role", "white", "a colour proves no role"),
        ("conductor/role", "green", "a colour proves no role"),
        ("conductor/role", "black", "a colour proves no role"),
        ("conductor/condition", "unsound", "say nicked, burnt, painted or corroded"),
        ("conductor/condition", "unburnt", "say sound, if nothing else is wrong"),
        ("place/reach", "covered", "say concealed where the finish must be broken"),
        ("place/exposure", "outside", "say damp where it is sheltered, wet in the weather"),
        ("place/exposure", "underground", "say buried for a joint in the earth itself, wet for one in a box"),
        ("place/exposure", "porch", "say damp where a roof keeps the rain off, wet where it does not"),
        ("place/wiring", "conduit", "metal conduit, "),
        ("circuit/kind", "landscape", "branch for lighting at 120 V"),
        ("circuit/kind", "motor", '"motor" is a word of /circuit/serves'),
        ("circuit/kind", "agricultural", '"agricultural" is a word of /place/premises'),
        ("conductor/role", "tinned", '"tinned" is a word of /joint/conductors/0/finish'),
        ("place/exposure", "THHN", '"THHN" is a word of /joint/conductors/0/insulation'),
    ],
)
def test_question_in_words_of_several_meanings_is_told_what_to_say(leaf: str, word: str, says: str) -> None:
    part, key = leaf.split("/")
    conductor = {"size": "12 AWG", "count": 2} | ({key: word} if part == "conductor" else {})
    question = {"joint": {"conductors": [conductor]}} | ({part: {key: word}} if part != "conductor" else {})
    with pytest.raises(Refused) as refused:
        read_question(question)
    (problem,) = refused.value.problems
    assert problem.pointer.endswith(f"/{key}")
    assert says in problem.says


def test_codes_of_a_synonym_are_codes_there_are() -> None:
    for words in SPOKEN.values():
        for said in words.said:
            held = [code for code in v.CODES if words.holds_for(said, code)]
            assert held


@pytest.mark.parametrize("name", LISTS)
def test_refusal_never_lists_more_than_thirty_words(name: str) -> None:
    assert not_allowed("?", LISTS[name]).count(", ") < 30
