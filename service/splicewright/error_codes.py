"""What may be wrong with a request, each with a code that clients may rely on."""

from __future__ import annotations

#: What may be wrong with a part of a request.
PART_CODES = {
    "missing": "a part that must be given is left out",
    "unknown-key": "a key is not known where it stands; `nearest` is what may be meant, `allowed` what is known",
    "unknown-word": "a word is none of its list; `nearest` is what may be meant, `allowed` are words of the list",
    "unknown-name": "a catalogue, connector, rule or list of words of that name is not there",
    "wrong-type": "text stands where a number is asked for, and the like",
    "out-of-range": "a number lies beyond the ends of what is taken",
    "too-fine": "a number has more decimals than are read, and no side is the safe one to round it to",
    "not-a-size": "a text is no conductor size with its unit; `allowed` are those that it may mean",
    "wrong-count": "a list has too few or too many entries",
    "too-long": "a text, a line or a body is longer than is taken",
    "twice": "a word, a name or a parameter is given twice",
    "not-valid": "what is said can't be so, or not beside what else is said; the sentence tells why",
    "not-yet": "what is asked for does not exist in this version; no part is refused so any longer",
    "not-searched": "so much was asked at once that what would do instead was not looked for here",
}
#: What may be wrong with the text of a body.
TEXT_CODES = {
    "not-json": "the text is not JSON, or has a number out of range; `line` and `column` say where",
    "key-twice": "a key stands twice in one object; `line` and `column` say where",
    "too-deep": "lists and objects are nested too deeply",
}
#: What may be wrong with a call as a whole: for each status the code, in which its `type` ends, and when it is given.
CALL_CODES = {
    400: (
        "not-json",
        "the body is not JSON: broken, nested too deeply, a key that stands twice, a number out of range",
    ),
    401: ("no-key", "no key was sent where one is asked for, or one that is not known or has expired"),
    403: ("not-allowed", "the key does not allow this call"),
    404: ("not-found", "there is nothing at this address; `nearest` is an address that there is"),
    405: ("wrong-method", "the address does not take this method; `allowed` are those that it takes"),
    409: ("not-taken", "what is on disk can't all be taken into use; what is in use stays"),
    412: ("other-version", "the header `If-Match` names another version than the one that there is"),
    413: ("too-long", "the body is longer than the server takes"),
    415: ("wrong-media-type", "the body is sent in a type, charset or content encoding that is not read"),
    422: ("not-valid", "the body or a parameter is not valid"),
    429: ("too-many", "too many calls were made in too short a time"),
    500: ("failed", "the server failed; nothing about the request is known to be wrong"),
    503: ("not-ready", "the server cannot answer now; `Retry-After` says when to ask again"),
}
