"""Does the log still make the heads that were signed, and hold the keys and counts that others vouch for?

The heads of the database are one witness, those that phones kept are another: a head that a phone holds cannot be
made to fit by whoever has the database and the server's key.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from sqlalchemy import select

from vesselside.core.ground.clock import is_hash
from vesselside.core.run.events import ADMINISTRATION, is_count
from vesselside.store.base.db import db
from vesselside.store.base.instants import text_of
from vesselside.store.base.models import Device, Logged, Node
from vesselside.store.log import epochs, merkle, redacted, signing, tree
from vesselside.store.log.book import Book
from vesselside.store.log.writer import SERVER

Kept = dict[str, Any]
Bare = tuple[str, int, str]
"""A head as paper has it, with no signature: log, size and root."""


class HeadError(ValueError):
    """Something that was handed in as a head of a log is none; the text says why."""


def read_heads(value: object) -> list[Kept]:
    """The heads of a file that a phone or an exchange gave: one, or a list of them. HeadError when they are none."""
    rows: list[Any] = value if isinstance(value, list) else [value]
    for row in rows:
        if not isinstance(row, dict) or not is_count(row.get("size")) or not is_hash(row.get("root")):
            raise HeadError("A head has a whole number as its size and 64 hex digits as its root.")
        if not all(isinstance(row.get(name), str) for name in ("log", "time", "signature")):
            raise HeadError("A head has a log, a time and a signature.")
        signing.public_jwk(row.get("key"))
    return rows


def genuine(head: Kept) -> bool:
    """Whether a head is signed by the key it names."""
    said = {name: head[name] for name in ("log", "size", "root", "time", "key")}
    return signing.verified(head["key"], head["signature"], signing.canonical(said))


class Witness:
    """Looks on while a log is read from its first row to its last, and says at the end what does not fit."""

    def __init__(self, book: Book, kept: Iterable[Kept], paper: Iterable[Bare] = ()) -> None:
        self._book = book
        self._paper = [(size, root) for log, size, root in paper if log == book.brewery]
        own = [("head", head.told()) for head in tree.heads(book)]
        self._heads = own + [("kept head", head) for head in kept if head["log"] == book.brewery]
        self._sizes = {head["size"] for _, head in self._heads} | {size for size, _ in self._paper}
        self._roots = {0: merkle.EMPTY.hex()}
        self._frontier = merkle.Frontier()
        self._nodes = {(row.level, row.place): bytes(row.hash) for row in self._kept_nodes()}
        self._wrong_nodes: list[str] = []
        self._enrolled: dict[str, Any] = {}
        self._reached: dict[str, int] = {}
        self._restored: list[tuple[str, int]] = []
        self._named = self._owned = False
        self._redacted = self._said_of_redacted()

    def see(self, row: Logged, event: dict[str, Any]) -> Iterator[str]:
        """Look at what a stored row says; what is wrong with it."""
        self._reached[str(row.source)] = max(self._reached.get(str(row.source), 0), row.number or 0)
        if row.source != SERVER:
            return
        log = event.get("log")
        if log is None and self._named:
            yield "it is the server's and names no log"
        if log is not None:
            self._named = True
            if log != row.brewery:
                yield "it is the server's, of another log"
        if row.kind not in ADMINISTRATION:
            yield f"it is the server's, of a kind that is not known: {row.kind}"
        # those from before who did it was written name nobody
        if "by" not in event and self._owned:
            yield "it is the server's and does not say who did it"
        self._owned = self._owned or "by" in event
        if row.kind == epochs.RESTORED:
            self._restored.append((event["time"], int(event["data"]["size"])))
        if row.kind == "device.enrolled":
            self._enrolled[event["data"].get("device", "")] = event["data"].get("key")

    def kept_on(self, row: Logged) -> bool:
        """Whether a row still says what a redaction of the server says was taken out of it."""
        said = self._redacted.get(row.event, [])
        whole = signing.sha256(row.body) == row.hash
        return whole and any(one["hash"] == row.hash and one["fields"] for one in said)

    def took(self, row: Logged) -> bool:
        """Whether a row is what a redaction that the server signed left of it."""
        said = self._redacted.get(row.event)
        if said is None:
            return False
        try:
            event = signing.loaded(row.body)
            return event.get("redacted") == row.hash and redacted.vouched(event, said, row.status == "stored")
        except (KeyError, TypeError, ValueError, AttributeError):
            return False

    def faults(self) -> Iterator[str]:
        """All that does not fit, once the log was read."""
        yield from self._judge_heads()
        yield from self._wrong_nodes[:20]
        if self._nodes:
            yield f"the tree has {len(self._nodes)} nodes over records that the log lacks"
        yield from self._devices()

    def grow(self, row: Logged) -> None:
        """Take the next row into the tree."""
        leaf = tree.leaf(row.sequence, row.recorded, row.status, row.hash)
        for level, place, made in self._frontier.add(leaf):
            held = self._nodes.pop((level, place), made)
            if held != made:
                last = (place + 1) << level
                self._wrong_nodes.append(
                    f"the tree's node over {(place << level) + 1} to {last} is not theirs"
                )
        if self._frontier.size in self._sizes:
            self._roots[self._frontier.size] = self._frontier.root().hex()

    def _judge_heads(self) -> Iterator[str]:
        whole = 0
        for what, head in sorted(self._heads, key=lambda row: (row[1]["size"], row[1]["time"])):
            told = f"the {what} of {head['size']} records, signed {head['time']}"
            if not genuine(head):
                yield f"{told}: its signature is not that of its key"
            elif head["key"] != self._book.keys.server.jwk:
                yield f"{told}: it was signed with another key than the server has now"
            if what == "kept head" and self._taken_back(head):
                continue
            if head["size"] > self._frontier.size:
                yield f"{told}: the log has only {self._frontier.size}"
            elif self._roots[head["size"]] != head["root"]:
                yield f"{told}: one from {whole + 1} to {head['size']} was changed, dropped or put in"
            else:
                whole = head["size"]

        for size, root in self._paper:
            if size > self._frontier.size:
                yield f"the printed head of {size} records: the log has only {self._frontier.size}"
            elif self._roots[size] != root:
                yield f"the printed head of {size} records: one up to there was changed, dropped or put in"

    def _taken_back(self, head: Kept) -> bool:
        """Whether a restore that the log tells of took it back behind this head: no log of now can fit it."""
        return any(size < head["size"] and head["time"] <= time for time, size in self._restored)

    def _devices(self) -> Iterator[str]:
        query = select(Device.id, Device.key, Device.number, Device.heard).where(
            Device.brewery == self._book.brewery
        )
        for row in db.session.execute(query.order_by(Device.id)):
            said = self._enrolled.get(row.id)
            # an older record names the key by its thumbprint
            if said not in (row.key, signing.thumbprint(row.key)):
                why = (
                    "the log does not say that it was enrolled"
                    if said is None
                    else "it was enrolled with another"
                )
                yield f"device {row.id}: its key is not proved, {why}"
            held = self._reached.get(f"/devices/{row.id}", 0)
            if row.number > held:
                when = text_of(row.heard) if row.heard else "before"
                yield f"device {row.id}: it was heard to its record {row.number} ({when}); the log ends at {held}"

    def _said_of_redacted(self) -> dict[str, list[redacted.Said]]:
        """What redactions of this log say that bear the server's signature, by the record they are about."""
        query = select(Logged.body).where(
            Logged.brewery == self._book.brewery,
            Logged.status == "stored",
            Logged.kind == redacted.KIND,
            Logged.source == SERVER,
        )
        said = []
        for body in db.session.execute(query).scalars():
            try:
                event = signing.loaded(body)
                signed = signing.parts(event)[1]
                if signing.verified(self._book.keys.server.jwk, event.get("signature"), signed):
                    said.append(event)
            except (KeyError, TypeError, ValueError, AttributeError):
                continue  # its row is told by itself
        return redacted.by_event(redacted.sound(said))

    def _kept_nodes(self) -> Any:
        return db.session.execute(
            select(Node.level, Node.place, Node.hash).where(Node.brewery == self._book.brewery)
        )
