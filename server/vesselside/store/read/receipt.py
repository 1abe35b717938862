"""What only the server can say of a run: findings about when and how its events were received.

They are added outside the fold, which never looks at the order of arrival.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import and_, or_, select

from vesselside.core.run.authority import Administration, may
from vesselside.core.run.events import KINDS
from vesselside.core.run.findings import finding
from vesselside.store.base import guard
from vesselside.store.base.db import db
from vesselside.store.base.guard import Fault
from vesselside.store.base.instants import sequence_text
from vesselside.store.base.models import Device, Logged, Person, Run
from vesselside.store.fold import faulty, folding, lives, projections, received, reviewed
from vesselside.store.log import redacted, signing
from vesselside.store.log.feed import spelled
from vesselside.store.log.writer import COMMAND_LINE, SERVER

if TYPE_CHECKING:
    from vesselside.core.shapes import Finding, FindingCode
    from vesselside.store.answers import RunFault


@dataclass
class Received:
    """A run as it is answered: its state, its events as JSON texts, by sequence, and the fault of one that has it.

    The state is then the last that could be worked out, or what its opening says and nothing made of it.
    """

    state: dict[str, Any]
    events: list[bytes]
    fault: "RunFault | None"


def run(brewery: str, name: str) -> Received | None:
    """A run with all its findings, or None when nothing of it is held."""
    rows = (
        db.session.execute(
            select(Logged)
            .where(Logged.brewery == brewery, Logged.run == name, Logged.status == "stored")
            .order_by(Logged.sequence)
            .execution_options(populate_existing=True)
        )
        .scalars()
        .all()
    )
    if not rows:
        return None
    kept = db.session.execute(
        select(*faulty.LINE, Run.state, Run.stale, Run.last).where(Run.brewery == brewery, Run.id == name)
    ).one()
    state, fault = _state(brewery, kept, rows)
    more = guard.tried("receipt", f"run {name}", lambda: _findings(brewery, rows))
    told = guard.tried(
        "life", f"run {name}", lambda: lives.added(state, [*(kept.troubles or []), *(kept.doubts or [])])
    )
    for found in (more, told):
        if isinstance(found, Fault):
            fault = fault or _told(found, rows)
    if not isinstance(more, Fault):
        # what the fold says of a text that is gone, with who took it out and why
        said = {found["event"] for found in more if found["code"] == "taken-out"}
        known = [row for row in state["findings"] if row["code"] != "taken-out" or row["event"] not in said]
        state["findings"] = known + more
    if state["review"]:
        hashes = {row.event: row.hash for row in rows}
        recorded = {row.event: row.recorded for row in rows}
        state["review"] = reviewed.told(state["review"], hashes, recorded)
        if not state["review"]["stands"]:
            state["findings"].append(finding("review-lapsed", state["review"]["event"]))
    state["digest"] = signing.digest_of(row.hash for row in rows)
    return Received(state, [spelled(row.body, row.sequence, row.recorded) for row in rows], fault)


def _told(fault: Fault, rows: Sequence[Logged]) -> "RunFault":
    return {"code": fault.code, "text": fault.text, "sequence": sequence_text(rows[-1].sequence)}


def _state(brewery: str, kept: Any, rows: Sequence[Logged]) -> "tuple[dict[str, Any], RunFault | None]":
    """A run's state and its fault: as kept, or folded here when it is behind; a known fault is not tried again."""
    held = guard.tried(
        "state", f"run {kept.id}", lambda: projections.unpacked(kept.state) if kept.state else None
    )
    current = not kept.stale and kept.last == rows[-1].sequence
    if current and (isinstance(held, dict) or kept.fault_code is not None):
        fault = faulty.told(kept)
    else:
        made = guard.tried("fold", f"run {kept.id}", lambda: _folded(brewery, kept.id))
        if not isinstance(made, Fault):
            return made, None
        fault = _told(made, rows)
    return held if isinstance(held, dict) else faulty.bare(kept.id, list(rows)), fault


def _folded(brewery: str, name: str) -> Any:
    known, _ = projections.administration(brewery)
    return folding.fold(brewery, name, known).state


def _findings(brewery: str, rows: Sequence[Logged]) -> "list[Finding]":
    """What is found of how these events were received, in order of event and code."""
    known, _ = projections.administration(brewery)
    events = [signing.loaded(row.body) for row in rows]
    found = [
        finding for row, event in zip(rows, events, strict=True) for finding in _of_event(row, event, known)
    ]
    found += _gaps(brewery, rows) + _revoked(brewery, rows) + _taken_out(brewery, rows, events)
    return sorted(found, key=lambda finding: (finding["event"], finding["code"]))


def _of_event(row: Logged, event: dict[str, Any], known: Administration) -> "list[Finding]":
    found: list[Finding] = []
    person, kind = event["person"], event["type"]
    if kind in KINDS:
        then, later = known.role(person, event["seen"]), known.role(person, sequence_text(row.sequence))
        if may(kind, then) and not may(kind, later):
            found.append(
                _finding("stale-authority", row, f"{person} had lost the right before this was received")
            )
    return found + received.found(row.event, event["time"], row.recorded, row.clock_offset)


def _finding(code: "FindingCode", row: Logged, text: str) -> "Finding":
    return {"code": code, "event": row.event, "text": text}


def _gaps(brewery: str, rows: Sequence[Logged]) -> "list[Finding]":
    """The events whose predecessor on the same device is not held yet."""
    wanted: dict[str, set[int]] = {}
    for row in rows:
        if row.source and row.number and row.number > 1:
            wanted.setdefault(row.source, set()).add(row.number - 1)
    if not wanted:
        return []
    conditions = [
        and_(Logged.source == source, Logged.number.in_(numbers)) for source, numbers in wanted.items()
    ]
    held = {
        (row.source, row.number)
        for row in db.session.execute(
            select(Logged.source, Logged.number).where(
                Logged.brewery == brewery, Logged.status == "stored", or_(*conditions)
            )
        )
    }
    return [
        _finding("gap", row, f"the device's record number {row.number - 1} is not held yet")
        for row in rows
        if row.number and row.number > 1 and (row.source, row.number - 1) not in held
    ]


def _revoked(brewery: str, rows: Sequence[Logged]) -> "list[Finding]":
    """The events that came, carried by another phone, after their own had been revoked."""
    ids = {row.source.removeprefix("/devices/") for row in rows if row.source and row.source != SERVER}
    ended = {
        f"/devices/{row.id}": row.revoked
        for row in db.session.execute(
            select(Device.id, Device.revoked).where(
                Device.brewery == brewery, Device.id.in_(ids), Device.revoked.is_not(None)
            )
        )
    }
    return [
        _finding("device-revoked", row, "received after its phone had been revoked")
        for row in rows
        if row.source in ended and row.recorded > ended[row.source]
    ]


def _taken_out(brewery: str, rows: Sequence[Logged], events: Sequence[dict[str, Any]]) -> "list[Finding]":
    """The records that a text or a photo was taken out of: when, by whom and why."""
    redactions = redacted.every(brewery)
    if not redactions:
        return []
    texts: dict[tuple[str, str], dict[str, Any]] = {}
    photos: dict[str, dict[str, Any]] = {}
    for said in redactions:
        if "photo" in said["data"]:
            photos[said["data"]["photo"]] = said
        else:
            texts[said["data"]["event"], said["data"]["hash"]] = said
    names = _named(brewery, redactions)
    found = []
    for row, event in zip(rows, events, strict=True):
        named = event["data"].get("sha256" if event["type"] == "photo.added" else "value")
        for what, redaction in (
            ("A text", texts.get((row.event, row.hash))),
            ("The photo", photos.get(str(named)) if event["type"] in ("photo.added", "entry.made") else None),
        ):
            if redaction:
                found.append(_finding("taken-out", row, _told_of(what, redaction, names)))
    return found


def _told_of(what: str, said: dict[str, Any], names: dict[str, str | None]) -> str:
    by, person = said["by"], said["data"].get("person")
    who = "at the server's command line" if by == COMMAND_LINE else f"by {names.get(by) or by}"
    if person:
        who += f", asked for by {names.get(person) or person}"
    return f"{what} was taken out on {said['time'][:10]} {who}: {said['data']['reason']}"


def _named(brewery: str, redactions: Sequence[dict[str, Any]]) -> dict[str, str | None]:
    """The names, as they are now, of whoever redacted or asked for it."""
    ids = {said["by"] for said in redactions} | {said["data"].get("person") for said in redactions}
    query = select(Person.id, Person.name).where(Person.brewery == brewery, Person.id.in_(ids - {None}))
    return {row.id: row.name for row in db.session.execute(query)}
