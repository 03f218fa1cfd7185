"""The beginning of an amendment file: one rule of a kind, with examples, and a comment at each line."""

from __future__ import annotations

from collections.abc import Sequence

LONGEST_NAME = 40
_HEAD = """\
ruleset: {name}  # the name of this file, and what its rules' ids begin with
about: <What these rules ask beyond the code.>
amends: {amends}  # every-code, a code with all of its editions, or a list of editions
"""
#: What lets a rule set aside a document, or a splice pass that would not have passed.
_BY = """\
by:  # who may set aside what rests on a document, and where that stands
  authority: <Building Department>
  document: <Ordinance 12>
  section: <'4'>
  obtained: page  # page: its text was read; memory: not yet
"""
_KITCHEN = """\
    when:  # patterns that must all hold, each of one part: joint, place, circuit, work, conductor, condition
      - joint: {tags: {includes: <kitchen>}}  # of words of your own that joints have; or {exposure: wet} of a place
"""
_SAYS = """\
    says: <The reason in at most 30 words; then what to do instead.>
    source: common-practice  # or {document: …, section: …, obtained: page}
"""
_REPLACES = """\
    replaces: {replaces}  # the rule that this one stands in place of
"""
_EXAMPLES = """\
    examples:  # parts of a question, laid over two 12 AWG solid copper ends in a dry box
      fires: [{joint: {tags: [<kitchen>]}}]  # the rule has to fire on each
      silent: [{joint: {tags: [bath]}}]  # a near miss: the same but for one thing, and the rule is silent
"""
_PROPOSED = """\
    examples:  # parts of a question, laid over two 12 AWG solid copper ends in a dry box, with what is proposed
      fires: [{{proposal: {fires}}}]  # the rule has to speak of each
      silent: [{{proposal: {silent}}}]  # a near miss: the same but for one thing, and the rule is silent
"""
_ALWAYS = "    when: always  # of every joint; or patterns, such as [{place: {exposure: wet}}]\n"
_OF_VERDICT = "    when: always  # as all words for a verdict of fill\n"
_REFUSING = """\
    examples:  # parts of a question, laid over two 12 AWG solid copper ends in a dry box
      fires: [{joint: {conductors: [{size: <12 AWG>}]}}]  # some connector has to be refused so
"""
#: Under `conclude`, for the rule that waits for it.
_WAITING = """\

  - id: <kitchen-joints-come-apart>  # a condition is of use where a rule waits for it
    when:
      - condition: {<used>: <hard>}  # what the rule above concludes
    demand: {reusable: true}
"""
_EFFECTS = {
    "conclude": "conclude: {<used>: <hard>}  # a condition in two words of your own, for other rules to wait for",
    "demand": "demand: {<reusable>: <true>}  # what each connector must have in its listing; others are refused",
    "bar": "bar: {method: <push-in>}  # what may not be used, or: bar: joint, for no joint here at all",
    "refer": "refer: true  # the joint is for other rules than these, and nothing is offered",
    "refuse": "refuse: {fill: <too-few>}  # its sentence is told of connectors that are refused so",
    "prefer": "prefer: {<slightly>: {<reusable>: <true>}}  # strongly, clearly or slightly: what comes first",
    "step": "step: {phase: <inspect>, do: <Write the circuit on the box.>}  # work that is done with the joint",
    "caution": "caution: true  # its sentence is told with the answer, and nothing else is changed",
    "defect": "defect: {said: {<reused>: true}, methods: [<lever>]}  # of a proposed splice: it is unsound",
    "ask": "ask: {for: <reused>, methods: [<lever>]}  # of a proposed splice: it is unproven until this is stated",
    "tolerance": "tolerance: {of: <strip>, within: <2 mm>, methods: [<push-in>]}  # how far a figure may be off",
}
_PROPOSALS = {
    "defect": ("{method: <lever>, <reused>: true}", "{method: <lever>, <reused>: false}"),
    "ask": ("{method: <lever>}", "{method: <lever>, <reused>: true}"),
    "tolerance": (
        "{method: <push-in>, strip: {value: 12, unit: mm}}",
        "{method: <twist-on>, strip: {value: 12, unit: mm}}",
    ),
}
#: What stands in the words of each verdict of fill already, and is replaced.
_REPLACED = {"refuse": "<connector-fill/too-few-conductors>", "tolerance": "<inspection/strip-length-of-a-port>"}


def skeleton(name: str, amends: Sequence[str], does: str) -> str:
    """Give the text of an amendment file called `name` with a rule that `does` one of `EFFECTS`.

    What stands between `<` and `>` is to be replaced; as it stands it is an example, valid without the brackets.
    """
    written = amends[0] if len(amends) == 1 else f"[{', '.join(amends)}]"
    authority = _BY if does in _REPLACED else ""
    parts = [
        f"# Replace what stands between < and >, brackets too; then: splicewright rules try {name}.yaml\n",
        _HEAD.format(name=name, amends=written) + authority,
        "rules:\n  - id: <kitchens-in-our-way>  # a phrase of small letters; it is cited whole, with the file's name\n",
        _when(does),
        f"    {_EFFECTS[does]}\n",
        _SAYS,
        _REPLACES.format(replaces=_REPLACED[does]) if does in _REPLACED else "",
    ]
    if does in _PROPOSALS:
        fires, silent = _PROPOSALS[does]
        parts.append(_PROPOSED.format(fires=fires, silent=silent))
    elif does == "refuse":
        parts.append(_REFUSING)
    else:
        parts.append(_EXAMPLES)
    if does == "conclude":
        parts += [_WAITING, _SAYS, _EXAMPLES]
    return "".join(parts)


def _when(does: str) -> str:
    if does == "refuse":
        return _OF_VERDICT
    return _ALWAYS if does in _PROPOSALS else _KITCHEN
