"""What a phone does when the server was put back to a copy: it goes back too, and brings what the copy lacks."""

from tests.api.outside import Phone, new_run
from tests.living import Living
from tests.pwa.exchange import FILL, STATE, SYNC, on_server
from tests.pwa.house import ALL_OF, TAPS, until
from vesselside import store
from vesselside.store.site import founding, people

SENT = "async () => (await parts.log.waiting()) === 0"
ADMIN = "() => parts.log.admin()"
PHOTO = """async () => {
    const canvas = new OffscreenCanvas(40, 30);
    canvas.getContext("2d").fillRect(0, 0, 20, 20);
    return parts.log.keepPhoto(await canvas.convertToBlob());
}"""
NAME_PHOTO = """([run, photo]) => parts.log.append({
    type: "photo.added", subject: `/runs/${run}`, person: "bern", data: photo,
})"""


def copy(living: Living) -> None:
    done = living.command("backup", str(living.folder / "copy.zip"))
    assert done.returncode == 0, done.stderr


def put_back(living: Living) -> None:
    """Put the copy back and serve again; photos that came since are gone too, as from a new disk."""
    living.stop()
    for photo in (living.folder / "photos").rglob("*.*"):
        photo.unlink()
    done = living.command("restore", "--replace", str(living.folder / "copy.zip"))
    assert done.returncode == 0, done.stderr
    living.start()


def test_records_and_photos_come_back_by_themselves_and_the_servers_own_events_with_them(
    phones, own_brewery, run
):
    old = phones("localhost")
    made = old.evaluate(FILL, [3, run])
    old.evaluate(SYNC)
    copy(own_brewery)
    new = phones("127.0.0.1")
    with own_brewery.inside():
        store.add_person(founding.breweries()[0][0], "Newt Hale", "brewer", person="newt", pin="530917")
    made += old.evaluate(TAPS, [2, run])
    photo = old.evaluate(PHOTO)
    made.append(old.evaluate(NAME_PHOTO, [run, photo]))
    for tab in (old, new, old):
        tab.evaluate(SYNC)
    theirs = new.evaluate(TAPS, [2, run])
    for tab in (new, old):
        tab.evaluate(SYNC)
    before = [event["id"] for event in old.evaluate(ADMIN)]
    assert old.evaluate("() => parts.api.photoAddress(0) && parts.log.unsentPhotos()") == []

    put_back(own_brewery)
    for tab in (new, old, new, old):
        tab.evaluate(SYNC)
        until(tab, SENT)
    for tab in (new, old):
        assert tab.evaluate(STATE)["trouble"] is None
        assert [e["id"] for e in tab.evaluate(ALL_OF, run)] == [e["id"] for e in on_server_in_order(tab, run)]
    held = {event["id"]: event for event in on_server(old, run)}
    assert held == {event["id"]: event for event in made + theirs}
    assert old.evaluate("() => parts.log.unsentPhotos()") == []
    sent = old.evaluate("async ({ sha256 }) => (await fetch(`/api/photos/${sha256}`)).status", photo)
    assert sent == 200
    after = old.evaluate(ADMIN)
    restored = next(event for event in after if event["type"] == "log.restored")
    again = [event for event in after if event["number"] > restored["number"] and "again" in event]
    assert {"device.enrolled", "person.changed"} <= {event["type"] for event in again}
    assert set(before) - {event["id"] for event in after}, "those of the life that ended are gone"
    with own_brewery.inside():
        brewery = founding.breweries()[0][0]
        assert ("newt", "Newt Hale") in [(row["id"], row["name"]) for row in people.everyone(brewery)]
    assert own_brewery.command("check").stdout == "ok\n"


def on_server_in_order(page, run):
    return sorted(on_server(page, run), key=lambda event: (event["hlc"], event["id"]))


def test_a_phone_enrolled_after_the_copy_keeps_all_until_the_server_is_reached_and_is_known_again(
    phones, own_brewery, own_line, run
):
    copy(own_brewery)
    new = phones("localhost")
    made = new.evaluate(TAPS, [3, run])
    new.evaluate(SYNC)
    own_line.down = True
    put_back(own_brewery)
    made += new.evaluate(TAPS, [2, run])
    new.evaluate(SYNC)
    assert new.evaluate(ALL_OF, run) == made
    own_line.down = False
    new.evaluate(SYNC)
    until(new, SENT)
    assert on_server(new, run) == made
    assert new.evaluate(STATE)["trouble"] is None


def test_a_record_judged_again_is_the_phones_own_once_more(phones, own_brewery, run):
    """Another phone carried it before the server knew whose it is."""
    copy(own_brewery)
    other = phones("localhost")
    new = phones("127.0.0.1")
    made = new.evaluate(TAPS, [2, run])
    new.evaluate(SYNC)
    text = new.evaluate("(run) => parts.log.exportRun(run)", run)
    new.evaluate("() => window.stop()")
    put_back(own_brewery)
    other.evaluate("(text) => parts.log.importText(text)", text)
    other.evaluate(SYNC)
    until(other, SENT)
    assert other.evaluate(ALL_OF, run) == [], "nobody knows yet whose they are"
    new.evaluate("() => { window.stop = parts.sync.startSync(); }")
    for tab in (new, other):
        tab.evaluate(SYNC)
        until(tab, SENT)
    assert on_server(other, run) == made == other.evaluate(ALL_OF, run)


def test_a_server_that_has_grown_past_the_phones_place_again_gets_its_records_too(
    phones, own_brewery, own_line, run
):
    phone = phones("localhost")
    copy(own_brewery)
    made = phone.evaluate(TAPS, [3, run])
    phone.evaluate(SYNC)
    own_line.down = True
    put_back(own_brewery)
    other, elsewhere = Phone(own_brewery.url, own_brewery.code()), new_run()
    other.push([other.make(elsewhere) for _ in range(60)])
    own_line.down = False
    phone.evaluate(SYNC)
    until(phone, SENT)
    assert on_server(phone, run) == made
    assert len(phone.evaluate(ALL_OF, elsewhere)) == 60
