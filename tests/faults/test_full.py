"""A server whose disk is full, and one that is sent large pictures by everybody at once."""

import hashlib
import io
from concurrent.futures import ThreadPoolExecutor

import requests
from PIL import Image

from tests.api.outside import Phone, new_run
from tests.faults import processes

SIDE = 2_236  # squared just below the five million points a photo may have
AT_ONCE = 12


def test_a_full_disk_asks_to_wait_and_loses_nothing(served):
    phone, run = Phone(served.url, served.code()), new_run()
    kept = [phone.make(run) for _ in range(30)]
    assert {row["status"] for row in phone.push(kept)} == {"stored"}
    more = [phone.make(run, data={"text": "x" * 1_000}) for _ in range(120)]
    processes.let_no_file_grow_beyond(served, 8_192)
    refused = phone.exchange(more)
    assert refused.status_code == 503, refused.text[:200]
    assert refused.headers["Content-Type"] == "application/problem+json"
    assert int(refused.headers["Retry-After"]) > 0
    assert requests.get(f"{served.url}/healthz", timeout=5).ok
    assert [event["id"] for event in phone.get(f"/api/runs/{run}").json()["events"]] == [
        event["id"] for event in kept
    ], "what is there can be read all the while"
    processes.let_no_file_grow_beyond(served, -1)
    assert {row["status"] for row in phone.push(more)} == {"stored"}
    assert len(phone.get(f"/api/runs/{run}").json()["events"]) == 150
    served.stop()
    checked = served.command("check")
    assert checked.returncode == 0, checked.stdout


def picture(at: int) -> bytes:
    """A sound picture as large as one may be, and few bytes to send."""
    file = io.BytesIO()
    Image.new("RGBA", (SIDE, SIDE), (at, 9, 9, 200)).save(file, "PNG")
    return file.getvalue()


def test_large_pictures_sent_by_everybody_at_once_are_unpacked_one_at_a_time(served):
    """Each takes 20 MB while it is looked at; a process that unpacked all it was sent would take ten times as much."""
    phones = [Phone(served.url, served.code(f"phone {at}")) for at in range(AT_ONCE)]
    contents = [picture(at) for at in range(AT_ONCE)]
    for phone, content in zip(phones, contents, strict=True):
        named = {"sha256": hashlib.sha256(content).hexdigest(), "mime": "image/png", "bytes": len(content)}
        phone.push([phone.make(new_run(), "photo.added", named)])

    def send(phone: Phone, content: bytes) -> int:
        path = f"/api/photos/{hashlib.sha256(content).hexdigest()}"
        return phone.send(path, content, method="PUT", Content_Type="image/png").status_code

    assert send(phones[0], contents[0]) in (200, 201, 204)
    before = processes.most_memory(served)
    with ThreadPoolExecutor(AT_ONCE) as pool:
        told = [pool.submit(send, *row) for row in zip(phones, contents, strict=True)]
        while not all(one.done() for one in told):
            assert requests.get(f"{served.url}/healthz", timeout=5).ok
    assert {one.result() for one in told} <= {200, 201, 204}
    one_picture = SIDE * SIDE * 4
    assert processes.most_memory(served) - before < 3 * one_picture
