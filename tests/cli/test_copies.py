"""`backup` while serving and `restore`: what a copy holds, what it refuses, and where it may be put back."""

import hashlib
import json
import sqlite3
import stat
import threading
import zipfile
from contextlib import closing
from io import BytesIO

import pytest
from PIL import Image

from tests.api.outside import Phone, new_run
from tests.databases import KINDS
from tests.living import Living
from tests.outside.chain import verify


def picture() -> tuple[str, bytes]:
    """A photo and its name."""
    made = BytesIO()
    Image.new("RGB", (8, 8), "teal").save(made, "PNG")
    return hashlib.sha256(made.getvalue()).hexdigest(), made.getvalue()


def send_picture(phone: Phone) -> tuple[str, bytes]:
    name, content = picture()
    answer = phone.http.put(
        f"{phone.url}/api/photos/{name}", data=content, headers={"Content-Type": "image/png"}, timeout=60
    )
    assert answer.status_code == 201, answer.text
    return name, content


@pytest.fixture
def elsewhere(templates, tmp_path):
    """Another machine, by the kind of its database: its own folder and an empty database."""
    made = []

    def make(kind: str) -> Living:
        folder = tmp_path / f"elsewhere-{len(made)}"
        folder.mkdir()
        living = Living(folder, templates.of(kind, founded=False).copy(folder))
        made.append(living)
        return living

    yield make
    for living in made:
        living.stop()


def copied(living: Living, *options: str) -> str:
    """A copy of all there is; its path."""
    path = living.folder / "copy.zip"
    done = living.command("backup", *options, str(path))
    assert (done.returncode, done.stderr) == (0, "")
    return str(path)


@pytest.mark.parametrize("kind", KINDS)
def test_a_copy_made_while_serving_is_put_back_elsewhere_into_either_kind(fresh, elsewhere, kind):
    fresh.start()
    phone, run, enough = Phone(fresh.url, fresh.code()), new_run(), threading.Event()
    name, content = send_picture(phone)
    phone.push([phone.make(run)])

    def push():
        while not enough.is_set():
            assert phone.push([phone.make(run)])[0]["status"] == "stored"

    pushing = threading.Thread(target=push)
    pushing.start()
    try:
        path = copied(fresh, "--with-keys")
    finally:
        enough.set()
        pushing.join()
    fresh.stop()
    other = elsewhere(kind)
    done = other.command("restore", path)
    assert (done.returncode, done.stderr) == (0, "")
    assert other.command("check").stdout == "ok\n"
    assert "0 differences" in other.command("rebuild").stdout
    other.start()
    phone.url = other.url
    held = phone.get(f"/api/runs/{run}").json()
    assert verify(held, phone.get("/api/reference").json()) >= 1
    assert phone.get(f"/api/photos/{name}").content == content
    restored = phone.pull()[-1]
    assert (restored["type"], restored["source"]) == ("log.restored", "/server")
    assert restored["data"]["size"] == int(restored["sequence"]) - 1
    assert restored["data"]["before"] == phone.enrolled["brewery"]
    assert phone.exchange().json()["epoch"] == restored["data"]["epoch"]


def test_a_copy_holds_keys_only_when_asked_and_is_nobody_elses_to_read(fresh):
    path = copied(fresh)
    with zipfile.ZipFile(path) as copy:
        told = json.loads(copy.read("manifest.json"))
        assert (
            set(copy.namelist()) == {"manifest.json", "database.sqlite3"} == {"manifest.json", *told["files"]}
        )
        said = told["files"]["database.sqlite3"]
        assert said["sha256"] == hashlib.sha256(copy.read("database.sqlite3")).hexdigest()
    assert stat.S_IMODE((fresh.folder / "copy.zip").stat().st_mode) == 0o600
    again = fresh.command("backup", path)
    assert (again.returncode, "never written over" in again.stderr) == (2, True)


def test_a_copy_is_not_put_over_what_is_there_unless_told(fresh):
    path = copied(fresh)
    size = fresh.command("check").stdout
    refused = fresh.command("restore", path)
    assert (refused.returncode, "Test brewery" in refused.stderr) == (2, True)
    assert fresh.command("check").stdout == size == "ok\n"
    assert fresh.command("restore", "--replace", path).returncode == 0
    assert fresh.command("restore", "--replace", path).returncode == 0
    assert fresh.command("check").stdout == "ok\n"
    fresh.start()
    restored = [event for event in Phone(fresh.url, fresh.code()).pull() if event["type"] == "log.restored"]
    assert len(restored) == 1, "each time the log is as it was in the copy, and begins one life after it"


def test_a_copy_is_not_put_back_under_another_key(fresh, elsewhere):
    path = copied(fresh)
    other = elsewhere("sqlite")
    refused = other.command("restore", path)
    assert (refused.returncode, "another key" in refused.stderr) == (2, True)
    assert other.command("check").stdout == "ok\n", "nothing was put in"


@pytest.mark.parametrize("harm", ["byte", "photo", "lacking", "more", "strange", "no-copy", "cut", "newer"])
def test_a_copy_that_was_harmed_is_refused(fresh, harm):
    fresh.start()
    name, _ = send_picture(Phone(fresh.url, fresh.code()))
    fresh.stop()
    path = copied(fresh)
    harmed = fresh.folder / "harmed.zip"
    with zipfile.ZipFile(path) as copy:
        parts = {part: copy.read(part) for part in copy.namelist()}
    [photo] = [part for part in parts if name in part]
    told = json.loads(parts["manifest.json"])
    if harm == "byte":
        parts["database.sqlite3"] = parts["database.sqlite3"].replace(b"Test brewery", b"Best brewery")
    if harm == "newer":
        other = fresh.folder / "newer.sqlite3"
        other.write_bytes(parts["database.sqlite3"])
        with closing(sqlite3.connect(other)) as rows, rows:
            rows.execute("UPDATE alembic_version SET version_num = '9999'")
        parts["database.sqlite3"] = other.read_bytes()
        hashed = hashlib.sha256(parts["database.sqlite3"]).hexdigest()
        told["files"]["database.sqlite3"] = {"sha256": hashed, "bytes": len(parts["database.sqlite3"])}
    if harm == "photo":
        parts[photo] += b"x"
    if harm == "lacking":
        del parts[photo]
    if harm == "more":
        parts["photos/x"] = b""
    if harm == "strange":
        parts["../out"] = b"x"
        told["files"]["../out"] = {"sha256": hashlib.sha256(b"x").hexdigest(), "bytes": 1}
    if harm == "no-copy":
        told["kind"] = "another"
    parts["manifest.json"] = json.dumps(told).encode()
    with zipfile.ZipFile(harmed, "w") as made:
        for part, content in parts.items():
            made.writestr(part, content)
    if harm == "cut":
        harmed.write_bytes(harmed.read_bytes()[:-5000])
    done = fresh.command("restore", "--replace", str(harmed))
    assert (done.returncode, "Traceback" in done.stderr) == (1, False)
    assert "harmed.zip" in done.stderr
