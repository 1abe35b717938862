"""Taking a text or a photo out of a record that must not hold it: what may go, and writing that it went."""

import base64
import binascii
import json
import zlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import select, update

from vesselside.store.base.db import Sessions, db, now_ms, writing
from vesselside.store.base.models import Logged, Person, Replaced, Run
from vesselside.store.fold import folding, projections
from vesselside.store.log import redacted, signing, writer
from vesselside.store.log.book import Book
from vesselside.store.log.redacted import ALL, KIND, PUT, Said

LONGEST = 400
PART = 4
"""From how many letters on a text is looked for inside of longer ones, in what `rebuild` kept."""


class RedactionError(ValueError):
    """What cannot be redacted; the text says why."""


@dataclass
class Redacted:
    """What went: the runs whose records said it, and the photos that are still to be taken away."""

    runs: set[str] = field(default_factory=set)
    photos: set[str] = field(default_factory=set)


def redact(
    book: Book,
    name: str,
    reason: str,
    *,
    person: str | None = None,
    by: str = writer.COMMAND_LINE,
    now: int | None = None,
) -> Redacted:
    """Take the text out of the record `name`, and write it into the log with the reason. Done twice it is done once.

    `person` is the manager who asked for it. A photo is the caller's to remove, once this has returned.
    """
    if not 1 <= len(reason.strip()) <= LONGEST or not reason.isprintable():
        raise RedactionError(
            f"A reason is 1 to {LONGEST} printable letters, and says nothing that must not be kept."
        )
    now = now_ms() if now is None else now
    done = Redacted()
    with writing(book.brewery) as session:
        _judge_person(session, book.brewery, person)
        for row, said in _wanted(session, book.brewery, name):
            if "photo" in said:
                done.photos.add(said["photo"])
            if row is not None:
                data = {**said, "reason": reason.strip(), **({"person": person} if person else {})}
                writer.administer(book, KIND, data, by=by, now=now)
                done.runs |= _take_out(session, book.brewery, data)
    projections.refresh(book.brewery, done.runs, whole=True)
    return done


def again(session: Sessions, brewery: str, said: Said) -> Redacted:
    """Do what a redaction did that was said again after a restore, inside the caller's `writing`."""
    photos = {said["photo"]} if "photo" in said else set()
    return Redacted(_take_out(session, brewery, said), photos)


def _judge_person(session: Sessions, brewery: str, person: str | None) -> None:
    if person is None:
        return
    row = session.get(Person, (brewery, person))
    if row is None or (row.role, row.status) != ("manager", "active"):
        raise RedactionError(f"There is no manager {person} here; only a manager may ask for it.")


def _wanted(session: Sessions, brewery: str, name: str) -> list[tuple[Logged | None, Said]]:
    """What is to be said of each record of that id, those in quarantine included; None beside what was said before."""
    rows = (
        session.execute(
            select(Logged)
            .where(Logged.brewery == brewery, Logged.event == name)
            .order_by(Logged.status.desc(), Logged.sequence)
            .execution_options(populate_existing=True)
        )
        .scalars()
        .all()
    )
    of_phones = [row for row in rows if row.source != writer.SERVER and (row.run or row.status != "stored")]
    if not of_phones:
        raise RedactionError(f"There is no record {name} of a run here.")
    before = redacted.by_event(redacted.every(brewery)).get(name, [])
    wanted: dict[str, tuple[Logged | None, Said]] = {}
    for row in of_phones:
        if row.hash in wanted:
            continue
        known = next((said for said in before if said["hash"] == row.hash), None)
        wanted[row.hash] = (None, known) if known else (row, _to_say(brewery, row))
    return list(wanted.values())


def _to_say(brewery: str, row: Logged) -> Said:
    event, stored = signing.loaded(row.body), row.status == "stored"
    try:
        fields, photo = _what_goes(brewery, row, event)
    except (RedactionError, KeyError, TypeError, AttributeError):
        if stored:
            raise
        fields, photo = (ALL,), None
    left = redacted.left_of(event, fields, PUT, row.hash) if fields else row.body
    return {
        "event": row.event,
        "hash": row.hash,
        "stored": stored,
        "fields": list(fields),
        "put": PUT,
        "left": signing.sha256(left),
        **({"photo": photo} if photo else {}),
    }


def _what_goes(brewery: str, row: Logged, event: dict[str, Any]) -> tuple[tuple[str, ...], str | None]:
    """The fields of a record's data that may go, or the photo it names. RedactionError when nothing may."""
    data, kind = event["data"], event["type"]
    if kind == "photo.added" and isinstance(data.get("sha256"), str):
        return (), data["sha256"]
    if kind == "entry.made":
        entry = _kind_of_entry(brewery, str(row.run), data)
        if entry == "photo" and isinstance(data.get("value"), str):
            return (), data["value"]
        if entry != "text":
            raise RedactionError(
                f"This is an entry of kind {entry or 'unknown'}: readings, counts, lots and choices stay."
            )
    fields = tuple(name for name in redacted.TEXTS.get(kind, ()) if isinstance(data.get(name), str))
    if not fields:
        raise RedactionError(f"A record of kind {kind} holds no text or photo that may go.")
    return fields, None


def _kind_of_entry(brewery: str, run: str, data: dict[str, Any]) -> str:
    query = select(Logged.body).where(
        Logged.brewery == brewery, Logged.run == run, Logged.kind == "run.opened", Logged.status == "stored"
    )
    opened = [signing.loaded(body) for body in db.session.execute(query).scalars()]
    first = min(opened, key=lambda event: (event["hlc"], event["id"]), default=None)
    procedure = folding.procedure_of(brewery, first)
    for step in procedure["steps"] if procedure else []:
        for entry in step.get("entries", []):
            if step["id"] == data.get("step") and entry["id"] == data.get("field"):
                return str(entry["kind"])
    return ""


def _take_out(session: Sessions, brewery: str, said: Said) -> set[str]:
    """Leave of the rows of a record what a redaction says that it left; the runs they are of."""
    rows = writer.leave(brewery, said)
    runs = {run for run, _, _ in rows if run}
    texts = {text for _, event, left in rows for text in _texts(event) - _texts(signing.loaded(left))}
    # whoever comes after a crash folds them
    session.execute(
        update(Run)
        .where(Run.brewery == brewery, Run.id.in_(runs))
        .values(stale=True)
        .execution_options(synchronize_session=False)
    )
    if said["stored"]:  # what lay in quarantine was never folded
        _scrub_replaced(session, brewery, texts - {PUT}, said["hash"])
    return runs


def _texts(value: Any) -> set[str]:
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        return {text for item in value for text in _texts(item)}
    return {value} if isinstance(value, str) and value.strip() else set()


def _scrub_replaced(session: Sessions, brewery: str, texts: set[str], sha256: str) -> None:
    """Take these texts out of what `rebuild` kept of what it replaced."""
    if not texts:
        return
    query = select(Replaced.place, Replaced.kept).where(Replaced.brewery == brewery)
    for row in session.execute(query).all():
        kept = json.loads(row.kept)
        inner = kept["kept"] if isinstance(kept, dict) and set(kept) == {"redacted", "kept"} else kept
        clean = _without(inner, texts)
        if clean == inner:
            continue
        at = (Replaced.brewery == brewery, Replaced.place == row.place)
        text = json.dumps({"redacted": sha256, "kept": clean}, ensure_ascii=False, sort_keys=True)
        session.execute(
            update(Replaced).where(*at).values(kept=text).execution_options(synchronize_session=False)
        )


def _without(value: Any, texts: Iterable[str]) -> Any:
    if isinstance(value, dict):
        return {
            name: _state_without(part, texts) if name == "state" else _without(part, texts)
            for name, part in value.items()
        }
    if isinstance(value, list):
        return [_without(part, texts) for part in value]
    if isinstance(value, str) and any(
        text == value or (len(text) >= PART and text in value) for text in texts
    ):
        return PUT
    return value


def _state_without(value: Any, texts: Iterable[str]) -> Any:
    """A folded state is kept packed; one that cannot be read may hold anything, and goes."""
    if not isinstance(value, str):
        return _without(value, texts)
    try:
        state = projections.unpacked(base64.b64decode(value, validate=True))
    except (binascii.Error, zlib.error, ValueError):
        return PUT
    clean = _without(state, texts)
    return value if clean == state else base64.b64encode(projections.packed(clean)).decode("ascii")


def photos(brewery: str) -> set[str]:
    """The hashes of the photos that were taken away."""
    return {str(event["data"]["photo"]) for event in redacted.every(brewery) if "photo" in event["data"]}
