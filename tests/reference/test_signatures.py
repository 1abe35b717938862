"""The signatures of records, ES256, against published ones: RFC 7515 appendix A.3 and RFC 6979 appendix A.2.5."""

import pytest

from vesselside.store.log import signing

JWS = {
    "key": {
        "kty": "EC",
        "crv": "P-256",
        "x": "f83OJ3D2xF1Bg8vub9tLe1gHMzV76e8Tus9uPHvRVEU",
        "y": "x_FEzRu9m36HLN_tue659LNpXW6pCyStikYjKIWI5a0",
    },
    "signed": b"eyJhbGciOiJFUzI1NiJ9.eyJpc3MiOiJqb2UiLA0KICJleHAiOjEzMDA4MTkzODAsDQogImh0dHA6Ly9leGFt"
    b"cGxlLmNvbS9pc19yb290Ijp0cnVlfQ",
    "signature": "DtEhU3ljbEg8L38VWAfUAqOyKAM6-Xx-F4GawxaepmXFCgfTjDxw5djxLa8ISlSApmWQxfKTUJqPP3-Kg6NU1Q",
}
"""RFC 7515 appendix A.3: the key, the signing input and the signature of its example."""

KEY_OF_6979 = {
    "kty": "EC",
    "crv": "P-256",
    "x": signing.encoded(bytes.fromhex("60FED4BA255A9D31C961EB74C6356D68C049B8923B61FA6CE669622E60F29FB6")),
    "y": signing.encoded(bytes.fromhex("7903FE1008B8BC99A41AE9E95628BC64F2F1B20C2D7E9F5177A3C294D4462299")),
}
OF_6979 = {
    b"sample": (
        "EFD48B2AACB6A8FD1140DD9CD45E81D69D2C877B56AAF991C34D0EA84EAF3716"
        "F7CB1C942D657C41D436C7A1B6E29F65F3E900DBB9AFF4064DC4AB2F843ACDA8"
    ),
    b"test": (
        "F1ABB023518351CD71D881567B1EA663ED3EFCF6C5132B354F28D3B0B7D38367"
        "019F4113742A2B14BD25926B49C649155F267E60D3814B4C0CC84250E46F0083"
    ),
}
"""RFC 6979 appendix A.2.5, with SHA-256: r and s of its two messages."""

PUBLISHED = [
    (JWS["key"], JWS["signed"], JWS["signature"]),
    *((KEY_OF_6979, message, signing.encoded(bytes.fromhex(rs))) for message, rs in OF_6979.items()),
]


@pytest.mark.parametrize(("key", "signed", "signature"), PUBLISHED, ids=["7515", "sample", "test"])
def test_a_published_signature_holds_and_no_other(key, signed, signature):
    assert signing.public_jwk(key) == key
    assert signing.verified(key, signature, signed)
    assert not signing.verified(key, signature, signed + b".")
    for at in range(len(signature)):
        other = signature[:at] + ("A" if signature[at] != "A" else "B") + signature[at + 1 :]
        assert not signing.verified(key, other, signed), at
    for name in ("x", "y"):
        with pytest.raises(signing.JwkError):
            signing.public_jwk({**key, name: "A" * 43})
    for wrong in (signature[:-1], signature + "A", signature + "=", "", None, 5):
        assert not signing.verified(key, wrong, signed)


def test_the_thumbprint_is_the_published_one():
    """RFC 7638 gives its example for RSA alone; the P-256 one is of RFC 9449 section 6.1's key, from memory."""
    key = {
        "kty": "EC",
        "crv": "P-256",
        "x": "l8tFrhx-34tV3hRICRDY9zCkDlpBhF42UQUfWVAWBFs",
        "y": "9VE4jf_Ok_o64zbTTlcuNJajHmt6v9TDVrU0CdvGRDA",
    }
    assert signing.thumbprint(key) == "0ZcOCORZNYy-DWpqq30jZyJGHTN0d2HglBV3uiguA4I"
