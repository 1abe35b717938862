"""What no instrument can show: a slip of the thumb is caught while it can still be keyed again.

Only the phone's edge asks this. The fold takes every reading as it was recorded.
"""

from vesselside.core.ground import numbers
from vesselside.core.ground.errors import CoreError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Entry

# unit: the least and the most a reading in it can be; None: no end. Physics and scales, far outside any limit.
POSSIBLE = {
    "pH": ("0", "14"),
    "°C": ("-40", "200"),
    "°P": ("-5", "60"),
    "bar": ("-1", "60"),
    "% vol": ("0", "100"),
    "% w/v": ("0", "100"),
    "% w/w": ("0", "100"),
    "ppm": ("0", "1000000"),
    "ppb": ("0", "1000000000"),
    "µS/cm": ("0", "1000000"),
    "mg/L": ("0", "1000000"),
    "kg/L": ("0", "20"),
    "g/L": ("0", "2000"),
    "L": ("0", None),
    "mL": ("0", None),
    "kg": ("0", None),
    "g": ("0", None),
    "mm": ("0", None),
    "s": ("0", None),
    "min": ("0", None),
    "h": ("0", None),
}


def refuse_impossible(entry: "Entry", value: str) -> None:
    """CoreError `impossible` when `value` (canonical decimal text) cannot be a reading in the entry's unit.

    A worked figure may be below what any instrument shows: residual alkalinity is below zero in many a soft liquor.
    """
    unit = entry.get("unit") or ""
    if entry["kind"] != "reading" or unit not in POSSIBLE:
        return
    low, high = POSSIBLE[unit]
    if (entry.get("works") or numbers.compare(value, low) >= 0) and (
        high is None or numbers.compare(value, high) <= 0
    ):
        return
    range_text = "cannot be below " + low if high is None else "lies between " + low + " and " + high
    raise CoreError(
        "impossible", "A reading in " + unit + " " + range_text + ". Look again.", field=entry["id"]
    )
