"""A phone that is enrolled at one brewery after another."""

from tests.pwa.house import adopt
from tests.pwa.test_log import RECEIVE


def test_the_administration_of_another_brewery_counts_for_nothing(page):
    """A phone once enrolled elsewhere keeps what it was told there, and believes none of it here."""
    adopt(page)
    here = page.evaluate("async () => (await parts.log.headNow()).brewery")
    told = [
        {"id": f"told-{at}", "specversion": "1.0", "source": "/server", "type": "setting.changed", "subject": "/admin",
         "time": "2026-11-28T08:00:00.000Z", "person": "ada", "hlc": f"01970000000{at}-0000", "seen": "0" * 16,
         "number": at + 1, "data": {"name": "clean-hours", "value": "9"}, "prevhash": "0" * 64, "signature": "",
         "sequence": f"{at + 1:016d}", **({"log": log} if log else {})}
        for at, log in enumerate((here, "elsewhere", None))
    ]  # fmt: skip
    page.evaluate(RECEIVE, {"events": told})
    assert [event["id"] for event in page.evaluate("() => parts.log.admin()")] == ["told-0", "told-2"]
