"""A sum done outside a run and brought to one of its entries: where it fits, what it gives, and whether it still holds.

The record of such an entry says what any worked value says: the calculation's name and its inputs. The entry is
judged, cautioned and confirmed as if it had been keyed; only where the number comes from differs.
"""

from vesselside.core.ground.errors import CoreError
from vesselside.core.run import limits
from vesselside.core.run.ledger import Run
from vesselside.core.sums import calculations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from vesselside.core.shapes import Entry, Taker, Working


def work(entry: "Entry", run: Run, given: "dict[str, Any]") -> "Working":
    """The working that `given` asks for at `entry`, with the value it proposes under `proposed`, decimal text.

    With `sum` it is that sum, `{calculation, inputs, result}`, and its result must fit the entry; else it is the sum
    the procedure puts behind the entry, where `values` holds what the person gave. The result meant for the entry is
    the first of the results. CoreError `unit-differs`, `other-result`, `unknown-result`, or as the sum itself refuses.
    """
    asked = given.get("sum")
    if asked is None:
        working = limits.work(entry, run, given.get("values") or {})
        return _proposing(working, entry["works"].get("result") or working["results"][0]["id"])
    wrong = _misfit(entry, asked["calculation"], asked["result"])
    if wrong is not None:
        raise CoreError(wrong[0], wrong[1], field=entry["id"])
    return _proposing(calculations.work(asked["calculation"], asked["inputs"]), asked["result"])


def _proposing(working: "Working", result: str) -> "Working":
    lines = working["results"]
    meant = [line for line in lines if line["id"] == result]
    if not meant:
        raise CoreError("bad-procedure", "The sum has no result called " + str(result))
    working["results"] = meant + [line for line in lines if line["id"] != result]
    working["proposed"] = meant[0]["value"]
    return working


def _misfit(entry: "Entry", calculation: str, result: str) -> tuple[str, str] | None:
    """Why a result may not stand in an entry, as (code, text): no number in its unit, or not the one meant there."""
    results = calculations.find(calculation)["results"]
    for key, label, unit, places in results:
        if key == result:
            if entry["kind"] != "reading" or places is None or unit != entry.get("unit", ""):
                said = label + " cannot stand here: this entry is not a reading in its unit."
                return ("unit-differs", said)
            works = entry.get("works")
            if (
                works
                and works["calculation"] == calculation
                and (works.get("result") or results[0][0]) != key
            ):
                said = "This entry takes another result of the same sum than: " + label
                return ("other-result", said)
            return None
    return ("unknown-result", "The sum has no result called " + str(result)[:40])


def takers(run: Run, calculation: str, result: str) -> "list[Taker]":
    """The entries of the run's open steps that a result fits, in order: `{step, title, field, label, value, unit}`.

    A step is open when its turn has come and it is not passed; its cautions may still have to be met. A contested
    entry is settled first and is left out. `value` is what stands there now, or None.
    """
    rows: list[Taker] = []
    if run.finished or run.abandoned:
        return rows
    for step in run.plan.order:
        held = run.steps[step]
        if held.passed() or [wait for wait in held.lacking_before() if wait["code"] == "step"]:
            continue
        for entry in held.entries():
            field = held.fields[entry["id"]]
            newest = field.newest()
            if field.contested or _misfit(entry, calculation, result) is not None:
                continue
            rows.append(
                {
                    "step": step,
                    "title": run.plan.title(step),
                    "field": entry["id"],
                    "label": entry["label"],
                    "value": newest.value if newest else None,
                    "unit": entry.get("unit", ""),
                }
            )
    return rows
