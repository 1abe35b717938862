"""Records that a text or a photo was taken out of: the event's hash, place and envelope stay, what was said goes.

The record is then held in the form that `left_of` makes, under its old hash, with that hash as its attribute
`redacted`. `event.redacted`, signed by the server, names the record, its hash, what was taken, and the hash of what is
left; without one, a record whose bytes do not make its hash is a forgery. A photo lies beside the log under its own
hash, so a record that names one stays as it was signed.
"""

from collections.abc import Iterable
from typing import Any

from sqlalchemy import literal_column, select

from vesselside.core.run import events
from vesselside.store.base.db import db
from vesselside.store.base.models import Logged
from vesselside.store.log import signing

KIND = "event.redacted"
PUT = "(taken out)"
"""What stands in a text's place, wherever the record is shown."""
ALL = "*"
"""As the one field: all that a record in quarantine says went, since it may say it anywhere."""

TEXTS = {
    "entry.made": ("value", "typed"),
    "note.added": ("text",),
    "deviation.raised": ("text", "check"),
    "deviation.answered": ("action", "cause", "prevention"),
    "entry.settled": ("reason",),
    "step.skipped": ("reason",),
    "struck": ("reason",),
    "run.abandoned": ("reason",),
    "run.reviewed": ("text",),
}
"""The texts of each kind that may go; of entries only those of kind text (`store/site/redacting`)."""

_ENVELOPE = (
    "specversion", "id", "source", "type", "subject", "time", "person", "hlc", "seen", "number", "prevhash",
    "signature",
)  # fmt: skip

Event = dict[str, Any]
Said = dict[str, Any]
"""The data of an `event.redacted`: {event, hash, stored, fields, put, left, reason, photo?, person?}; `stored`: it was
no record in quarantine, so its signature had been judged; `person`: who asked for it."""


def left_of(event: Event, fields: Iterable[str], put: str, sha256: str) -> bytes:
    """The canonical bytes of what is left of an event of that hash when these texts go."""
    if list(fields) == [ALL]:
        envelope = ("id",) if events.malformed(event) else _ENVELOPE
        left = {name: event[name] for name in envelope if name in event} | {"data": {}}
    else:
        left = {**event, "data": {**event["data"], **{name: put for name in fields if name in event["data"]}}}
    return signing.canonical({**left, "redacted": sha256})


def left_by(event: Event, said: Said) -> bytes | None:
    """What is left of an event by a redaction, or None when it is about other bytes."""
    if not said["fields"]:
        return None
    left = left_of(event, said["fields"], said["put"], said["hash"])
    return left if signing.sha256(left) == said["left"] else None


def hash_of(event: Event, whole: bytes) -> str:
    """The hash by which an event stands in the log; `whole` are its canonical bytes without what the server adds."""
    taken = event.get("redacted")
    return taken if isinstance(taken, str) else signing.sha256(whole)


def vouched(event: Event, said: Iterable[Said], stored: bool) -> bool:
    """Whether what is left of a record is what one of these redactions left, and only texts of it went.

    One that stands in the log (`stored`) stood there when it was redacted: its signature had been judged.
    """
    kept = {name: value for name, value in event.items() if name not in ("sequence", "recordedtime")}
    left = signing.sha256(signing.canonical(kept))
    return any(
        row["left"] == left
        and row["hash"] == event["redacted"]
        and (row["stored"] or not stored)
        and _only_texts(event, row["fields"], row["put"])
        for row in said
    )


def _only_texts(event: Event, fields: list[str], put: str) -> bool:
    if fields == [ALL]:
        return bool(event["data"] == {})
    allowed = TEXTS.get(event["type"], ())
    return bool(fields) and all(name in allowed and event["data"].get(name) in (put, None) for name in fields)


def told(said: Said) -> str:
    """What a redaction took out and what can still be shown of the record, in words."""
    if "photo" in said:
        return f"its photo was taken out ({said['reason']}); what it says is as it was signed"
    went = "all it said" if said["fields"] == [ALL] else ", ".join(map(str, said["fields"]))
    return (
        f"{went} was taken out ({said['reason']}); "
        "its hash and its place hold, its signature can no longer be checked over its bytes"
    )


def every(brewery: str) -> list[Event]:
    """The redactions that stand in a log, in order: few, and found without reading the rest."""
    query = (
        select(Logged.body)
        # named as the index has it, so that the index is used
        .where(Logged.brewery == brewery, literal_column("kind = 'event.redacted' AND status = 'stored'"))
        .where(Logged.source == "/server")
        .order_by(Logged.sequence)
    )
    return sound(signing.loaded(body) for body in db.session.execute(query).scalars())


def sound(events: Iterable[Event]) -> list[Event]:
    """Those that say what a redaction says; another was written by nobody who writes here."""
    texts = ("event", "hash", "put", "left", "reason")
    return [
        event
        for event in events
        if isinstance(event["data"].get("fields"), list)
        and isinstance(event["data"].get("stored"), bool)
        and all(isinstance(event["data"].get(name), str) for name in texts)
    ]


def by_event(redactions: Iterable[Event]) -> dict[str, list[Said]]:
    """What redactions say, by the id of the record each is about."""
    said: dict[str, list[Said]] = {}
    for event in redactions:
        said.setdefault(event["data"]["event"], []).append(event["data"])
    return said
