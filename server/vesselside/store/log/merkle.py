"""The hashes and proofs of a Merkle tree (RFC 9162 §2.1, SHA-256), whoever holds its nodes.

A tree of `size` leaves is read through `Nodes`: the hash over the block of 2^level leaves that begins at leaf
place·2^level, for whole blocks only. Nothing here knows where they lie. Proofs are judged from their hashes alone.
"""

import hashlib
from collections.abc import Callable, Sequence

Nodes = Callable[[int, int], bytes]
EMPTY = hashlib.sha256(b"").digest()


class RangeError(ValueError):
    """A proof was asked of a leaf or a size that the tree does not have."""


def leaf_hash(data: bytes) -> bytes:
    """The hash of a leaf."""
    return hashlib.sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """The hash of two nodes taken together."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def over(start: int, end: int, nodes: Nodes) -> bytes:
    """The hash over the leaves from `start` to before `end`; `start` is a multiple of the block they lie in."""
    size = end - start
    if size == 0:
        return EMPTY
    if size & (size - 1) == 0:
        level = size.bit_length() - 1
        return nodes(level, start >> level)
    middle = start + _split(size)
    return node_hash(over(start, middle, nodes), over(middle, end, nodes))


class Frontier:
    """A tree that grows leaf by leaf: the whole blocks that it is made of so far, the largest first."""

    def __init__(self) -> None:
        self.size = 0
        self._blocks: list[tuple[int, bytes]] = []

    def add(self, leaf: bytes) -> list[tuple[int, int, bytes]]:
        """Take the hash of one more leaf; the nodes above it that are whole by it, as (level, place, hash)."""
        whole = []
        level, made = 0, leaf
        while self._blocks and self._blocks[-1][0] == level:
            made = node_hash(self._blocks.pop()[1], made)
            level += 1
            whole.append((level, self.size >> level, made))
        self._blocks.append((level, made))
        self.size += 1
        return whole

    def root(self) -> bytes:
        """The root of the tree so far."""
        if not self._blocks:
            return EMPTY
        made = self._blocks[-1][1]
        for _, block in reversed(self._blocks[:-1]):
            made = node_hash(block, made)
        return made


def root(size: int, nodes: Nodes) -> bytes:
    """The root of the tree of the first `size` leaves."""
    return over(0, size, nodes)


def inclusion(index: int, size: int, nodes: Nodes) -> list[bytes]:
    """The path from leaf `index` to the root of `size` leaves. RangeError beyond them."""
    if not 0 <= index < size:
        raise RangeError(f"There is no leaf {index} among {size}.")
    path: list[bytes] = []
    start, end = 0, size
    while end - start > 1:
        middle = start + _split(end - start)
        if index < middle:
            path.append(over(middle, end, nodes))
            end = middle
        else:
            path.append(over(start, middle, nodes))
            start = middle
    return path[::-1]


def consistency(first: int, second: int, nodes: Nodes) -> list[bytes]:
    """What shows that the tree of `second` leaves begins with that of `first`. RangeError unless 0 < first ≤ second."""
    if not 0 < first <= second:
        raise RangeError(f"{first} is not from 1 to {second}.")
    path: list[bytes] = []
    start, end, whole = 0, second, True
    while first < end:
        middle = start + _split(end - start)
        if first <= middle:
            path.append(over(middle, end, nodes))
            end = middle
        else:
            path.append(over(start, middle, nodes))
            start, whole = middle, False
    if not whole:
        path.append(over(start, end, nodes))
    return path[::-1]


def included(leaf: bytes, index: int, size: int, path: Sequence[bytes], head: bytes) -> bool:
    """Whether `path` shows the leaf hash `leaf` at `index` of the tree of `size` leaves whose root is `head`."""
    if not 0 <= index < size:
        return False
    at, last, made = index, size - 1, leaf
    for step in path:
        if last == 0:
            return False
        if at & 1 or at == last:
            made = node_hash(step, made)
            while at & 1 == 0 and at:
                at, last = at >> 1, last >> 1
        else:
            made = node_hash(made, step)
        at, last = at >> 1, last >> 1
    return last == 0 and made == head


def consistent(first: int, second: int, path: Sequence[bytes], old: bytes, new: bytes) -> bool:
    """Whether `path` shows that the tree of `second` leaves and root `new` begins with that of `first` and `old`."""
    if not 0 < first <= second:
        return False
    if first == second:
        return not path and old == new
    steps = list(path)
    if first & (first - 1) == 0:
        steps.insert(0, old)
    if not steps:
        return False
    at, last = first - 1, second - 1
    while at & 1:
        at, last = at >> 1, last >> 1
    before = after = steps[0]
    for step in steps[1:]:
        if last == 0:
            return False
        if at & 1 or at == last:
            before, after = node_hash(step, before), node_hash(step, after)
            while at & 1 == 0 and at:
                at, last = at >> 1, last >> 1
        else:
            after = node_hash(after, step)
        at, last = at >> 1, last >> 1
    return last == 0 and before == old and after == new


def _split(size: int) -> int:
    """The largest power of two below `size`."""
    return 1 << ((size - 1).bit_length() - 1)
