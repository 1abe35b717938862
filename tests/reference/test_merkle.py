"""The Merkle log against what others have published and made, and every proof spoilt in every byte.

Vectors: the reference tests of transparency-dev/merkle for RFC 6962 and RFC 9162 (SHA-256; leaves, roots of sizes 1
to 8, the consistency proof from 6 to 7). The slow tree is written from the definitions of RFC 9162 §2.1.1 alone.
"""

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vesselside.store.log import merkle

LEAVES = [
    bytes.fromhex(text)
    for text in (
        "", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f",
    )
]  # fmt: skip
ROOTS = [
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
SIX_TO_SEVEN = [
    "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
    "b08693ec2e721597130641e8211e7eedccb4c26413963eee6c1e2ed16ffb1a5f",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
]


def slow_root(leaves: list[bytes]) -> bytes:
    """MTH(D[n]) of RFC 9162 §2.1.1, word for word."""
    if not leaves:
        return hashlib.sha256(b"").digest()
    if len(leaves) == 1:
        return hashlib.sha256(b"\x00" + leaves[0]).digest()
    k = 1
    while k * 2 < len(leaves):
        k *= 2
    return hashlib.sha256(b"\x01" + slow_root(leaves[:k]) + slow_root(leaves[k:])).digest()


def nodes_of(leaves: list[bytes]) -> merkle.Nodes:
    return lambda level, place: slow_root(leaves[place << level : (place + 1) << level])


def test_hashes_of_nothing_of_a_leaf_and_of_a_node():
    assert merkle.EMPTY.hex() == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    leaf = merkle.leaf_hash(b"L123456").hex()
    assert leaf == "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56"
    node = merkle.node_hash(b"N123", b"N456").hex()
    assert node == "aa217fe888e47007fa15edab33c2b492a722cb106c64667fc2b044444de66bbb"


@pytest.mark.parametrize("size", range(1, 9))
def test_roots_are_those_published(size):
    assert merkle.root(size, nodes_of(LEAVES)).hex() == ROOTS[size - 1]


def test_the_published_proof_of_consistency():
    assert [step.hex() for step in merkle.consistency(6, 7, nodes_of(LEAVES))] == SIX_TO_SEVEN
    steps, old, new = (
        [bytes.fromhex(text) for text in part] for part in (SIX_TO_SEVEN, [ROOTS[5]], [ROOTS[6]])
    )
    assert merkle.consistent(6, 7, steps, old[0], new[0])


@pytest.mark.parametrize("size", range(1, 34))
def test_every_leaf_is_shown_to_be_in_every_tree_and_nothing_else_is(size):
    leaves = [bytes([at]) for at in range(size)]
    nodes, head = nodes_of(leaves), slow_root(leaves)
    for index in range(size):
        path = merkle.inclusion(index, size, nodes)
        leaf = merkle.leaf_hash(leaves[index])
        assert merkle.included(leaf, index, size, path, head)
        assert not merkle.included(merkle.leaf_hash(b"other"), index, size, path, head)
        for elsewhere in (index - 1, index + 1, size):
            assert not merkle.included(leaf, elsewhere, size, path, head)
        assert not merkle.included(leaf, index, size, [*path, head], head)
        if path:
            assert not merkle.included(leaf, index, size, path[:-1], head)
    for index in (-1, size):
        with pytest.raises(merkle.RangeError):
            merkle.inclusion(index, size, nodes)


@pytest.mark.parametrize("second", range(1, 34))
def test_every_tree_is_shown_to_begin_with_every_smaller_one(second):
    leaves = [bytes([at]) for at in range(second)]
    nodes, new = nodes_of(leaves), slow_root(leaves)
    for first in range(1, second + 1):
        old, path = slow_root(leaves[:first]), merkle.consistency(first, second, nodes)
        assert merkle.consistent(first, second, path, old, new)
        other = slow_root([*leaves[: first - 1], b"other"])
        assert not merkle.consistent(first, second, path, other, new)
        assert not merkle.consistent(first, second, path, old, other)
        assert not merkle.consistent(first, second, [*path, new], old, new)
        if path:
            assert not merkle.consistent(first, second, path[:-1], old, new)
    for first in (0, second + 1):
        with pytest.raises(merkle.RangeError):
            merkle.consistency(first, second, nodes)


@given(st.data())
def test_a_proof_with_any_bit_changed_shows_nothing(data):
    size = data.draw(st.integers(2, 40))
    leaves = [bytes([at]) for at in range(size)]
    nodes, head = nodes_of(leaves), slow_root(leaves)
    index, first = data.draw(st.integers(0, size - 1)), data.draw(st.integers(1, size - 1))
    bit = data.draw(st.integers(0, 255))
    leaf, path = merkle.leaf_hash(leaves[index]), merkle.inclusion(index, size, nodes)
    place = data.draw(st.integers(0, len(path) - 1))
    assert not merkle.included(leaf, index, size, flipped(path, place, bit), head)
    old, steps = slow_root(leaves[:first]), merkle.consistency(first, size, nodes)
    place = data.draw(st.integers(0, len(steps) - 1))
    assert not merkle.consistent(first, size, flipped(steps, place, bit), old, head)


def flipped(path: list[bytes], place: int, bit: int) -> list[bytes]:
    step = bytearray(path[place])
    step[bit // 8] ^= 1 << bit % 8
    return [*path[:place], bytes(step), *path[place + 1 :]]
