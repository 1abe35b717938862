"""The heads of the log that a phone keeps: it sees that the server has gone back or forked, but for a restore."""

import hashlib
import json
import shutil
import sqlite3
from contextlib import closing

import pytest

from tests.pwa.exchange import STATE, SYNC, on_server, start
from tests.pwa.house import TAPS, Reply, enrol, until
from tests.pwa.line import connect
from vesselside import store
from vesselside.store.base.instants import text_of
from vesselside.store.log import merkle, signing, tree
from vesselside.store.read import doubts
from vesselside.store.site import founding

KEPT = """async () => {
    const held = await parts.log.recall("heads", (value) => typeof value === "object");
    return held ?? { heads: [], checked: 0 };
}"""
LATER = """async () => {
    const held = await parts.log.recall("heads", () => true);
    await parts.log.keep("heads", { ...held, checked: 0 });
}"""
DOUBT = "() => parts.sync.syncState.value.doubt"


@pytest.fixture
def line(network, own_brewery):
    return connect(network, own_brewery.url)


@pytest.fixture
def phone(page, line, own_brewery):
    """A phone that was shown a head."""
    enrol(page, own_brewery)
    start(page)
    shown(page, own_brewery)
    return page


def signed(brewery):
    """The head of the log as it stands."""
    return tree.signed(store.book(brewery), store.now_ms()).told()


def shown(page, living):
    """Have the log signed as it stands, and the phone hear of it."""
    with living.inside():
        head = signed(founding.breweries()[0][0])
    page.evaluate(SYNC)
    until(page, f"async () => (await ({KEPT})()).heads.some(({{ root }}) => root === '{head['root']}')")
    return head


def forged(living, **changes):
    """A head that whoever has the server's key can sign."""
    with living.inside():
        book = store.book(founding.breweries()[0][0])
        head = {**signed(book.brewery), "time": text_of(store.now_ms()), **changes}
        del head["signature"]
        return {**head, "signature": book.sign(signing.canonical(head))}


def told_at_the_desk(living):
    """What the desk is told of phones' doubts."""
    with living.inside():
        return doubts.lately(founding.breweries()[0][0], now=store.now_ms())["doubts"]


def tell(line, head):
    """Put a head into every answer."""

    def spoil(called, reply):
        if called.path != "/api/sync" or reply.status != 200:
            return reply
        return Reply(200, {**json.loads(reply.content()), "head": head}, headers=reply.headers)

    line.spoil = spoil


def test_heads_that_go_on_from_each_other_are_kept_and_raise_no_doubt(phone, own_brewery, run):
    for _ in range(3):
        phone.evaluate(TAPS, [3, run])
        phone.evaluate(SYNC)
        phone.evaluate(LATER)
        shown(phone, own_brewery)
    held = phone.evaluate(KEPT)
    assert len(held["heads"]) >= 4
    assert held["checked"] > 0
    assert phone.evaluate(DOUBT) is None


@pytest.mark.parametrize("kind", ["run.finished", "run.abandoned", "run.reviewed"])
def test_a_runs_end_is_under_a_head_that_the_phone_keeps_as_soon_as_it_is_sent(phone, run, kind):
    """Heads are signed daily: what was changed on the same day would show against none."""
    size = phone.evaluate(KEPT)["heads"][-1]["size"]
    phone.evaluate(TAPS, [3, run])
    phone.evaluate(SYNC)
    assert phone.evaluate(KEPT)["heads"][-1]["size"] == size
    data = {"verdict": "accepted", "digest": "0" * 64} if kind == "run.reviewed" else {"reason": "Done."}
    said = {"type": kind, "subject": f"/runs/{run}", "person": "bern"}
    phone.evaluate(
        "(draft) => parts.log.append(draft)", {**said, "data": {} if kind == "run.finished" else data}
    )
    phone.evaluate(SYNC)
    assert phone.evaluate(KEPT)["heads"][-1]["size"] >= size + 4


@pytest.mark.parametrize("more", [0, 1, 40])
def test_a_fork_is_told_though_the_server_signed_it(phone, own_brewery, line, run, more):
    """The same size or more records, and not those that were there."""
    phone.evaluate(TAPS, [3, run])
    phone.evaluate(SYNC)
    size = phone.evaluate(KEPT)["heads"][-1]["size"]
    shown(phone, own_brewery)
    phone.evaluate(LATER)
    held = phone.evaluate(KEPT)["heads"][-1]["size"]
    assert held > size
    tell(line, forged(own_brewery, root="ab" * 32, size=held + more))
    phone.evaluate(SYNC)
    assert phone.evaluate(DOUBT) == ("forked" if more == 0 else "gone-back")
    held = phone.evaluate(KEPT)
    assert held["doubt"]["told"]["root"] == "ab" * 32
    assert held["doubt"]["kept"]["root"] == held["heads"][-1]["root"]


def test_a_forged_root_of_a_size_the_log_has_is_told(phone, own_brewery, line, run):
    phone.evaluate(TAPS, [9, run])
    phone.evaluate(SYNC)
    with own_brewery.inside():
        size = store.head(founding.breweries()[0][0])
    phone.evaluate(LATER)
    tell(line, forged(own_brewery, root="ab" * 32, size=size))
    for _ in range(3):
        phone.evaluate(SYNC)
    assert phone.evaluate(DOUBT) == "forked"
    [row] = told_at_the_desk(own_brewery)
    assert (row["name"], row["kind"], row["told"]) == ("Test phone", "forked", size)


@pytest.mark.parametrize("change", ["signature", "key"])
def test_a_head_that_this_server_did_not_sign_is_told(phone, own_brewery, line, change):
    head = forged(own_brewery)
    if change == "signature":
        head["signature"] = "A" * 86
    else:
        x = head["key"]["x"]
        head["key"] = {**head["key"], "x": ("B" if x[0] == "A" else "A") + x[1:]}
    tell(line, head)
    phone.evaluate(SYNC)
    assert phone.evaluate(DOUBT) == "forked"


def test_a_server_put_back_by_hand_is_told_and_no_record_is_lost(phone, own_brewery, tmp_path, run):
    with closing(sqlite3.connect(tmp_path / "vesselside.sqlite3")) as now:
        now.execute("VACUUM INTO ?", [str(tmp_path / "kept")])
    made = phone.evaluate(TAPS, [3, run])
    phone.evaluate(SYNC)
    shown(phone, own_brewery)
    own_brewery.stop()
    for leftover in tmp_path.glob("vesselside.sqlite3-*"):
        leftover.unlink()
    shutil.copy(tmp_path / "kept", tmp_path / "vesselside.sqlite3")
    own_brewery.start()
    phone.evaluate(SYNC)
    until(phone, "async () => (await parts.log.waiting()) === 0")
    assert phone.evaluate(DOUBT) == "gone-back"
    assert on_server(phone, run) == made
    assert [row["kind"] for row in told_at_the_desk(own_brewery)] == ["gone-back"]
    phone.reload()
    phone.wait_for_function("() => window.parts !== undefined")
    start(phone)
    phone.evaluate(SYNC)
    assert phone.evaluate(DOUBT) == "gone-back", "it is not forgotten"


def test_a_restore_explains_itself(phone, own_brewery, run):
    shown(phone, own_brewery)
    copied = own_brewery.command("backup", str(own_brewery.folder / "copy.zip"))
    assert copied.returncode == 0
    phone.evaluate(TAPS, [3, run])
    phone.evaluate(SYNC)
    later = shown(phone, own_brewery)
    own_brewery.stop()
    done = own_brewery.command("restore", "--replace", str(own_brewery.folder / "copy.zip"))
    assert done.returncode == 0
    own_brewery.start()
    phone.evaluate(SYNC)
    until(phone, "async () => (await parts.log.waiting()) === 0")
    phone.evaluate(LATER)
    newest = shown(phone, own_brewery)
    assert phone.evaluate(DOUBT) is None
    assert told_at_the_desk(own_brewery) == []
    roots = [head["root"] for head in phone.evaluate(KEPT)["heads"]]
    assert newest["root"] in roots
    assert later["root"] not in roots, "what the restore took back is no head of this log any more"
    assert phone.evaluate(STATE)["trouble"] is None


def test_paths_between_sizes_are_judged_as_the_standard_says(page):
    leaves = [hashlib.sha256(bytes([at])).digest() for at in range(33)]

    def block(level, place):
        if level == 0:
            return leaves[place]
        return merkle.node_hash(block(level - 1, 2 * place), block(level - 1, 2 * place + 1))

    good, bad = [], []
    for second in (2, 3, 7, 8, 20, 33):
        for first in range(1, second):
            path = [step.hex() for step in merkle.consistency(first, second, block)]
            one = {"size": first, "root": merkle.root(first, block).hex()}
            two = {"size": second, "root": merkle.root(second, block).hex()}
            good.append([one, two, path])
            bad += [[one, two, [*path, "00" * 32]], [{**one, "root": two["root"]}, two, path]]
            bad += [[one, {**two, "root": one["root"]}, path], [one, two, path[:-1]]]
            bad += [[one, two, [*path[:at], "11" * 32, *path[at + 1 :]]] for at in range(len(path))]
    judge = "(all) => Promise.all(all.map((one) => parts.heads.consistent(...one)))"
    assert set(page.evaluate(judge, good)) == {True}
    assert set(page.evaluate(judge, bad)) == {False}
