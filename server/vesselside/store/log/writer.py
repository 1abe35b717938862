"""The one writer of the log. Nothing else inserts a row into it; the database refuses delete, and update but by a
redaction.

An arrival is *refused* when it cannot be stored, *repeat* when the same bytes are held, *quarantined* when its
signature, its chain, its id or its number is not right, and else *stored*. What is stored or quarantined gets
the brewery's next sequence. Signatures are verified before the lock is taken; under it the whole batch is placed
with a handful of queries, whatever its size.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import insert, select, update

from vesselside.core.run import events
from vesselside.store.base import statements
from vesselside.store.base.db import db, writing
from vesselside.store.base.instants import sequence_text, text_of
from vesselside.store.base.models import Logged
from vesselside.store.log import intake, redacted, signing
from vesselside.store.log.book import Book
from vesselside.store.log.intake import Arrival
from vesselside.store.log.signing import ZERO

SERVER = "/server"
COMMAND_LINE, ITSELF = "command-line", "server"
"""Who administers where nobody is signed in: whoever has the server's command line, or the server by itself."""
JUDGED_AGAIN = "record.judged-again"
_INSERT = insert(Logged.__table__)  # type: ignore[arg-type]  # the table itself: one executemany


@dataclass
class Appended:
    """What became of a batch: the answers in order, and the runs that changed."""

    results: list[dict[str, str]]
    sequences: list[int]
    runs: set[str]


@dataclass
class _Held:
    """What the log already holds near a batch, kept up to date as the batch is placed."""

    stored: dict[str, tuple[str, int]] = field(default_factory=dict)
    quarantined: dict[str, tuple[int, str]] = field(default_factory=dict)
    numbers: dict[tuple[str, int], tuple[str, str]] = field(default_factory=dict)
    head: int = 0


def append(
    book: Book, batch: Iterable[object], *, device: str, now: int, clock_offset: int | None = None
) -> Appended:
    """Put parsed events of `device` into the log; durable when this returns."""
    arrivals = [intake.arrived(value) for value in batch]
    for arrival in arrivals:
        # Genuine or not, of this log or another: it returns only after a restore (`site/returning`).
        if not arrival.status and arrival.event.get("source") == SERVER:
            arrival.refuse("source-mismatch", "A device brings no events of the server.")
    waiting = [arrival for arrival in arrivals if not arrival.status]
    for arrival in waiting:
        intake.judge_shape(arrival)
    _verify(book.brewery, device, [arrival for arrival in waiting if not arrival.problem])
    runs: set[str] = set()
    if waiting:
        with writing(book.brewery):
            runs = _place(book.brewery, waiting, now=now, clock_offset=clock_offset, carrier=device)
    return Appended([arrival.result() for arrival in arrivals], [a.sequence for a in waiting], runs)


def administer(
    book: Book,
    kind: str,
    data: dict[str, Any],
    *,
    by: str,
    now: int,
    again: tuple[str, dict[str, Any]] | None = None,
) -> int:
    """Write one administration event, inside the caller's `writing` of that brewery; its sequence.

    It is chained and signed with the server's key and goes the way of every other event. `by` is who did it: a
    person's id, COMMAND_LINE or ITSELF. `again` are the hash and the event of an earlier life of the log that it says
    once more: it keeps when that was said, and after how much.
    """
    brewery = book.brewery
    last = statements.execute(statements.CHAIN_END, {"brewery": brewery, "source": SERVER}).first()
    number, prevhash, hlc = (last.number, last.hash, last.hlc) if last else (0, ZERO, "")
    event = {
        "specversion": "1.0",
        "id": signing.uuid7(now),
        "source": SERVER,
        "type": kind,
        "subject": "/admin",
        "time": text_of(now),
        "hlc": _after(hlc or "", now),
        "seen": sequence_text(_head(brewery)),
        "number": number + 1,
        "data": data,
        "log": brewery,
        "by": by,
        "prevhash": prevhash,
    }
    if by not in (COMMAND_LINE, ITSELF):
        event["person"] = by
    if again:
        event |= {"again": again[0]} | {name: again[1][name] for name in ("time", "hlc", "seen")}
    event["signature"] = book.sign(signing.canonical(event))
    arrival = intake.arrived(event)
    intake.judge_shape(arrival)
    _place(brewery, [arrival], now=now, clock_offset=None, carrier=None)
    if arrival.status != "stored":
        raise RuntimeError(f"The server's own event was {arrival.status}: {arrival.text}")
    return arrival.sequence


def keep_aside(book: Book, arrival: Arrival, problem: str, text: str, carrier: str | None, now: int) -> None:
    """Keep an event in quarantine, whatever its chain says; inside the caller's `writing`."""
    arrival.doubt(problem, text)
    _place(book.brewery, [arrival], now=now, clock_offset=None, carrier=carrier)


def judge_again(book: Book, device: str, *, now: int) -> set[str]:
    """Take in what lay in quarantine because nobody knew the device's key, now that it is known; the runs it touches.

    Inside the caller's `writing`. Each such record gets another place in the log, and an event tells of both.
    """
    source, brewery = f"/devices/{device}", book.brewery
    waiting = {
        row.hash: row
        for row in statements.execute(statements.UNPROVED, {"brewery": brewery, "source": source})
    }
    arrivals = [intake.arrived(signing.loaded(row.body)) for row in waiting.values()]
    for arrival in arrivals:
        intake.judge_shape(arrival)
    _verify(brewery, device, arrivals)
    _take_out(brewery, arrivals)
    good = [arrival for arrival in arrivals if not arrival.problem]
    for arrival in good:
        arrival.again = True
    runs = _place(brewery, good, now=now, clock_offset=None, carrier=None)
    for arrival in good:
        if arrival.status == "stored":
            data = {
                "event": arrival.id,
                "hash": arrival.hash,
                "quarantined": sequence_text(waiting[arrival.hash].sequence),
                "sequence": sequence_text(arrival.sequence),
            }
            administer(book, JUDGED_AGAIN, data, by=ITSELF, now=now)
    return runs


def leave(brewery: str, said: redacted.Said) -> list[tuple[str | None, dict[str, Any], bytes]]:
    """Leave of a record what a redaction that was written left; each row's run, what it said, what it says now.

    Inside the caller's `writing`. The triggers of the log let nothing but the body go, and only by such a redaction.
    """
    here = (Logged.brewery == brewery, Logged.event == said["event"], Logged.hash == said["hash"])
    found = []
    for row in db.session.execute(select(Logged.sequence, Logged.run, Logged.body).where(*here)).all():
        event = signing.loaded(row.body)
        left = redacted.left_by(event, said) or row.body
        found.append((row.run, event, left))
        if left != row.body:
            at = (Logged.brewery == brewery, Logged.sequence == row.sequence)
            change = update(Logged).where(*at).values(body=left)
            db.session.execute(change.execution_options(synchronize_session=False))
    return found


def _after(hlc: str, now: int) -> str:
    """The next stamp of the server's hybrid logical clock (Kulkarni et al. 2014)."""
    fresh = f"{now:012x}-0000"
    if fresh > hlc:
        return fresh
    counter = int(hlc[13:], 16) + 1
    return f"{hlc[:12]}-{counter:04x}" if counter < 0x10000 else f"{int(hlc[:12], 16) + 1:012x}-0000"


def _verify(brewery: str, device: str, arrivals: list[Arrival]) -> None:
    """Doubt what is not signed by the device its source names."""
    own = f"/devices/{device}"
    sources = {arrival.event["source"] for arrival in arrivals} | {own}
    keys = _keys(brewery, sources)
    for arrival in arrivals:
        source, signature = arrival.event["source"], arrival.event.get("signature")
        key = keys.get(source)
        if key and signing.verified(key, signature, arrival.signed):
            continue
        if source == own:
            arrival.doubt("signature-invalid", "the signature is not this device's over these bytes")
        elif key is None or signing.verified(keys[own], signature, arrival.signed):
            arrival.doubt("source-mismatch", "it is not signed by the device its source names")
        else:
            arrival.doubt("signature-invalid", "the signature is not the source's over these bytes")


def _keys(brewery: str, sources: set[str]) -> dict[str, signing.Jwk]:
    ids = [source.removeprefix("/devices/") for source in sources]
    rows = statements.execute(statements.KEYS, {"brewery": brewery, "ids": ids})
    return {f"/devices/{row.id}": row.key for row in rows}


def _head(brewery: str) -> int:
    return statements.execute(statements.HEAD, {"brewery": brewery}).scalar() or 0


def _place(
    brewery: str,
    arrivals: list[Arrival],
    *,
    now: int,
    clock_offset: int | None,
    carrier: str | None,
) -> set[str]:
    """Give every arrival its place under the lock; the runs that changed."""
    _take_out(brewery, arrivals)
    held = _near(brewery, arrivals)
    rows = []
    for arrival in arrivals:
        _decide(arrival, held)
        if not arrival.kept and (arrival.status == "stored" or not arrival.again):
            held.head += 1
            arrival.sequence = held.head
            own = arrival.event.get("source") == f"/devices/{carrier}"
            row = _row(brewery, arrival, now, clock_offset if own else None, carrier)
            rows.append(row)
            _remember(arrival, row, held)
    if rows:
        statements.execute(_INSERT, rows)
        _mark_devices(brewery, rows, now, clock_offset, carrier)
        _mark_after_sign_ins(brewery, rows)
    return _mark_runs(brewery, rows)


def _take_out(brewery: str, arrivals: list[Arrival]) -> None:
    """Of records that a redaction of this log is about, only what it left goes further, whichever way they came."""
    said = redacted.by_event(redacted.every(brewery))
    for arrival in arrivals:
        for row in said.get(arrival.id, ()):
            if arrival.hash == row["hash"]:
                arrival.body = redacted.left_by(arrival.event, row) or arrival.body
            elif arrival.redacted == row["hash"]:
                left = signing.canonical({**arrival.event, "redacted": row["hash"]})
                if signing.sha256(left) == row["left"]:
                    arrival.body, arrival.hash = left, row["hash"]
                    if row["stored"]:
                        # its signature went with its bytes; the server's own, under the redaction, stands for it
                        arrival.problem, arrival.text = None, ""


def _near(brewery: str, arrivals: list[Arrival]) -> _Held:
    held = _Held(head=_head(brewery))
    ids, hashes = [arrival.id for arrival in arrivals], [arrival.hash for arrival in arrivals]
    same_id = statements.execute(statements.SAME_ID, {"brewery": brewery, "ids": ids})
    held.stored = {event: (sha256, sequence) for event, sha256, sequence in same_id}
    same_bytes = statements.execute(statements.SAME_BYTES, {"brewery": brewery, "hashes": hashes})
    held.quarantined = {sha256: (sequence, problem) for sha256, sequence, problem in same_bytes}
    wanted: dict[str, list[int]] = {}
    for arrival in arrivals:
        if not arrival.problem:
            wanted.setdefault(arrival.event["source"], []).append(arrival.event["number"])
    for source, numbers in wanted.items():
        for number, sha256, prevhash in _chain(brewery, source, numbers):
            held.numbers[(source, number)] = (sha256, prevhash)
    return held


def _chain(brewery: str, source: str, numbers: list[int]) -> Iterable[Any]:
    """The places of a chain that a batch touches, their neighbours included."""
    at = {"brewery": brewery, "source": source}
    low, high = min(numbers) - 1, max(numbers) + 1
    if high - low <= 3 * len(numbers) + 2:
        return statements.execute(statements.CHAIN_SPAN, {**at, "low": low, "high": high})
    near = sorted({place for number in numbers for place in (number - 1, number, number + 1)})
    return statements.execute(statements.CHAIN_PLACES, {**at, "numbers": near})


def _decide(arrival: Arrival, held: _Held) -> None:
    known = held.stored.get(arrival.id)
    if known and known[0] in (arrival.hash, arrival.redacted):
        arrival.status, arrival.sequence, arrival.kept, arrival.problem = "repeat", known[1], True, None
        return
    before = held.quarantined.get(arrival.hash)
    if before and not arrival.again:
        arrival.status, arrival.kept, arrival.sequence = "quarantined", True, before[0]
        arrival.problem, arrival.text = before[1], arrival.text or "it was put in quarantine before"
        return
    if known:
        arrival.doubt("id-reused", "its id is held with other bytes")
    if not arrival.problem:
        _judge_chain(arrival, held)
    arrival.status = "quarantined" if arrival.problem else "stored"


def _judge_chain(arrival: Arrival, held: _Held) -> None:
    event = arrival.event
    source, number, prevhash = event["source"], event["number"], event["prevhash"]
    if (source, number) in held.numbers:
        arrival.doubt("number-reused", "its number is held with other bytes")
        return
    if number == 1 and prevhash != ZERO:
        arrival.doubt("chain-broken", "its number is 1 and its prevhash is not zero")
        return
    before, after = held.numbers.get((source, number - 1)), held.numbers.get((source, number + 1))
    if before and before[0] != prevhash:
        arrival.doubt("chain-broken", "its prevhash is not the hash of the event before it")
    elif after and after[1] != arrival.hash:
        arrival.doubt("chain-broken", "the event after it, held already, names another one before itself")


def _row(
    brewery: str, arrival: Arrival, now: int, clock_offset: int | None, carrier: str | None
) -> dict[str, Any]:
    event = arrival.event
    shaped = arrival.problem != "invalid"
    return {
        "brewery": brewery,
        "sequence": arrival.sequence,
        "status": arrival.status,
        "problem": arrival.problem,
        "event": arrival.id,
        "source": event["source"] if shaped else None,
        "number": event["number"] if shaped else None,
        "run": events.run_of(event.get("subject")),
        "kind": event["type"] if shaped else None,
        "hlc": event["hlc"] if shaped else None,
        "hash": arrival.hash,
        "prevhash": event["prevhash"] if shaped else None,
        "body": arrival.body,
        "recorded": now,
        "clock_offset": clock_offset,
        "carrier": carrier,
    }


def _remember(arrival: Arrival, row: dict[str, Any], held: _Held) -> None:
    if arrival.status == "stored":
        held.stored[arrival.id] = (arrival.hash, arrival.sequence)
        held.numbers[(row["source"], row["number"])] = (arrival.hash, row["prevhash"])
    else:
        held.quarantined[arrival.hash] = (arrival.sequence, str(arrival.problem))


def _mark_devices(
    brewery: str, rows: list[dict[str, Any]], now: int, clock_offset: int | None, carrier: str | None
) -> None:
    """How far each device has been heard; a projection the desk shows."""
    last: dict[str, tuple[int, int]] = {}
    for row in rows:
        if row["status"] == "stored" and row["source"] != SERVER:
            number, _ = last.get(row["source"], (0, 0))
            last[row["source"]] = (max(number, row["number"]), row["sequence"])
    for source, (number, sequence) in last.items():
        at = {"at_brewery": brewery, "at_device": source.removeprefix("/devices/")}
        statements.execute(statements.REACHED, {**at, "reached": number, "last": sequence})
    if carrier:
        at = {"at_brewery": brewery, "at_device": carrier}
        statements.execute(statements.HEARD, {**at, "now": now, "offset": clock_offset})


def _mark_after_sign_ins(brewery: str, rows: list[dict[str, Any]]) -> None:
    """Runs whose records came before the sign-in or sign-out that bears on them are folded again."""
    for row in rows:
        if row["status"] == "stored" and row["kind"] in events.SIGN_INS and row["source"] != SERVER:
            at = {"at_brewery": brewery, "at_source": row["source"], "after": row["number"]}
            statements.execute(statements.LATER_OF_SOURCE, at)


def _mark_runs(brewery: str, rows: list[dict[str, Any]]) -> set[str]:
    touched: dict[str, dict[str, Any]] = {}
    fresh = {
        "stale": True,
        "opened": "",
        "status": "open",
        "deviations": 0,
        "contested": 0,
        "unreviewed": False,
    }
    for row in rows:
        if row["status"] == "stored" and row["run"]:
            run = touched.setdefault(row["run"], {"brewery": brewery, "id": row["run"], **fresh})
            run["last"] = row["sequence"]
    if touched:
        statements.execute(statements.TOUCH_RUNS[db.engine.dialect.name], list(touched.values()))
    return set(touched)
