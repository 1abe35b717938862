"""Bytes, hashes and signatures against the published envelope vector and against `rfc8785` on any JSON."""

import json
from pathlib import Path

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from tests.api.outside import Key
from vesselside.store.log import intake, signing

VECTOR = json.loads((Path(__file__).parents[1] / "vectors" / "envelope.json").read_text())


@pytest.mark.parametrize("at", range(len(VECTOR["events"])))
def test_the_envelope_vector(at):
    row = VECTOR["events"][at]
    whole, signed = signing.parts(row["event"])
    assert signed.hex() == row["signed_bytes"]
    assert signing.sha256(whole) == row["hash"]
    assert signing.verified(VECTOR["key"], row["event"]["signature"], signed)
    before = VECTOR["events"][at - 1]["hash"] if at else signing.ZERO
    assert row["event"]["prevhash"] == before


texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=12)
values = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(texts, values, max_size=6), texts)
def test_both_texts_of_an_event_are_rfc_8785(members, signature):
    event = {**members, "signature": signature}
    bare = {key: value for key, value in members.items() if key != "signature"}
    assert signing.parts(event) == (rfc8785.dumps(event), rfc8785.dumps(bare))
    assert signing.parts(bare) == (rfc8785.dumps(bare), rfc8785.dumps(bare))


@given(st.dictionaries(texts, values, max_size=6))
def test_what_is_parsed_is_what_was_sent(members):
    assert intake.parse(json.dumps(members).encode()) == members
    assert intake.parse(rfc8785.dumps(members)) == members


@given(st.integers(1, 3000), st.sampled_from(["[]", "{}"]), st.integers(0, 3000))
def test_nesting_never_breaks_the_parser(depth, kind, after):
    """However deep, the elements beside it come through as they were."""
    inner = "[" * depth + "]" * depth if kind == "[]" else '{"a":' * depth + "1" + "}" * depth
    deep, beside = intake.parse(f'[{inner}, "{"x" * after}[{{"]'.encode())
    assert beside == "x" * after + "[{"
    assert deep is not None


def test_every_flipped_bit_of_a_signature_is_noticed():
    key = Key()
    event = key.sign({"id": "x", "data": {"text": "hot"}})
    _, signed = signing.parts(event)
    raw = bytearray(signing.decoded(event["signature"]))
    assert signing.verified(key.jwk, event["signature"], signed)
    for bit in range(0, 512, 7):
        raw[bit // 8] ^= 1 << bit % 8
        assert not signing.verified(key.jwk, signing.encoded(bytes(raw)), signed)
        raw[bit // 8] ^= 1 << bit % 8


def test_a_uuid7_of_a_time_is_rfc_9562():
    """RFC 9562 appendix A.6: the same time and version, variant bits as there."""
    made = signing.uuid7(1645557742000)
    assert made.startswith("017f22e2-79b0-7")
    assert made[19] in "89ab"
    assert len({signing.uuid7(1645557742000) for _ in range(1000)}) == 1000
