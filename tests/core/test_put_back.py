"""What was recorded before the log was put back names places of the log as it was then."""

from tests.core.builder import PROCEDURE, Pen, administration
from vesselside.core.door import views
from vesselside.core.run.authority import Administration


def said(sequence: int, kind: str, data: dict, **more) -> dict:
    """An event of the server at a place of the log."""
    place = f"{sequence:016d}"
    return {"source": "/server", "subject": "/admin", "sequence": place, "type": kind, "data": data, **more}


RESTORED = said(7, "log.restored", {"epoch": "e2", "before": "e1", "size": 6})
NEWT = {"person": "newt", "role": "brewer", "status": "active"}


def codes(events: list[dict], *more: dict) -> list[str]:
    known = Administration([*administration(), *more])
    return [row["code"] for row in views.fold("run-1", events, PROCEDURE, known)["findings"]]


def recorded(seen: int, sequence: int, person: str = "bay") -> list[dict]:
    """A run whose last record is by a phone that had seen so much, stored again at another place."""
    events = Pen().clean()[:4]
    events[-1] |= {"seen": f"{seen:016d}", "sequence": f"{sequence:016d}", "person": person}
    return events


def test_a_phone_that_had_seen_more_than_the_copy_had_said_the_truth() -> None:
    events = recorded(seen=20, sequence=12)
    assert codes(events) == ["seen-ahead"]
    assert codes(events, RESTORED) == []
    assert codes(recorded(seen=6, sequence=6), RESTORED) == ["seen-ahead"], "the copy had as much"
    assert codes(recorded(seen=20, sequence=7), RESTORED) == ["seen-ahead"], (
        "it was stored before the restore"
    )


def test_a_right_given_before_the_restore_and_said_again_after_it_held_all_along() -> None:
    """It stood at 8, next after what it had seen, and is said again at 11; the record had seen 9."""
    events = recorded(seen=9, sequence=14, person="newt")
    again = said(11, "person.changed", NEWT, seen="0000000000000007", again="ab" * 32)
    assert "unauthorised" not in codes(events, RESTORED, again)
    assert "unauthorised" in codes(events, RESTORED, {**again, "seen": "0000000000000010"}), (
        "it had not seen it"
    )
    del again["again"]
    assert "unauthorised" in codes(events, RESTORED, again), "what is said anew counts from where it stands"


def test_a_right_said_again_never_counts_later_than_it_stands() -> None:
    again = said(8, "person.changed", NEWT, seen="0000000000000040", again="ab" * 32)
    assert "unauthorised" not in codes(recorded(seen=9, sequence=14, person="newt"), RESTORED, again)
