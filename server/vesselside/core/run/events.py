"""Event kinds and their checks, the same on the phone before storing and on the server on receipt.

Three judgements, in order of weight: what cannot be stored (`refusal`), an envelope nobody can place
(`malformed`), and data that says nothing (`faults`, which the fold turns into a finding).
"""

from vesselside.core.ground import days, numbers
from vesselside.core.ground.clock import is_hash, is_sequence, is_stamp, is_time
from vesselside.core.ground.errors import CoreError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from vesselside.core.shapes import Left, Role, WayIn

    Asked = tuple[str, str, bool, Callable[[object], bool]]

LARGEST = 9007199254740991
NESTING = 8
ROLES: "tuple[Role, ...]" = ("starter", "brewer", "duty", "manager")
VERDICTS = ("target", "advise", "stop")
REVIEWS = ("accepted", "rejected")
WAYS = ("keyed", "worked", "scanned", "paper")
WAYS_IN: "tuple[WayIn, ...]" = ("pin", "password", "offline", "idle")
"""How a sign-in or sign-out came about; `idle` is a desk left alone, `offline` a phone's word with no server."""
LEFT: "tuple[Left, ...]" = (
    "soiled",
    "rinsed",
    "chemical",
    "co2",
    "pressure",
    "hot",
    "locked",
    "filled",
    "out",
)
MOST_IDS = 128
"""How many records one record may name in `over`."""
MOST_INPUTS = 64
_TEXTS = ("id", "hlc", "type", "source", "person", "seen", "time")
_ID = "abcdefghijklmnopqrstuvwxyz0123456789-"

# kind: (least role, {field: (shape, needed)})
KINDS = {
    "run.opened": (
        "starter",
        {
            "procedure": ("id", True),
            "version": ("count", True),
            "sha256": ("hash", True),
            "vessel": ("id", False),
            "gyle": ("id", False),
            "recipe": ("id", False),
            "recipe_version": ("count", False),
            "inputs": ("inputs", True),
        },
    ),
    "caution.met": (
        "starter",
        {"step": ("id", True), "caution": ("id", True), "version": ("count", True)},
    ),
    "entry.made": (
        "starter",
        {
            "step": ("id", True),
            "field": ("id", True),
            "value": ("text", True),
            "typed": ("text", True),
            "unit": ("text", False),
            "how": ("way", True),
            "instrument": ("text", False),
            "from": ("sum", False),
            "verdict": ("verdict", True),
            "core": ("text", True),
            "over": ("ids", True),
        },
    ),
    "entry.settled": (
        "brewer",
        {
            "step": ("id", True),
            "field": ("id", True),
            "chosen": ("id", True),
            "reason": ("words", True),
            "over": ("ids", True),
        },
    ),
    "step.done": (
        "starter",
        {"step": ("id", True), "verdict": ("verdict", True), "core": ("text", True)},
    ),
    "step.skipped": ("brewer", {"step": ("id", True), "reason": ("words", True)}),
    "hold.started": ("starter", {"step": ("id", True), "seconds": ("count", True)}),
    "hold.ended": ("starter", {"step": ("id", True), "seconds": ("count", True)}),
    "sign.given": (
        "brewer",
        {"step": ("id", True), "target": ("id", True), "role": ("role", True)},
    ),
    "note.added": ("starter", {"step": ("id", False), "text": ("words", True)}),
    "photo.added": (
        "starter",
        {
            "step": ("id", False),
            "sha256": ("hash", True),
            "mime": ("text", True),
            "bytes": ("count", True),
        },
    ),
    "deviation.raised": (
        "starter",
        {
            "step": ("id", False),
            "text": ("words", True),
            "value": ("text", False),
            "limit": ("text", False),
            "interlock": ("id", False),
            "check": ("text", False),
        },
    ),
    "deviation.answered": (
        "duty",
        {
            "deviation": ("id", True),
            "action": ("words", True),
            "cause": ("words", False),
            "prevention": ("words", False),
            "owner": ("id", False),
            "due": ("day", False),
            "pending": ("flag", False),
        },
    ),
    "struck": ("starter", {"target": ("id", True), "reason": ("words", True)}),
    "run.finished": ("starter", {}),
    "run.abandoned": (
        "starter",
        {"reason": ("words", True), "left": ("left", True), "untouched": ("flag", False)},
    ),
    "run.reviewed": (
        "manager",
        {"verdict": ("review", True), "digest": ("hash", True), "text": ("text", False)},
    ),
}
SIGN_INS = ("person.signed-in", "person.signed-out")
"""What a phone, too, may write of its own under `/admin`: {person, how}. The server's name the device, and whether it
was at a desk; a sign-out of a desk left alone says `at` when it ended.
"""
ADMINISTRATION = (
    "person.changed",
    "person.secret-set",
    "person.retired",
    "person.signed-in",
    "person.signed-out",
    "sign-ins.kept",
    "sign-in.refused",
    "code.made",
    "device.enrolled",
    "device.revoked",
    "procedure.published",
    "setting.changed",
    "recipe.changed",
    "instrument.changed",
    "vessel.changed",
    "event.redacted",
    "announcement.put-away",
    "record.judged-again",
    "log.restored",
    "log.doubted",
)


def is_id(value: object) -> bool:
    """Whether `value` is an id as records carry them: 1 to 64 of a-z, 0-9 and dash."""
    if not isinstance(value, str) or not 1 <= len(value) <= 64:
        return False
    for letter in value:
        if letter not in _ID:
            return False
    return True


def is_count(value: object) -> bool:
    """Whether `value` is a whole number from 0 to 2^53 - 1 (and not a truth value)."""
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= LARGEST


def _bad_text(text: str) -> str | None:
    if "\x00" in text:
        return "It holds the character U+0000."
    try:
        text.encode("utf-8")
    except UnicodeError:
        return "It holds half a surrogate pair."
    return None


def _unstorable(value: object, depth: int) -> str | None:
    if isinstance(value, str):
        return _bad_text(value)
    if value is None or isinstance(value, bool):
        return None
    if isinstance(value, int):
        return None if -LARGEST <= value <= LARGEST else "It holds a whole number beyond 2^53 - 1."
    if isinstance(value, float):
        return "It holds a number that is not whole; readings travel as text."
    if depth > NESTING:
        return "It is nested more than 8 deep."
    if isinstance(value, dict):
        for key in value:
            wrong = _bad_text(key) or _unstorable(value[key], depth + 1)
            if wrong:
                return wrong
        return None
    if isinstance(value, list):
        for item in value:
            wrong = _unstorable(item, depth + 1)
            if wrong:
                return wrong
        return None
    return "It holds something that is not JSON."


def refusal(event: object) -> tuple[str, str] | None:
    """Why a parsed event cannot be stored, as (code, text), or None.

    Only what has no canonical bytes or no id is refused; everything else is kept, whatever it says.
    Size and duplicate keys are judged where the bytes are read.
    """
    if not isinstance(event, dict):
        return ("malformed", "An event is a JSON object.")
    if not is_id(event.get("id")):
        return ("malformed", "The event has no id of 1 to 64 letters a-z, digits and dashes.")
    wrong = _unstorable(event, 1)
    return ("malformed", wrong) if wrong else None


def _source_ok(source: object) -> bool:
    if source == "/server":
        return True
    return isinstance(source, str) and source[:9] == "/devices/" and is_id(source[9:])


def run_of(subject: object) -> str | None:
    """The run id a subject names, or None (`/runs/<id>`)."""
    if isinstance(subject, str) and subject[:6] == "/runs/" and is_id(subject[6:]):
        return subject[6:]
    return None


def _subject_ok(subject: object) -> bool:
    return subject == "/admin" or run_of(subject) is not None


_ENVELOPE = (
    ("specversion", lambda value: value == "1.0", "is not 1.0"),
    ("source", _source_ok, "is neither /server nor /devices/<id>"),
    ("type", lambda value: isinstance(value, str) and 1 <= len(value) <= 64, "is not a short text"),
    ("subject", _subject_ok, "is neither /admin nor /runs/<id>"),
    ("time", is_time, "is not UTC with milliseconds"),
    ("hlc", is_stamp, "is not 12 hex digits, a dash and 4"),
    ("seen", is_sequence, "is not 16 digits"),
    ("number", lambda value: is_count(value) and value > 0, "is not a whole number from 1"),
    ("data", lambda value: isinstance(value, dict), "is not an object"),
    ("prevhash", is_hash, "is not a SHA-256 in hex"),
    ("signature", lambda value: isinstance(value, str), "is missing"),
)


def malformed(event: "dict[str, Any]") -> str | None:
    """What is wrong with the envelope of a storable event, in words, or None."""
    for attribute, fits, wrong in _ENVELOPE:
        if not fits(event.get(attribute)):
            return attribute + " " + wrong
    if event["subject"] != "/admin" and not is_id(event.get("person")):
        return "person is not an id"
    return None


def _ids(value: object) -> bool:
    if not isinstance(value, list) or len(value) > MOST_IDS:
        return False
    for item in value:
        if not is_id(item):
            return False
    return True


def _text(value: object) -> bool:
    return isinstance(value, str) and len(value) <= 4000


def _words(value: object) -> bool:
    return _text(value) and bool(str(value).strip())


def _day(value: object) -> bool:
    try:
        days.parse(value)
    except CoreError:
        return False
    return True


def _one_of(choices: tuple[str, ...]) -> "Callable[[object], bool]":
    return lambda value: isinstance(value, str) and value in choices


# shape of a field: whether a value is of it
_SHAPES = {
    "id": is_id,
    "ids": _ids,
    "count": is_count,
    "day": _day,
    "flag": lambda value: isinstance(value, bool),
    "hash": is_hash,
    "inputs": lambda value: isinstance(value, dict),
    "sum": lambda value: isinstance(value, dict),
    "text": _text,
    "words": _words,
    "verdict": _one_of(VERDICTS),
    "way": _one_of(WAYS),
    "role": _one_of(ROLES),
    "left": _one_of(LEFT),
    "review": _one_of(REVIEWS),
}


def _fields() -> "dict[str, list[Asked]]":
    rows: dict[str, list[Asked]] = {}
    for kind in KINDS:
        named = KINDS[kind][1]
        rows[kind] = [
            (field, named[field][0], named[field][1], _SHAPES[named[field][0]]) for field in sorted(named)
        ]
    return rows


FIELDS = _fields()
"""Of each kind its fields in order of name: (field, shape, whether it is needed, whether a value fits)."""


def faults(event: "dict[str, Any]") -> list[str]:
    """What the data of a known kind lacks or says wrongly, in words; empty for good or unknown kinds.

    A null is no way to leave a field out: it is wrong wherever it stands.
    """
    data = event["data"]
    found = []
    for field, shape, needed, fits in FIELDS.get(event.get("type", ""), ()):
        if field not in data:
            if needed:
                found.append(field + " is missing")
        elif not fits(data[field]):
            found.append(field + " is not a valid " + shape)
    return found


def check(event: object) -> list[str]:
    """Everything wrong with an event a phone is about to store; empty when it may be numbered."""
    if not isinstance(event, dict):
        return ["An event is a JSON object."]
    refused = refusal(event)
    if refused:
        return [refused[1]]
    wrong = malformed(event)
    return [wrong] if wrong else faults(event)


def same_value(kind: str, first: str, second: str) -> bool:
    """Whether two values of an entry are equal: numbers by size, all else by the letter."""
    if kind in ("reading", "count"):
        try:
            return numbers.compare(first, second) == 0
        except CoreError:
            return first == second
    return first == second


def placeable(event: object) -> bool:
    """Whether an event has the texts and data that folding needs; anything else is passed over."""
    if not isinstance(event, dict) or not isinstance(event.get("data"), dict):
        return False
    for name in _TEXTS:
        if not isinstance(event.get(name), str):
            return False
    return True
