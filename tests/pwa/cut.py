"""The log file of Chromium's storage, and the record that a kill leaves cut short at its end.

The format is LevelDB's (its `doc/log_format.md`): blocks of 32 KiB; in them records, each behind a head of seven bytes:
checksum, length, kind; no head begins in the last six bytes of a block.
"""

import struct
from pathlib import Path

BLOCK = 32_768
HEAD = struct.Struct("<IHB")
FULL, LAST = 1, 4

CUT_SHORT = {
    "inside the head": b"\x1f\x02\xa9",
    "behind the head": HEAD.pack(0x5EEDCAFE, 500, FULL),
    "inside the record": HEAD.pack(0x5EEDCAFE, 500, FULL) + b"half a record",
}


def newest_log(profile: Path) -> Path:
    """The log file that the one origin of a profile writes on."""
    (log,) = sorted((profile / "Default" / "IndexedDB").glob("*.indexeddb.leveldb/*.log"))[-1:]
    return log


def ends_whole(log: Path) -> bool:
    """Whether the last record of a log file is all there."""
    content = log.read_bytes()
    at, last = 0, LAST
    while at < len(content):
        if (left := BLOCK - at % BLOCK) < HEAD.size:
            at += left
            continue
        if at + HEAD.size > len(content):
            return False
        _, length, last = HEAD.unpack_from(content, at)
        at += HEAD.size + length
    return at == len(content) and last in (FULL, LAST)


def cut_short(log: Path, tail: bytes) -> None:
    """Begin another record, as a kill that comes while it is written does."""
    with log.open("ab") as end:
        end.write(tail)
