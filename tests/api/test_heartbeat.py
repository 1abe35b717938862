"""The log is signed by itself, at least daily, however many processes serve it."""

import time

from tests.api.outside import Phone
from tests.living import Living
from vesselside import store
from vesselside.store.log import tree
from vesselside.store.site import founding

HOUR_MS = 3_600_000


def heads(living: Living) -> list[tuple[int, int]]:
    """Size and time of every head given out."""
    with living.inside():
        found = tree.heads(store.book(founding.breweries()[0][0]))
        return [(head.size, head.time) for head in found]


def signed_by_itself(living: Living, count: int) -> list[tuple[int, int]]:
    end = time.monotonic() + 60
    while len(heads(living)) < count and time.monotonic() < end:
        time.sleep(0.2)
    return heads(living)


def test_a_log_that_nobody_asks_about_is_signed(fresh):
    assert heads(fresh) == []
    fresh.start()
    assert len(signed_by_itself(fresh, 1)) == 1
    told = Phone(fresh.url, fresh.code()).exchange().json()["head"]
    assert [(told["size"])] == [size for size, _ in heads(fresh)], "a head rides in every answer"


def test_a_head_is_followed_by_another_after_a_day_and_not_before(fresh):
    with fresh.inside():
        book = store.book(founding.breweries()[0][0])
        now = store.now_ms()
        tree.signed(book, now - 25 * HOUR_MS)
        assert tree.sign_when_due(book, now - 2 * HOUR_MS) is False
        assert tree.sign_when_due(book, now)
        assert tree.sign_when_due(book, now) is False
    assert len(heads(fresh)) == 2


def test_of_many_processes_one_signs(templates, tmp_path, postgres):
    living = Living(tmp_path, templates.of("postgresql", founded=True).copy(tmp_path), workers=6)
    with living.inside():
        tree.signed(store.book(founding.breweries()[0][0]), store.now_ms() - 25 * HOUR_MS)
    living.start()
    try:
        signed_by_itself(living, 2)
        for _ in range(20):
            assert Phone(living.url, living.code()).exchange().status_code == 200
    finally:
        living.stop()
    assert len(heads(living)) == 2


def test_a_server_that_is_stopped_has_closed_its_database(templates, tmp_path):
    living = Living(tmp_path, templates.of("sqlite", founded=True).copy(tmp_path))
    living.start()
    try:
        assert Phone(living.url, living.code()).exchange().status_code == 200
    finally:
        living.stop()
    assert [path.name for path in tmp_path.glob("*.sqlite3-*")] == [], "all of it is in the one file"
