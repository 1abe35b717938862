"""From the bytes of a push to arrivals that are judged as far as that goes without the log.

A bad event in a good batch is refused alone, so nothing here raises over one event: duplicate keys, numbers
too long to read and nesting too deep to parse become values that no event may hold.
"""

import json
import math
import re
from dataclasses import dataclass, field
from typing import Any

from vesselside.core.run import events
from vesselside.store.log import signing

EVENT_BYTES = 65_536
_DEEP = 24
_LONGEST_INTEGER = 17
_TOKENS = re.compile(r'"(?:[^"\\]|\\.)*"?|[\[\]{}]', re.DOTALL)
_UNKEPT = re.compile("[\x00\ud800-\udfff]")
_UNKEPT_TEXT = "It holds a character that cannot be kept."
_TOO_DEEP = '{"\\u0000":0}'


class NotJsonError(ValueError):
    """The bytes are no JSON text."""


class Twice:
    """What an object with a duplicate key becomes: nothing an event may hold."""

    def __init__(self, members: list[tuple[str, Any]]) -> None:
        self.members = members


def parse(body: bytes) -> Any:
    """The JSON value of `body`; NotJsonError when it is none."""
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise NotJsonError("It is not UTF-8.") from error
    try:
        try:
            return _read(text)
        except RecursionError:
            return _read(_pruned(text))
    except json.JSONDecodeError as error:
        raise NotJsonError(f"{error.msg} at character {error.pos}.") from error


def _read(text: str) -> Any:
    return json.loads(
        text, object_pairs_hook=_object, parse_int=_integer, parse_float=_number, parse_constant=_number
    )


def _object(members: list[tuple[str, Any]]) -> Any:
    made = dict(members)
    return made if len(made) == len(members) else Twice(members)


def _integer(text: str) -> int | float:
    return int(text) if len(text) <= _LONGEST_INTEGER else float("inf")


def _number(text: str) -> int | float:
    value = float(text)
    # 5.0 and 5 are one JSON number, and RFC 8785 writes both as 5.
    return int(value) if value.is_integer() and abs(value) <= events.LARGEST else value


def _pruned(text: str) -> str:
    """The text with everything nested out of reach replaced by something that is refused."""
    kept, depth, since = [], 0, 0
    for token in _TOKENS.finditer(text):
        mark = token[0]
        if mark in "[{":
            depth += 1
            if depth == _DEEP:
                kept.append(text[since : token.start()])
        elif mark in "]}":
            if depth == _DEEP:
                kept.append(_TOO_DEEP)
                since = token.end()
            depth -= 1
    if depth < _DEEP:
        kept.append(text[since:])
    return "".join(kept)


def unkeepable(value: Any) -> tuple[str, str] | None:
    """Where and what in a parsed value no record and no table can keep, in words, or None."""
    waiting: list[tuple[tuple[str, ...], Any]] = [((), value)]
    while waiting:
        path, part = waiting.pop()
        text = None
        if isinstance(part, Twice):
            text = "It has a key twice."
        elif isinstance(part, dict | list) and len(path) > _DEEP:
            path, text = path[:1], f"It is nested more than {_DEEP} deep."
        elif isinstance(part, dict):
            waiting += [((*path, key), item) for key, item in part.items()]
            text = _UNKEPT_TEXT if any(_UNKEPT.search(key) for key in part) else None
        elif isinstance(part, list):
            waiting += [((*path, str(at)), item) for at, item in enumerate(part)]
        elif isinstance(part, str) and _UNKEPT.search(part):
            text = _UNKEPT_TEXT
        elif isinstance(part, float) and not math.isfinite(part):
            text = "It is a number that is too long, or none."
        if text:
            return ".".join(path), text
    return None


@dataclass(slots=True)
class Arrival:
    """One pushed event on its way into the log, and what has been found out about it."""

    id: str
    event: dict[str, Any] = field(default_factory=dict)
    body: bytes = b""
    signed: bytes = b""
    hash: str = ""
    status: str = ""
    problem: str | None = None
    text: str = ""
    sequence: int = 0
    kept: bool = False
    again: bool = False
    """It lies in quarantine and is judged once more."""
    redacted: object = None
    """The hash it says it had, when it comes as a redaction left it."""

    def refuse(self, problem: str, text: str) -> "Arrival":
        """Mark what cannot be stored."""
        self.status, self.problem, self.text = "refused", problem, text
        return self

    def doubt(self, problem: str, text: str) -> None:
        """Mark what will be stored in quarantine; the first doubt stays."""
        if not self.problem:
            self.problem, self.text = problem, text

    def result(self) -> dict[str, str]:
        """The answer to the phone."""
        answer = {"id": self.id, "status": self.status}
        if self.sequence:
            answer["sequence"] = f"{self.sequence:016d}"
        if self.problem:
            answer["problem"], answer["text"] = self.problem, self.text
        return answer


def arrived(value: object) -> Arrival:
    """Judge one parsed event by itself."""
    if isinstance(value, Twice):
        names = dict(value.members)
        return Arrival(_id_of(names)).refuse("malformed", "It has a key twice.")
    if not isinstance(value, dict):
        return Arrival("").refuse("malformed", "An event is a JSON object.")
    event = signing.stripped(value)
    arrival = Arrival(_id_of(event), event, redacted=value.get("redacted"))
    refused = events.refusal(event)
    if refused:
        twice = _holds_twice(event)
        return arrival.refuse(refused[0], "It has a key twice." if twice else refused[1])
    arrival.body, arrival.signed = signing.parts(event)
    if len(arrival.body) > EVENT_BYTES:
        return arrival.refuse(
            "too-large", f"It is {len(arrival.body)} bytes; at most {EVENT_BYTES} can be stored."
        )
    arrival.hash = signing.sha256(arrival.body)
    return arrival


def judge_shape(arrival: Arrival) -> None:
    """Doubt an envelope that nobody can place."""
    event = arrival.event
    whole = event if isinstance(event.get("signature"), str) else {**event, "signature": ""}
    wrong = events.malformed(whole)
    if wrong:
        arrival.doubt("invalid", wrong)
    elif (
        event["subject"] == "/admin" and event["source"] != "/server" and event["type"] not in events.SIGN_INS
    ):
        arrival.doubt("invalid", "only the server makes administration events but sign-ins")


def _id_of(event: dict[str, Any]) -> str:
    name = event.get("id")
    return name[:64] if isinstance(name, str) else ""


def _holds_twice(value: object) -> bool:
    if isinstance(value, dict):
        return any(_holds_twice(item) for item in value.values())
    if isinstance(value, list):
        return any(_holds_twice(item) for item in value)
    return isinstance(value, Twice)
