"""The site's vessels and lines: what is written of one.

A vessel is `{id, name, kind, place}`, with what its plate says where that is known: `capacity_l`, `charge_l` of a
cleaning charge, `diameter_m` inside and `brews` that fill it, as numbers in text; and `in_use: false` once it is gone.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError
from vesselside.core.run.events import is_id

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

KINDS = (
    "liquor-tank", "mash-tun", "copper", "whirlpool", "heat-exchanger", "fermenter", "yeast-vessel",
    "bright", "cask-line", "keg-line", "canning-line",
)  # fmt: skip
"""Kinds of vessel and line a procedure is done on."""

FIGURES = (
    ("capacity_l", "1", "200000", True),
    ("charge_l", "1", "20000", True),
    ("diameter_m", "0.3", "8", True),
    ("brews", "1", "9", False),
)
"""What a plate says: field, least, most, whether it may have a part after the point."""

_NAMED = 60


def _text(sent: "dict[str, Any]", field: str, needed: bool, card: "dict[str, Any]") -> "list[dict[str, str]]":
    text = sent.get(field)
    text = "" if text is None else text
    if not isinstance(text, str) or len(text) > _NAMED or [letter for letter in text if letter < " "]:
        return [{"field": field, "text": "Write it in at most 60 characters."}]
    if needed and not text.strip():
        return [{"field": field, "text": "Enter its name as written on the vessel."}]
    card[field] = text.strip()
    return []


def _figure(
    sent: "dict[str, Any]", row: "tuple[str, str, str, bool]", card: "dict[str, Any]"
) -> "list[dict[str, str]]":
    field, least, most, parts = row
    given = sent.get(field)
    if given is None or given == "":
        return []
    try:
        value = numbers.parse(given)
    except CoreError as error:
        return [{"field": field, "text": error.text}]
    if "." in value and not parts:
        return [{"field": field, "text": "A whole number."}]
    if numbers.compare(value, least) < 0 or numbers.compare(value, most) > 0:
        return [{"field": field, "text": "From " + least + " to " + most + "."}]
    card[field] = value
    return []


def read(given: object) -> "tuple[dict[str, Any], list[dict[str, str]]]":
    """A vessel from what was sent, and every fault as `{field, text}`; only without faults is it to be kept."""
    sent = given if isinstance(given, dict) else {}
    faults = []
    card = {"id": sent.get("id"), "kind": sent.get("kind"), "name": "", "place": ""}
    if not is_id(card["id"]):
        faults.append({"field": "id", "text": "An id is 1 to 64 of a-z, 0-9 and dashes."})
    faults.extend(_text(sent, "name", True, card))
    faults.extend(_text(sent, "place", False, card))
    if card["kind"] not in KINDS:
        faults.append({"field": "kind", "text": "Choose the kind of vessel."})
    for row in FIGURES:
        faults.extend(_figure(sent, row, card))
    in_use = sent.get("in_use", True)
    if not isinstance(in_use, bool):
        faults.append({"field": "in_use", "text": "It is in use or out of use."})
    elif not in_use:
        card["in_use"] = False
    return (card, faults)
