"""One run as a file that proves itself: its records, what vouches for them, and their places under a signed head.

It is written from the database and judged from nothing but itself, and a head that a phone kept, if one is given.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from sqlalchemy import select

from vesselside.core.run.events import SIGN_INS, is_count, run_of
from vesselside.core.run.presence import RESTS_MS
from vesselside.store.base.db import db
from vesselside.store.base.instants import text_of
from vesselside.store.base.models import Logged
from vesselside.store.fold import folding, projections
from vesselside.store.log import merkle, redacted, signing, tree
from vesselside.store.log.book import Book
from vesselside.store.log.writer import SERVER
from vesselside.store.read import witness
from vesselside.store.read.printed import Printed

KIND = "vesselside-evidence-1"
Event = dict[str, Any]
Kept = witness.Kept


class EvidenceError(ValueError):
    """A file that is no evidence, or a run of which there is none; the text says why."""


class BrokenError(Exception):
    """Something in the file does not hold: which event, or the part of the file, and a code."""

    def __init__(self, where: str, code: str) -> None:
        super().__init__(f"{where} {code}")


def made(
    book: Book, run: str, heads: Iterable[Kept], now: int, paper: Iterable[Printed] = ()
) -> dict[str, Any]:
    """The evidence of a run under the log's head as it stands, tied to older ones. EvidenceError if there is none.

    The older ones are `heads` that were kept, and those that printed records name.
    """
    rows = db.session.execute(
        select(Logged)
        .where(Logged.brewery == book.brewery, Logged.run == run, Logged.status == "stored")
        .order_by(Logged.sequence)
    )
    events = [folding.placed(row.body, row.sequence, row.recorded) for row in rows.scalars()]
    if not events:
        raise EvidenceError(f"There is no record of a run {run}.")
    head = tree.signed(book, now).told()
    vouching = _vouching(book.brewery, events)
    nodes = tree.nodes_of(book.brewery)
    opened = next((event for event in events if event["type"] == "run.opened"), None)
    return {
        "kind": KIND,
        "log": book.brewery,
        "run": run,
        "made": text_of(now),
        "events": events,
        "administration": vouching,
        "procedure": folding.procedure_of(book.brewery, opened),
        "keys": {SERVER: book.keys.server.jwk},
        "head": head,
        "paths": {
            event["sequence"]: _hex(merkle.inclusion(int(event["sequence"]) - 1, head["size"], nodes))
            for event in (*events, *vouching)
        },
        "older": [
            {"head": kept, "path": _hex(merkle.consistency(kept["size"], head["size"], nodes))}
            for kept in [*heads, *({"size": row.size, "root": row.root} for row in paper)]
            if 0 < kept["size"] <= head["size"]
        ],
    }


def _vouching(brewery: str, events: Sequence[Event]) -> list[Event]:
    """The administration that says whose keys and rights these are, who was there, and which procedure was followed."""
    devices = {event["source"].removeprefix("/devices/") for event in events}
    people = {event["person"] for event in events}
    procedures = {event["data"].get("procedure") for event in events if event["type"] == "run.opened"}
    wanted = {
        "device.enrolled": ("device", devices),
        "device.revoked": ("device", devices),
        "person.changed": ("person", people),
        "person.retired": ("person", people),
        "person.secret-set": ("person", people),
        "procedure.published": ("id", procedures),
        redacted.KIND: ("event", {event["id"] for event in events}),
    }
    pairs = {(event["person"], event["source"].removeprefix("/devices/")) for event in events}
    # the oldest sign-in that can prove anything of these records, and the last record's own time
    since = min(int(event["hlc"][:12], 16) for event in events) - RESTS_MS
    until = max(event["hlc"] for event in events)
    found = []
    for event in projections.administration(brewery)[1]:
        data = event["data"]
        if event["type"] in SIGN_INS:
            device = data.get("device") if event["source"] == SERVER else event["source"][9:]
            known = event["hlc"] <= until or event["sequence"] <= events[-1]["sequence"]
            if (data.get("person"), device) in pairs and since <= int(event["hlc"][:12], 16) and known:
                found.append(event)
        elif event["type"] == "sign-ins.kept":
            found.append(event)
        else:
            field, names = wanted.get(event["type"], ("", set()))
            if data.get(field) in names:
                found.append(event)
    return found


def _hex(path: Iterable[bytes]) -> list[str]:
    return [step.hex() for step in path]


def judge(evidence: object, kept: Iterable[Kept], paper: Iterable[Printed] = ()) -> list[str]:
    """What was taken out of it; BrokenError at the first thing in it, or in what was kept elsewhere, that fails."""
    try:
        return _judge(evidence, list(kept), list(paper))
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        # whatever was put in the place of a part; the file was made by a program, so no part may be another
        raise BrokenError("file", "malformed") from error


def untied(evidence: Any) -> str:
    """What is to be known of evidence that was judged beside nothing kept elsewhere: whose word all of it is."""
    key = signing.thumbprint(evidence["head"]["key"])
    return (
        f"It was judged by the key it names itself, {key}. That shows that nothing in it was changed since it"
        " was made, and not by whom: compare that key with the office's own, or give a head that a phone kept (--head)."
    )


def _judge(evidence: Any, kept: list[Kept], paper: list[Printed]) -> list[str]:
    if evidence["kind"] != KIND:
        raise BrokenError("file", "malformed")
    _head(evidence, kept)
    keys = {SERVER: signing.public_jwk(evidence["keys"][SERVER])}
    if keys[SERVER] != evidence["head"]["key"]:
        raise BrokenError("head", "key-differs")
    _administration(evidence, keys)
    if not evidence["events"]:
        raise BrokenError("file", "no-records")
    for event in evidence["events"]:
        if run_of(event["subject"]) != evidence["run"]:
            raise BrokenError(event["id"], "of-another-run")
        if event["source"] not in keys:
            raise BrokenError(event["id"], "key-not-enrolled")
        _event(evidence, event, keys)
    for event in _breaks([*evidence["administration"], *evidence["events"]]):
        raise BrokenError(event["id"], "chain-broken")
    _procedure(evidence)
    for sheet in paper:
        _paper(evidence, sheet)
    return [f"{event['data']['event']}: {redacted.told(event['data'])}" for event in _redactions(evidence)]


def _administration(evidence: Any, keys: dict[str, signing.Jwk]) -> None:
    """The server's own events hold, and the sign-ins of the phones; the keys of the phones are taken from them."""
    for event in evidence["administration"]:
        own = event["source"] == SERVER or event["type"] in SIGN_INS
        if not own or event.get("log", evidence["log"]) != evidence["log"]:
            raise BrokenError(event["id"], "of-another-log")
        if event["source"] not in keys:
            raise BrokenError(event["id"], "key-not-enrolled")
        _event(evidence, event, keys)
        # an older record names the key by its thumbprint alone, which proves no signature
        if event["type"] == "device.enrolled" and isinstance(event["data"]["key"], dict):
            keys[f"/devices/{event['data']['device']}"] = signing.public_jwk(event["data"]["key"])


def _paper(evidence: Any, sheet: Printed) -> None:
    """A printed record is of this run, of these records, and of a log that this one goes on from."""
    if sheet.log != evidence["log"]:
        raise BrokenError("printed", "of-another-log")
    if sheet.run != evidence["run"]:
        raise BrokenError("printed", "of-another-run")
    printed = [event for event in evidence["events"] if int(event["sequence"]) <= sheet.size]
    hashes = [redacted.hash_of(event, signing.parts(signing.stripped(event))[0]) for event in printed]
    if signing.digest_of(hashes) != sheet.digest:
        raise BrokenError("printed", "changed")
    _tied(evidence, sheet.size, sheet.root, "printed")


def _tied(evidence: Any, size: int, root: str, what: str) -> None:
    """The log of the file begins with what a head of this size and root was over."""
    head = evidence["head"]
    if (size, root) == (head["size"], head["root"]):
        return
    paths = {(row["head"]["size"], row["head"]["root"]): row["path"] for row in evidence["older"]}
    path = paths.get((size, root))
    if path is None:
        raise BrokenError(what, "not-tied")
    roots = bytes.fromhex(root), bytes.fromhex(head["root"])
    if not merkle.consistent(size, head["size"], [bytes.fromhex(step) for step in path], *roots):
        raise BrokenError(what, "log-forked")


def _head(evidence: Any, kept: list[Kept]) -> None:
    (head,) = witness.read_heads(evidence["head"])
    if head["log"] != evidence["log"]:
        raise BrokenError("head", "of-another-log")
    if not witness.genuine(head):
        raise BrokenError("head", "signature-invalid")
    for one in kept:
        if not witness.genuine(one):
            raise BrokenError("kept-head", "signature-invalid")
        if one["key"] != head["key"] or one["log"] != head["log"]:
            raise BrokenError("head", "key-differs")
        _tied(evidence, one["size"], one["root"], "kept-head")


def _event(evidence: Any, event: Event, keys: dict[str, signing.Jwk]) -> None:
    whole, signed = signing.parts(signing.stripped(event))
    if "redacted" in event:
        # the server's own redaction, judged before among the administration, stands for the signature
        said_of = redacted.by_event(_redactions(evidence)).get(event["id"], [])
        if event["source"] == SERVER or not redacted.vouched(event, said_of, stored=True):
            raise BrokenError(event["id"], "redaction-not-signed")
    elif not signing.verified(keys[event["source"]], event["signature"], signed):
        raise BrokenError(event["id"], "signature-invalid")
    said = {
        "sequence": event["sequence"],
        "recordedtime": event["recordedtime"],
        "status": "stored",
        "hash": redacted.hash_of(event, whole),
    }
    size, index = evidence["head"]["size"], int(event["sequence"]) - 1
    path = [bytes.fromhex(step) for step in evidence["paths"][event["sequence"]]]
    leaf, root = merkle.leaf_hash(signing.canonical(said)), bytes.fromhex(evidence["head"]["root"])
    if not is_count(event["number"]) or not merkle.included(leaf, index, size, path, root):
        raise BrokenError(event["id"], "not-in-log")


def _redactions(evidence: Any) -> list[Event]:
    return redacted.sound(event for event in evidence["administration"] if event["type"] == redacted.KIND)


def _breaks(events: Sequence[Event]) -> Iterator[Event]:
    """The records whose predecessor is here and is not the one they name."""
    held = {
        (event["source"], event["number"]): redacted.hash_of(event, signing.parts(signing.stripped(event))[0])
        for event in events
    }
    for event in events:
        before = held.get((event["source"], event["number"] - 1))
        if before is not None and before != event["prevhash"]:
            yield event


def _procedure(evidence: Any) -> None:
    """The version that was followed is the one that was published, and is here as it was published."""
    opened = [event for event in evidence["events"] if event["type"] == "run.opened"]
    if not opened:
        return
    data, procedure = opened[0]["data"], evidence["procedure"]
    published = {
        (event["data"]["id"], event["data"]["version"]): event["data"]["sha256"]
        for event in evidence["administration"]
        if event["type"] == "procedure.published"
    }
    sha256 = published.get((data["procedure"], data["version"]))
    if sha256 is None or procedure is None:
        raise BrokenError(opened[0]["id"], "procedure-not-published")
    content = {name: value for name, value in procedure.items() if name != "sha256"}
    said = {signing.sha256(signing.canonical(content)), data["sha256"], procedure["sha256"]}
    if said != {sha256}:
        raise BrokenError("procedure", "changed")
