"""Photos: `PUT` and `GET /api/photos/<sha256>`, each answer of them.

What is a picture is made by Pillow (a reference library) or by hand from the PNG specification (W3C, third edition);
hashes are hashlib's.
"""

import gzip
import hashlib
import io
import struct
import zlib

import pytest
import requests
from PIL import Image

from tests.api.outside import Phone
from tests.living import Living
from vesselside import store

MOST = 4 * 1024 * 1024
FORMATS = {"image/jpeg": "JPEG", "image/webp": "WEBP", "image/png": "PNG"}
SENT = [0]


def picture(mime: str = "image/jpeg", size: tuple[int, int] = (40, 30)) -> bytes:
    """A picture nobody has sent before."""
    SENT[0] += 1
    made = io.BytesIO()
    Image.new("RGB", size, (SENT[0] % 256, SENT[0] // 256, 90)).save(
        made, FORMATS[mime], comment=b"%d" % SENT[0]
    )
    return made.getvalue()


def chunk(kind: bytes, data: bytes) -> bytes:
    """A chunk of a PNG file."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png(width: int, height: int, packed: bytes, *more: bytes) -> bytes:
    """A PNG file of one bit a point that unpacks to whatever its head says."""
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    chunks = (chunk(b"IHDR", head), *more, chunk(b"IDAT", packed), chunk(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def name_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def put(phone: Phone, content: bytes, mime: str = "image/jpeg", *, name: str = "", **headers: str):
    return phone.send(
        f"/api/photos/{name or name_of(content)}", content, method="PUT", Content_Type=mime, **headers
    )


def refusal(answer: requests.Response) -> tuple[int, str]:
    assert answer.headers["Content-Type"] == "application/problem+json", answer.text
    return answer.status_code, answer.json()["type"].removeprefix("urn:vesselside:")


@pytest.mark.parametrize("mime", FORMATS)
def test_a_photo_is_kept_once_and_given_out_as_it_came(phone, other, mime):
    content = picture(mime)
    assert [put(phone, content, mime).status_code for _ in range(2)] == [201, 200]
    assert put(other, content, mime).status_code == 200
    given = other.get(f"/api/photos/{name_of(content)}")
    assert (given.status_code, given.content) == (200, content)
    assert given.headers["Content-Type"] == mime
    assert given.headers["X-Content-Type-Options"] == "nosniff"
    assert given.headers["Content-Security-Policy"] == "sandbox"
    assert "immutable" in given.headers["Cache-Control"]
    assert "private" in given.headers["Cache-Control"]


def test_a_photo_may_come_before_the_record_that_names_it_or_after(phone, run):
    for first in (True, False):
        content = picture()
        data = {"step": "look", "sha256": name_of(content), "mime": "image/jpeg", "bytes": len(content)}
        if first:
            assert put(phone, content).status_code == 201
        assert phone.push([phone.make(run, "photo.added", data)])[0]["status"] == "stored"
        if not first:
            assert put(phone, content).status_code == 201


def test_a_photo_that_is_not_its_hash_is_invalid_and_not_kept(phone):
    content, another = picture(), picture()
    assert refusal(put(phone, content, name=name_of(another))) == (422, "invalid")
    assert refusal(put(phone, content, name=name_of(content).upper())) == (422, "invalid")
    assert refusal(phone.get(f"/api/photos/{name_of(another)}")) == (404, "not-found")
    assert refusal(phone.get(f"/api/photos/{name_of(content)}")) == (404, "not-found")


GIF = bytes.fromhex("47494638396101000100800000000000ffffff2c00000000010001000002024401003b")
SOUND = png(64, 64, zlib.compress(bytes(64 * 9)))
ROW_BOMB = zlib.compress(bytes(8_000 * (8_000 // 8 + 1)), 9)
TEXT_BOMB = chunk(b"zTXt", b"Comment\x00\x00" + zlib.compress(bytes(64_000_000), 9))
NO_PICTURES = {
    "nothing": b"",
    "a page": b"<!doctype html><script>alert(1)</script>",
    "a drawing": b'<svg xmlns="http://www.w3.org/2000/svg" width="1" height="1"/>',
    "another format": GIF,
    "the head of a picture alone": picture()[:200],
    "a picture cut short": picture(size=(900, 700))[:-400],
    "a picture with a byte changed": SOUND[:50] + bytes([SOUND[50] ^ 1]) + SOUND[51:],
    "more points than any photo": png(8_000, 8_000, ROW_BOMB),
    "more points than are unpacked": png(2_500, 2_001, zlib.compress(bytes(314 * 2_001))),
    "more points than a machine has memory for": png(2_000_000, 2_000_000, ROW_BOMB),
    "a text that unpacks to much": png(8, 8, zlib.compress(bytes(16)), TEXT_BOMB),
}


@pytest.mark.parametrize("what", NO_PICTURES)
def test_what_is_no_picture_is_invalid_whatever_it_is_called(phone, what):
    content = NO_PICTURES[what]
    for mime in FORMATS:
        assert refusal(put(phone, content, mime)) == (422, "invalid")
    assert phone.get(f"/api/photos/{name_of(content)}").status_code == 404


def test_a_picture_sent_as_another_kind_is_invalid(phone):
    content = picture("image/png")
    assert refusal(put(phone, content, "image/jpeg")) == (422, "invalid")
    assert put(phone, content, "image/png").status_code == 201


def padded(size: int) -> bytes:
    """A PNG of exactly `size` bytes: a private chunk that readers pass over fills it."""
    SENT[0] += 1
    rows = zlib.compress(bytes(16))
    bare = len(png(8, 8, rows, chunk(b"vsId", b"")))
    return png(8, 8, rows, chunk(b"vsId", SENT[0].to_bytes(size - bare, "big")))


def test_the_largest_photo_is_kept_and_one_byte_more_is_too_large(phone):
    assert put(phone, padded(MOST), "image/png").status_code == 201
    assert refusal(put(phone, padded(MOST + 1), "image/png")) == (413, "too-large")


def test_a_body_that_does_not_say_how_long_it_is_is_cut_off_at_the_limit(phone):
    content = padded(MOST + 1)
    pieces = (content[at : at + 65_536] for at in range(0, len(content), 65_536))
    answer = phone.http.put(
        f"{phone.url}/api/photos/{name_of(content)}",
        data=pieces,
        headers={"Content-Type": "image/png"},
        timeout=30,
    )
    assert refusal(answer) == (413, "too-large")


def test_a_gzipped_body_counts_as_what_it_unpacks_to(phone):
    content, large = picture(), padded(MOST + 1)
    packed = {"Content_Encoding": "gzip"}
    assert put(phone, gzip.compress(content), name=name_of(content), **packed).status_code == 201
    answer = put(phone, gzip.compress(large), "image/png", name=name_of(large), **packed)
    assert refusal(answer) == (413, "too-large")


def test_a_stranger_and_a_revoked_phone_neither_send_nor_see(server: Living, phone, other, desk):
    content = picture()
    assert put(phone, content).status_code == 201
    address = f"{server.url}/api/photos/{name_of(content)}"
    image = {"Content-Type": "image/jpeg"}
    assert refusal(requests.put(address, content, headers=image, timeout=30)) == (401, "not-enrolled")
    assert refusal(requests.get(address, timeout=30)) == (401, "not-enrolled")
    gone = desk.post(f"/api/desk/devices/{other.id}/revocation", {"reason": "lost"})
    assert gone.ok, gone.text
    assert refusal(put(other, content)) == (401, "not-enrolled")
    assert refusal(other.get(f"/api/photos/{name_of(content)}")) == (401, "not-enrolled")


def test_another_brewery_has_photos_of_its_own(server: Living, phone):
    with server.inside():
        elsewhere = store.create_brewery("Another brewery")
        code = store.make_code(elsewhere, "phone elsewhere")
    stranger = Phone(server.url, code)
    content = picture()
    assert put(phone, content).status_code == 201
    assert refusal(stranger.get(f"/api/photos/{name_of(content)}")) == (404, "not-found")
    assert put(stranger, content).status_code == 201, "it is new there"


def test_photos_outlive_the_server_in_a_file_of_their_name(fresh: Living):
    fresh.start()
    phone = Phone(fresh.url, fresh.code())
    content = picture()
    assert put(phone, content).status_code == 201
    fresh.kill()
    (kept,) = (fresh.folder / "photos").rglob("*.*")
    assert (kept.name, kept.read_bytes()) == (f"{name_of(content)}.jpeg", content)
    fresh.start()
    assert phone.get(f"/api/photos/{name_of(content)}").content == content


def test_a_damaged_photo_is_found_by_check_and_never_written_over(fresh: Living):
    fresh.start()
    phone = Phone(fresh.url, fresh.code())
    content = picture()
    put(phone, content)
    (kept,) = (fresh.folder / "photos").rglob("*.*")
    assert fresh.command("check").returncode == 0
    kept.write_bytes(b"rotten")
    done = fresh.command("check")
    assert (done.returncode, f"the photo {kept.name} is damaged" in done.stdout) == (1, True)
    assert kept.read_bytes() == b"rotten"


def test_a_folder_that_cannot_be_written_asks_the_phone_to_wait(fresh: Living):
    (fresh.folder / "photos").write_text("not a folder")
    fresh.start()
    phone = Phone(fresh.url, fresh.code())
    answer = put(phone, picture())
    assert answer.status_code == 503
    assert int(answer.headers["Retry-After"]) > 0
