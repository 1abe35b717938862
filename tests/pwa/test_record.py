"""Ids, clocks and canonical bytes made by the phone, against their standards."""

import json
import random
import struct
from pathlib import Path

import pytest
import rfc8785

from tests.pwa.chain import hash_of, public_key

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "envelope.json").read_text())
CANONICAL = "(text) => parts.record.canonical(JSON.parse(text))"


def test_uuid7_is_that_of_the_standard(page):
    # RFC 9562 appendix A.6: ms 1645557742000, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F.
    random_bits = [0x0C, 0xC3, *(0x18C4DC0C0C07398F).to_bytes(8, "big")]
    made = page.evaluate(
        "([ms, random]) => parts.record.uuid7(ms, new Uint8Array(random))", [1645557742000, random_bits]
    )
    assert made == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_uuid7s_of_different_moments_sort_by_time(page):
    made = page.evaluate("() => [0, 1, 255, 256, 2 ** 40, 2 ** 48 - 1].map((ms) => parts.record.uuid7(ms))")
    assert made == sorted(made)


# RFC 8785, reference data of cyberphone/json-canonicalization, testdata/outhex.
@pytest.mark.parametrize(
    ("source", "outhex"),
    [
        (
            '[56,{"d":true,"10":null,"1":[]}]',
            "5b35362c7b2231223a5b5d2c223130223a6e756c6c2c2264223a747275657d5d",
        ),
        (
            '{"Unnormalized Unicode":"A\\u030a"}',
            "7b22556e6e6f726d616c697a656420556e69636f6465223a2241cc8a227d",
        ),
    ],
    ids=["arrays", "unicode"],
)
def test_canonical_text_is_that_of_the_reference_data(page, source, outhex):
    assert page.evaluate(CANONICAL, source).encode().hex() == outhex


def test_keys_sort_by_utf16_code_units(page):
    # RFC 8785 section 3.2.3: its own example.
    source = (
        '{"\\u20ac":"Euro Sign","\\r":"Carriage Return","\\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One",'
        '"\\ud83d\\ude00":"Emoji: Grinning Face","\\u0080":"Control","\\u00f6":"Latin Small Letter O With Diaeresis"}'
    )
    keys = list(json.loads(page.evaluate(CANONICAL, source)))
    assert keys == ["\r", "1", "\x80", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]


def doubles(count: int, seed: int) -> list[float]:
    """Numbers of every magnitude from random bit patterns."""
    source = random.Random(seed)
    found: list[float] = []
    while len(found) < count:
        [value] = struct.unpack("<d", source.randbytes(8))
        if value - value == 0:
            found.append(value)
    return found


def test_canonical_text_agrees_with_the_python_library_on_any_value(page):
    # rfc8785 from PyPI, an implementation of the same standard by other hands.
    value = {
        "numbers": [*doubles(2000, 8785), 1e16, 1e-6, 5.0, -0.0, 1e21, 9007199254740991],
        "texts": ["\u2028", "\u001f", '"\\/', "\U0001f37a", "é", ""],
        "\U0001f37a": {"z": None, "a": [True, False, {}]},
        "ﬃ": 1,
    }
    assert page.evaluate(CANONICAL, json.dumps(value)).encode() == rfc8785.dumps(value)


def test_the_published_envelope_has_these_bytes_on_the_phone(page):
    for row in VECTORS["events"]:
        event = row["event"]
        text = page.evaluate(CANONICAL, json.dumps(event))
        assert text.encode() == rfc8785.dumps(event)
        assert hash_of(event) == row["hash"]
        unsigned = {name: value for name, value in event.items() if name != "signature"}
        assert page.evaluate(CANONICAL, json.dumps(unsigned)).encode().hex() == row["signed_bytes"]


def test_the_private_key_cannot_be_read_out(page):
    told = page.evaluate(
        """async () => {
            const { sign, shown } = await parts.record.makeKey();
            const read = await crypto.subtle.exportKey("jwk", sign).catch((error) => error.name);
            return { shown, read, extractable: sign.extractable };
        }"""
    )
    assert told["read"] == "InvalidAccessError"
    assert told["extractable"] is False
    assert set(told["shown"]) == {"kty", "crv", "x", "y"}
    assert public_key(told["shown"]).curve.name == "secp256r1"


# Kulkarni et al. 2014, section 3: the send rule, with a 48-bit clock and a 16-bit counter.
@pytest.mark.parametrize(
    ("last", "now", "following"),
    [
        ("000000000005-0000", 6, "000000000006-0000"),
        ("000000000005-0007", 5, "000000000005-0008"),
        ("000000000005-0007", 1, "000000000005-0008"),
        ("000000000005-ffff", 1, "000000000006-0000"),
        ("0000000000ff-ffff", 3, "000000000100-0000"),
    ],
    ids=[
        "wall clock ahead",
        "same moment",
        "wall clock gone back",
        "counter full",
        "counter full with carry",
    ],
)
def test_the_clock_goes_forward_whatever_the_wall_clock_does(page, last, now, following):
    assert page.evaluate("([last, now]) => parts.clock.tick(last, now)", [last, now]) == following


@pytest.mark.parametrize(
    ("remote", "merged"),
    [
        ("000000000100-0003", "000000000100-0003"),
        ("000000000001-0000", "000000000005-0000"),
        (f"{5 + 300_000:012x}-0000", f"{5 + 300_000:012x}-0000"),
        (f"{5 + 300_001:012x}-0000", "000000000005-0000"),
        ("zzzzzzzzzzzz-0000", "000000000005-0000"),
    ],
    ids=["later", "earlier", "five minutes ahead", "more than five minutes ahead", "no clock at all"],
)
def test_a_remote_clock_is_merged_when_it_is_not_too_far_ahead(page, remote, merged):
    assert page.evaluate("(r) => parts.clock.merge('000000000005-0000', [r], 5)", remote) == merged
