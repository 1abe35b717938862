"""The Merkle log of a brewery: its leaves are the rows of the log, its heads are signed with the server's key.

A leaf is over {sequence, recordedtime, status, hash} of a row, at index sequence-1, and never changes. Of the nodes
every fourth level is kept, a fifteenth of the rows of the log; those between are made from at most eight of the level
below. They and the heads are made off the request path, or when a head is asked for.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import func, insert, select

from vesselside.store.base import statements
from vesselside.store.base.db import Sessions, db, writing
from vesselside.store.base.instants import DAY_MS, sequence_text, text_of
from vesselside.store.base.models import Head, Logged, Node
from vesselside.store.log import merkle, signing
from vesselside.store.log.book import Book

STEP = 4
PAGE = 4_096
SIGNED_EVERY_MS = DAY_MS


class TreeError(Exception):
    """The log or its nodes have a hole where there can be none; the text says where."""


@dataclass(frozen=True)
class SignedHead:
    """A head of a log's tree as it is given out."""

    log: str
    size: int
    root: str
    time: int
    key: signing.Jwk
    signature: str = ""

    def said(self) -> dict[str, Any]:
        """What the signature is over."""
        return {
            "log": self.log,
            "size": self.size,
            "root": self.root,
            "time": text_of(self.time),
            "key": self.key,
        }

    def told(self) -> dict[str, Any]:
        """The head with its signature."""
        return {**self.said(), "signature": self.signature}


def leaf(sequence: int, recorded: int, status: str, sha256: str) -> bytes:
    """The hash of the leaf that a row of the log is."""
    said = {
        "sequence": sequence_text(sequence),
        "recordedtime": text_of(recorded),
        "status": status,
        "hash": sha256,
    }
    return merkle.leaf_hash(signing.canonical(said))


def leaf_at(brewery: str, sequence: int) -> bytes | None:
    """The hash of the leaf at `sequence`, or None when the log has no such row."""
    found = list(_leaves(brewery, sequence - 1, sequence))
    return found[0] if found else None


def at(brewery: str, sequence: int) -> str:
    """The hash of the leaf at `sequence` in hex; zeros before the first, and "" where the log has no such row."""
    if sequence == 0:
        return signing.ZERO
    found = leaf_at(brewery, sequence)
    return found.hex() if found else ""


def size(brewery: str) -> int:
    """How many leaves the log has."""
    return statements.execute(statements.HEAD, {"brewery": brewery}).scalar() or 0


def nodes_of(brewery: str) -> merkle.Nodes:
    """The nodes of a brewery's tree; what is read once is remembered as long as the answer lives."""
    known: dict[tuple[int, int], bytes] = {}

    def node(level: int, place: int) -> bytes:
        if (level, place) not in known:
            rest = level % STEP
            if level and rest == 0:
                known[(level, place)] = _row(brewery, level, place, 1)[0]
            else:
                base, first = level - rest, place << rest
                known[(level, place)] = _joined(_row(brewery, base, first, 1 << rest))
        return known[(level, place)]

    return node


def root(brewery: str, of: int) -> bytes:
    """The root of the tree of the first `of` leaves."""
    return merkle.root(of, nodes_of(brewery))


def grow(brewery: str) -> None:
    """Keep the nodes of what the log has more; inside `writing` of that brewery."""
    count, level = size(brewery), 0
    while count >> STEP:
        level += STEP
        count >>= STEP
        kept = _count(brewery, level)
        while kept < count:
            last = min(count, kept + (PAGE >> STEP))
            below = _row(brewery, level - STEP, kept << STEP, (last - kept) << STEP)
            made = [_joined(below[at << STEP : (at + 1) << STEP]) for at in range(last - kept)]
            rows = [
                {"brewery": brewery, "level": level, "place": kept + at, "hash": hashed}
                for at, hashed in enumerate(made)
            ]
            db.session.execute(insert(Node), rows)
            kept = last


def latest(book: Book) -> SignedHead | None:
    """The newest head given out, or None when there is none yet."""
    row = db.session.execute(
        _heads(book.brewery).order_by(Head.size.desc(), Head.time.desc()).limit(1)
    ).first()
    return _head(book, row) if row else None


def heads(book: Book) -> list[SignedHead]:
    """Every head given out, by size."""
    rows = db.session.execute(_heads(book.brewery).order_by(Head.size, Head.time))
    return [_head(book, row) for row in rows]


def signed(book: Book, now: int) -> SignedHead:
    """The head of the log as it stands: the newest one while it fits and is not a day old, else a new one."""
    before = latest(book)
    if before and before.size == size(book.brewery) and now - before.time < SIGNED_EVERY_MS:
        return before
    with writing(book.brewery) as session:
        return _sign(session, book, now)


def sign_when_due(book: Book, now: int) -> bool:
    """Sign the log as it stands, unless one of its heads is younger than a day; whether that was done.

    Many processes may ask at once: the first one signs, and the others see it when they hold the lock.
    """
    if not size(book.brewery) or not _is_due(book, now):
        return False
    with writing(book.brewery) as session:
        if not _is_due(book, now):
            return False
        _sign(session, book, now)
    return True


def _is_due(book: Book, now: int) -> bool:
    newest = select(func.max(Head.time)).where(Head.brewery == book.brewery)
    last = db.session.execute(newest).scalar()
    return last is None or now - last >= SIGNED_EVERY_MS


def _sign(session: Sessions, book: Book, now: int) -> SignedHead:
    grow(book.brewery)
    of = size(book.brewery)
    head = SignedHead(book.brewery, of, root(book.brewery, of).hex(), now, book.keys.server.jwk)
    signature = book.sign(signing.canonical(head.said()))
    session.merge(Head(brewery=book.brewery, size=of, time=now, root=head.root, signature=signature))
    return SignedHead(head.log, head.size, head.root, head.time, head.key, signature)


def _heads(brewery: str) -> Any:
    return select(Head.size, Head.time, Head.root, Head.signature).where(Head.brewery == brewery)


def _head(book: Book, row: Any) -> SignedHead:
    return SignedHead(book.brewery, row.size, row.root, row.time, book.keys.server.jwk, row.signature)


def _leaves(brewery: str, start: int, end: int) -> Iterator[bytes]:
    rows = db.session.execute(
        select(Logged.sequence, Logged.recorded, Logged.status, Logged.hash)
        .where(Logged.brewery == brewery, Logged.sequence > start, Logged.sequence <= end)
        .order_by(Logged.sequence)
    )
    for row in rows:
        yield leaf(row.sequence, row.recorded, row.status, row.hash)


def _row(brewery: str, level: int, first: int, count: int) -> list[bytes]:
    """`count` whole nodes of a level that is kept, or leaves, from `first` on; what nobody has kept yet is made."""
    if level == 0:
        found = list(_leaves(brewery, first, first + count))
        if len(found) != count:
            raise TreeError(f"{count - len(found)} rows of the log are missing from sequence {first + 1} on")
        return found
    rows = db.session.execute(
        select(Node.hash)
        .where(Node.brewery == brewery, Node.level == level, Node.place >= first, Node.place < first + count)
        .order_by(Node.place)
    )
    found = [bytes(value) for value in rows.scalars()]
    lacking = range(first + len(found), first + count)
    return found + [_joined(_row(brewery, level - STEP, place << STEP, 1 << STEP)) for place in lacking]


def _count(brewery: str, level: int) -> int:
    query = select(func.max(Node.place)).where(Node.brewery == brewery, Node.level == level)
    last = db.session.execute(query).scalar()
    return 0 if last is None else last + 1


def _joined(hashes: list[bytes]) -> bytes:
    """The hash over a whole number of nodes of one level, a power of two."""
    while len(hashes) > 1:
        hashes = [merkle.node_hash(hashes[at], hashes[at + 1]) for at in range(0, len(hashes), 2)]
    return hashes[0]
