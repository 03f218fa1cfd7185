"""What the API's document says for itself: how to begin, what holds for every call, and its errors."""

from __future__ import annotations

from typing import Any

#: Of the contract: a change that an existing client could trip over raises the first number.
VERSION = "3.1.0"

ABOUT = """\
Ask which splice method suits these conductors, here, and why. Answers come from rules that anyone can read
(`GET /v1/rules`), each with its source, and from a catalogue of connectors with their listings
(`GET /v1/catalogues/{name}`).

## In five minutes

```sh
curl -s http://127.0.0.1:8000/v1/choices -H 'Content-Type: application/json' \\
  -d '{"joint": {"conductors": [{"size": "12 AWG", "count": 2}, {"size": "14 AWG"}]}}'
```

Look at `outcome` first; it is one of four words, and each has a schema of its own:

- `options`: connectors that may be used stand in `options`, the best first;
- `no-connector`: the joint may be made, but no connector of the catalogue takes it; `refusals`, where included, says
  why;
- `barred`: it may not be made as posed; `bars` says why, `remedies` what would do instead;
- `refer`: it is outside this tool; `referrals` says why.

Then look at `judged`, `cautions` and `assumed`: what was not judged, what to mind, and what was filled in. The words
that something hangs on are pointed to by its `at`.

## What holds for every call

- Bodies are JSON (RFC 8259) in UTF-8, sent as `application/json`. A key may stand once in an object. Objects and lists
  may be nested 100 deep unless the server is set otherwise. Numbers are finite.
- Numbers are JSON numbers: `"3"`, or `3.7` for a count, are refused; `3.0` is `3`. Where a number is not a whole one it
  is read to one decimal (more where it says so). A finer one is rounded to the side that is safe for it, and told in
  `read_as`; where no side is, as of the rating of a device, it is refused.
- `null` means that a part is not stated: it is as if its key were left out.
- Quantities name their unit: `{"value": 24, "unit": "in"}`; conductor sizes are text such as `12 AWG` or `2.5 mm2`.
- What is left out is assumed, if its description says so, and told in `assumed`. An unknown key, word or parameter is
  an error that names the nearest right one. What has one meaning is taken for it and told in `read_as`. Nothing is
  ignored.
- Some things cannot be said in a schema and are refused all the same, with their place: more than 24 conductors in all,
  `bare` beside another insulation type, a material left out where `work.wiring_age` is `aluminum-branch`, a temperature
  beyond -60 to 200 degC, a `catalogue` that this server does not know, half a character (a lone surrogate) in a text.
- A body may have 1,000,000 bytes unless the server is set otherwise, also where it is sent in chunks; a whole
  job may have 20,000,000 and a batch of lines 100,000,000.
- Every error is a problem document (RFC 9457, `application/problem+json`), whose `type` leads to a page about it. Its
  `errors` name each thing wrong at once, each with a JSON Pointer into what was sent and a `code` of a closed list.
- A call changes nothing here (but `POST /v1/reload`), so it may be made again where a connection drops. Words, rules
  and catalogues carry `ETag`: sent back as `If-None-Match`, it gets a 304 where they still hold.
- A 429 and a 503 say in `Retry-After` how many seconds to wait before the same call may be made again.
- `include`, in the body or with commas in the address, names what an answer tells beside the least, each name with its
  meaning in the vocabulary; `explain=full` means all of it, `explain=brief` none. A brief answer is under 2 kB for an
  ordinary joint; longer ones are packed for who sends `Accept-Encoding: gzip`. What is not included is left out.
- `only` keeps an answer to the connectors and methods that it names; how many it leaves out is told in `counts`.
- Pointers in an answer (`at`, `asks`, `assumed`, `patch`, `read_as`) lead from the root of what was sent, in a box or a
  job too.
- Two calls are for whoever runs the server: `POST /v1/reload` takes changed rules into use, and `GET /metrics` (not
  described here) gives its figures as Prometheus reads them.
- Every answer has an `X-Request-Id`, the caller's own where one was sent. The server's log names it: tell it to whoever
  runs the server when something went wrong.
- What is no HTTP, or has headers of more than 262,144 bytes, is refused before any call is looked at: 400, 431 or 501.
  Where there is a proxy in front of the server, it may do so in words of its own, and answer 502 or 504 for a server
  that is not there.
- Within the first number of this document's version no key, word, code or address is removed or renamed, nothing that
  may be left out becomes required, and what is assumed stays the same. Answers may gain keys, and lists words: a client
  passes over those that it does not know. [What changed in each version](docs/CHANGES.md).
- The answer to a question is the same on any machine, byte for byte, but for `id`, `assumed`, `read_as`, `at`,
  `asks` and `patch`, which belong to the question as sent, as long as rules, catalogue and software are the same; their
  digests (`include: [digests]`) say so. The examples here have zeros in place of digests.

No answer takes the place of local code, the listing on the carton, or a licensed electrician.
"""

TAGS = {
    "Deciding": "Questions about joints, splices, boxes and whole jobs.",
    "Looking things up": "The rules, the connectors, and the words that questions are made of.",
    "Running": "This document, whether the server is well, and taking changed rules into use.",
}

#: status -> the name of the response in the document, and when it is given
ERRORS = {
    400: (
        "NotJson",
        "The body is not JSON: broken, nested too deeply, a key that stands twice, a number out of range.",
    ),
    401: ("NoKey", "The server asks for a key, and none was sent, or one that it does not know or that has expired."),
    403: ("NotAllowed", "The key does not allow this call."),
    404: ("NotFound", "There is nothing at this address. The error names the nearest one that there is."),
    405: ("WrongMethod", "The address does not take this method. The header `Allow` names those that it takes."),
    409: (
        "NotTaken",
        "What is on disk can't all be taken into use; what is in use stays. Each error names the file and the line.",
    ),
    412: ("OtherVersion", "The header `If-Match` names another version than the one that there is."),
    413: ("TooLong", "The body is longer than the server takes."),
    415: (
        "WrongType",
        (
            "The body is not sent as a type that this call takes, or in a charset or content encoding that is not "
            "read: bodies are in UTF-8, and not encoded."
        ),
    ),
    422: ("NotValid", "The body or a parameter is not valid. Each error names its place and what to write."),
    429: ("TooMany", "Too many calls in too short a time. The header `Retry-After` says how many seconds to wait."),
    500: ("Failed", "The server failed. Nothing about the question is known to be wrong; the server's log says more."),
    503: (
        "NotReady",
        (
            "The server cannot answer now: its rules can't be read, or it has as many long calls (batches, jobs) under "
            "way as it takes at once. The header `Retry-After` says how many seconds to wait."
        ),
    ),
}

#: header -> its name in the document, what it says, and its schema
HEADERS: dict[str, tuple[str, str, dict[str, Any]]] = {
    "X-Request-Id": (
        "RequestId",
        (
            "Names this call in the server's log: the `X-Request-Id` that was sent where it is 1 to 64 letters, "
            "digits, dots, dashes or underscores; else a new one."
        ),
        {"type": "string", "pattern": "^[A-Za-z0-9._-]{1,64}$", "examples": ["job-7"]},
    ),
    "Cache-Control": (
        "CacheControl",
        "Whether and how long the answer may be kept; `private` where a key was sent.",
        {
            "type": "string",
            "enum": ["no-store", "public, max-age=300, must-revalidate", "private, max-age=300, must-revalidate"],
        },
    ),
    "ETag": (
        "ETag",
        "Changes whenever the answer does. Send it back as `If-None-Match`.",
        {"type": "string", "pattern": '^"[^"]+"$', "examples": ['"8358dbfe7cf46763a220ac244c9df23e"']},
    ),
    "Retry-After": (
        "RetryAfter",
        "Seconds to wait before the call is made again.",
        {"type": "integer", "minimum": 1, "examples": [5]},
    ),
    "WWW-Authenticate": (
        "Authenticate",
        "How to send a key, and whether the one that was sent is the fault.",
        {"type": "string", "pattern": "^Bearer ", "examples": ['Bearer realm="splicewright", error="invalid_token"']},
    ),
    "Accept-Encoding": (
        "AcceptEncoding",
        "The content encoding in which a body is read: as it is.",
        {"type": "string", "const": "identity", "enum": ["identity"]},
    ),
    "Allow": (
        "Allow",
        "The methods that the address takes.",
        {"type": "string", "examples": ["GET, HEAD, OPTIONS"]},
    ),
}
