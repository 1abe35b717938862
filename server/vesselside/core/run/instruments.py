"""The site's instruments: what one is, and which of them a reading is made with.

An instrument is `{id, name, kind, place, check_days, in_use}`. A reading names one by its id; where the site lists none
of that kind it names the kind alone, and nothing is ever drawn from that.
"""

from .events import is_id

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import Entry, FoldFinding, InstrumentCard

KINDS = (
    "burette", "co2-meter", "conductivity-meter", "dissolved-co2-meter", "flow-meter", "gas-monitor", "hydrometer",
    "level-gauge", "microscope", "oxygen-meter", "oxygen-monitor", "ph-meter", "pressure-gauge", "scales", "seam-gauge",
    "test-strip", "thermometer", "timer",
)  # fmt: skip
"""Kinds of instrument a reading is made with; each can be checked and found out.

What reads a gas and what reads it dissolved in beer are two: `co2-meter` is for gas, `oxygen-meter` for what is
dissolved.
"""

LONGEST_DAYS = 3650
_NAMED = 60


def read(given: object) -> "tuple[dict[str, Any], list[dict[str, str]]]":
    """An instrument from what was sent, and every fault as `{field, text}`; only without faults is it to be kept."""
    sent = given if isinstance(given, dict) else {}
    faults = []
    card = {"id": sent.get("id"), "kind": sent.get("kind"), "place": "", "in_use": True}
    if not is_id(card["id"]) or card["id"] in KINDS:
        faults.append(
            {"field": "id", "text": "An id is 1 to 64 of a-z, 0-9 and dashes, and no kind of instrument."}
        )
    for field, needed in (("name", True), ("place", False)):
        text = sent.get(field) or ""
        if not isinstance(text, str) or len(text) > _NAMED or [letter for letter in text if letter < " "]:
            faults.append({"field": field, "text": "Write it in at most 60 characters."})
        elif needed and not text.strip():
            faults.append({"field": field, "text": "Enter its name as written on its tag."})
        else:
            card[field] = text.strip()
    if card["kind"] not in KINDS:
        faults.append({"field": "kind", "text": "Choose the kind of instrument."})
    days = sent.get("check_days")
    if isinstance(days, bool) or not isinstance(days, int) or not 1 <= days <= LONGEST_DAYS:
        faults.append(
            {
                "field": "check_days",
                "text": "Every how many days is it checked? A whole number from 1 to 3650.",
            }
        )
    card["check_days"] = days
    if not isinstance(sent.get("in_use", True), bool):
        faults.append({"field": "in_use", "text": "It is in use or out of use."})
    card["in_use"] = bool(sent.get("in_use", True))
    return (card, faults)


def of_kind(cards: "list[InstrumentCard]", kind: str | None) -> "list[InstrumentCard]":
    """The instruments of a kind, those in use first, by name."""
    rows = [
        (0 if card["in_use"] else 1, card["name"], card["id"], n)
        for n, card in enumerate(cards)
        if card["kind"] == kind
    ]
    rows.sort()
    return [cards[row[3]] for row in rows]


def proposed(
    cards: "list[InstrumentCard]",
    entry: "Entry",
    *,
    done: list[str],
    failed: list[str],
    last: str | None = None,
    place: str | None = None,
) -> "InstrumentCard | None":
    """The instrument an entry is most likely made with; None when the site lists none of its kind in use.

    A check goes through them in turn: the first that `done`, the instruments already read in this entry, lacks. Else it
    is the one used `last` on this device, one kept at the vessel's `place`, or the first by name; one that `failed` its
    check only where there is no other.
    """
    rows = [card for card in of_kind(cards, entry.get("instrument")) if card["in_use"]]
    if entry.get("verifies"):
        wanted = [
            [card for card in rows if card["id"] not in done],
            [card for card in rows if card["id"] in done[-1:]],
        ]
    else:
        good = [card for card in rows if card["id"] not in failed]
        rows = good or rows
        wanted = [[card for card in rows if last and card["id"] == last]]
        wanted.append([card for card in rows if place and card["place"] == place])
    for found in wanted + [rows]:
        if found:
            return found[0].copy()
    return None


def is_named(instrument: object) -> bool:
    """Whether a reading names an instrument of the site and not only a kind of one."""
    return is_id(instrument) and instrument not in KINDS


def amiss(card: "InstrumentCard | None", entry: "Entry") -> "list[FoldFinding]":
    """What is wrong with reading `entry` with this instrument, as codes of findings; nothing of one that is not listed.

    A check of one that is out of use is how it comes back into use.
    """
    found: list[FoldFinding] = []
    if card and card["kind"] != entry.get("instrument"):
        found.append("instrument-other")
    if card and not card["in_use"] and not entry.get("verifies"):
        found.append("instrument-out")
    return found
