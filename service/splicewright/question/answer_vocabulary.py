"""The closed lists of words that answers and rules are told in, each with its meaning."""

from __future__ import annotations

OUTCOME = {
    "options": "connectors are known that may be used; the best stands first",
    "no-connector": "the joint may be made, but no connector of the catalogue takes it",
    "barred": "the joint may not be made as posed",
    "refer": "outside this tool: `referrals` name the articles that go beyond it",
}
BASIS = {
    "listed": "the listing names this mix of conductors",
    "bracketed": "it lies between two listed mixes: a reading of the listing, never the listing itself",
}
CAUTION = {
    "mind": "it holds because of what was asked",
    "always": "it holds of every joint",
}
WHY = {
    "not-stated": "something was not stated that decides it; `asks` points to it",
    "no-rule": "no rule here settles it; see the article",
}
#: What kind of change lies between two stacks of rules.
CHANGED = {
    "added": "a rule that was not there",
    "withdrawn": "a rule that is no longer there",
    "replaced": "a rule in the place of another, or that does something else",
    "reworded": "a rule that says the same in other words",
    "table": "a table by which something is reckoned otherwise",
    "connector": "a connector that is new, gone, or listed otherwise",
}
#: What answers are compared by.
SAID_POINT = {
    "outcome": "what the answer comes to",
    "best": "the connector that is offered first",
    "option": "a connector that is offered",
    "bar": "what bars the joint or a method",
    "referral": "what hands the joint over",
    "demand": "what is asked of a connector",
    "caution": "what is to be minded",
    "step": "a work step of the connector offered first",
    "verdict": "of a check: what the proposed splice is found to be",
    "violation": "of a check: what speaks against the splice",
    "unproven": "of a check: what is left open of it",
    "confirmed": "of a check: what a rule asks of how it is made up, and is so",
}
#: How a connector stands in an answer.
STANDING = {
    "option": "it may be used; `rank` tells how many are better",
    "refused": "it may not be used",
    "not-looked-at": "the joint itself is barred or handed over, so no connector is looked at",
    "not-carried": "`only` narrows it away",
}
#: What an amendment did to a rule.
AMENDED = {
    "withdrawn": "it was taken out",
    "replaced": "another rule stands in its place",
}
#: What an answer has beside what it always has, by the names that `include` takes.
INCLUDE = {
    "assumed": "all defaults that were filled in, not only those that the answer rests on",
    "judged": "every concern that arises, not only those that were not judged, each with its article",
    "cautions": "what each caution says and what it speaks of, those that hold of every joint one by one",
    "method_bars": "which methods may not be used, and why",
    "findings": "what was concluded",
    "demands": "what the joint asks of whatever connector is used",
    "fill": "the listing that an option goes by, and how far from its edge",
    "meets": "how each option meets what is asked",
    "preferred": "what speaks for each option before others",
    "make_up": "the work steps of each option",
    "refusals": "every other connector with all of its reasons",
    "confirmed": "of a check: what a rule asks, and is so",
    "proofs": "what each finding rests on, under `from`",
    "questions": "the whole questions that remedies lead to, the conductors they change, the next best connectors",
    "rules": "the source of every rule that is cited, and of the listing of each option",
    "digests": "the digests of the rules and of the catalogue",
}
#: Names for sets of it.
EXPLAIN = {"full": "all that `include` may name", "brief": "nothing that `include` names"}
INCLUDED = {"full": frozenset(INCLUDE), "brief": frozenset[str]()}

#: What a job's answer has beside what it always has.
JOB_INCLUDE = {
    "assumed": "under each joint and box the defaults that were filled in for it",
    "cautions": "of each caution, which joints it is for",
}

OBTAINED = {"page": "the section was read", "memory": "cited from memory, to be checked"}

#: What a rule does, exactly one.
EFFECT = {
    "conclude": "concludes a condition, on which other rules rest",
    "demand": "asks something of whatever connector is used",
    "bar": "says that the joint, or some methods, may not be used",
    "refer": "says that the joint is outside this tool, and where to look",
    "refuse": "has the words for a connector that does not take this mix of conductors",
    "prefer": "says what speaks for one option before another",
    "step": "says what to do when the joint is made up",
    "caution": "says what to mind",
    "defect": "of a check: says what speaks against a splice as it was made",
    "ask": "of a check: asks for something that the proposal is to say",
    "tolerance": "of a check: says how far a figure may be off",
}

TAILS = {"pigtail": "one end of it is in a joint", "jumper": "both of its ends are in joints"}
IMPROVES = {"rank": "joints get connectors that suit them better", "cost": "it costs less"}
SIZED_BY = {
    "largest": "the largest conductor of the joint that is divided",
    "device": "the overcurrent device of the circuit",
}
VERDICT = {
    "sound": "nothing speaks against the splice, and all that a rule asks is said",
    "unsound": "something speaks against it",
    "unproven": "nothing speaks against it, but something that a rule asks is not said",
}

#: Who says a value that was filled in.
ASSUMED_FROM = {
    "default": "a default; or the one catalogue that there is",
    "project": "the project file of whoever runs this",
    "option": "an option of the command",
    "catalogue": "the catalogue that the answer goes by",
}
