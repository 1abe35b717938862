"""What a printed record says of itself: its run, the hash over its records, and the log's head when it was printed.

    VESSELSIDE-1 <log> <run> <digest> <size> <root>

The square code on paper holds this text. It is not signed: it says whether the paper fits a log, and nothing more.
"""

from dataclasses import dataclass

from vesselside.core.ground.clock import is_hash
from vesselside.core.run.events import LARGEST, is_id
from vesselside.store.read.witness import HeadError

FORM = "VESSELSIDE-1"


@dataclass(frozen=True)
class Printed:
    """A printed record: `digest` is over the records that the log held of `run` when its head was of `size`."""

    log: str
    run: str
    digest: str
    size: int
    root: str


def read(text: str) -> Printed:
    """HeadError when it is not the text of a square code."""
    parts = text.split()
    if len(parts) != 6 or parts[0] != FORM:
        raise HeadError(f"The text of a printed record begins with {FORM} and has five words after it.")
    _, log, run, digest, size, root = parts
    if not is_id(log) or not is_id(run) or not is_hash(digest) or not is_hash(root):
        raise HeadError("A printed record names a log and a run by their ids, and two hashes in hex.")
    if not (size.isascii() and size.isdigit()) or not 1 <= len(size) <= 16 or int(size) > LARGEST:
        raise HeadError("A printed record says in a whole number how many records the log had.")
    return Printed(log, run, digest, int(size), root)
