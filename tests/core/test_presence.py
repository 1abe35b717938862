"""What a sign-in proves of the records after it, by the core alone."""

import pytest

from vesselside.core.door import views

from .builder import START, Pen, administration, signed_in

DAY = 86_400_000


def found(pen, events, signs):
    told = [row for row in administration() if row["type"] != "person.signed-in"] + signs
    state = views.fold("r1", events, None, told)
    return [row["event"] for row in state["findings"] if row["code"] == "person-not-proved"]


def noted(days, **more):
    """A note made so many days after the first record of the tests."""
    pen = Pen(device="phone-a", start=START + int(days * DAY))
    return pen, pen.write("note.added", text="Seen", person="ash", **more)


@pytest.mark.parametrize(("days", "proved"), [(0.1, True), (13.9, True), (14.1, False), (-0.1, False)])
def test_a_sign_in_proves_for_fourteen_days_and_nothing_before_it(days, proved):
    pen, note = noted(days, seen="0000000000000005")
    sign = signed_in("ash", "phone-a") | {"sequence": "0000000000000009"}
    assert (found(pen, [note], [sign]) == []) is proved
    assert found(pen, [note], [signed_in("bay", "phone-a"), signed_in("ash", "phone-b")]) == [note["id"]]


@pytest.mark.parametrize(
    ("before", "proved"),
    [(1, True), (27.9, True), (28.1, False), (-1, False)],
    ids=["before", "27", "28", "after"],
)
def test_a_phones_own_word_rests_on_a_secret_that_the_office_took_there_in_the_28_days_before(before, proved):
    pen, note = noted(0.1, seen="0000000000000005")
    word = signed_in("ash", "phone-a") | {
        "id": "word",
        "source": "/devices/phone-a",
        "sequence": "0000000000000009",
    }
    word["data"] = {"person": "ash", "how": "offline"}
    taken = signed_in("ash", "phone-a", int(before * DAY), how="pin") | {"sequence": "0000000000000008"}
    out = signed_in("ash", "phone-a", int(before * DAY) - 1) | {"id": "out", "type": "person.signed-out"}
    out["sequence"] = "0000000000000008"
    assert (found(pen, [note], [taken, out, word]) == []) is proved


@pytest.mark.parametrize("hlc", ["", "zzz", "0000-00-00T0", "∞" * 17, "01a0"])
def test_a_record_whose_stamp_is_none_is_not_proved_and_fails_nothing(hlc):
    pen, note = noted(1, seen="0000000000000005")
    sign = signed_in("ash", "phone-a") | {"sequence": "0000000000000009"}
    assert found(pen, [note | {"hlc": hlc}], [sign]) == [note["id"]]


@pytest.mark.parametrize(
    "junk",
    [
        {"hlc": 5}, {"hlc": ""}, {"sequence": 7}, {"sequence": None}, {"source": None}, {"data": []}, {"id": 9},
        {"data": {"person": "ash", "device": "phone-a", "how": {}}},
        {"data": {"person": [], "device": "phone-a", "how": "pin"}},
        {"data": {"person": "ash", "device": None, "how": "pin"}}, {"type": ["person.signed-in"]},
        {"data": {"person": "ash", "device": "phone-a", "how": "pin", "at": "never"}},
    ],
)  # fmt: skip
def test_a_sign_in_that_says_nonsense_fails_nothing(junk):
    pen, note = noted(1)
    sign = signed_in("ash", "phone-a") | junk
    assert found(pen, [note], [sign]) in ([], [note["id"]])
