"""When a caution is shown in full, when as a state to be seen, when it is still so, and when it has been met."""

from vesselside.core.ground.errors import CoreError
from vesselside.core.run.ledger import Run

TYPE_CHECKING = False
if TYPE_CHECKING:
    from vesselside.core.shapes import Caution, CautionShow, CautionWay, MetBefore

DAYS_AWAY = 30
STILL_MINUTES = 30
_DAY = 86400000
_MINUTE = 60000


def shown(
    *,
    caution: "Caution",
    met: "list[MetBefore]",
    met_here: bool,
    role: str,
    triggered: bool,
    critical: bool,
    lately: list[int],
    now: int,
) -> "CautionWay":
    """How to show `caution` to one person: `met`, `still`, `state` or `full`.

    `met` lists `{"version", "at": ms}` of this person's earlier meetings of it, in any run; `met_here` says it was
    met at this step of this run; `triggered` that a reading raised it; `lately` when this person met this version at
    other steps of this run [ms]. In full the first time a person meets this version, after 30 days away, when a
    reading raises it, and always for a new starter (design rule of the house). `still`, its states in sight over the
    step and the next record there confirming them, for half an hour after they were seen in this run; never at a
    critical step.
    """
    if met_here:
        return "met"
    if triggered or role == "starter":
        return "full"
    latest = -1
    for row in met:
        if row["version"] == caution["version"] and row["at"] > latest:
            latest = row["at"]
    if latest < 0 or now - latest > DAYS_AWAY * _DAY:
        return "full"
    seen = _seen(lately)
    if not critical and seen is not None and 0 <= now - seen <= STILL_MINUTES * _MINUTE:
        return "still"
    return "state"


def rows(
    run: Run,
    step: str,
    person: dict[str, str],
    cautions: "dict[str, Caution]",
    met: "list[MetBefore]",
    now: int,
) -> "list[CautionShow]":
    """How each caution of a step is shown to a person `{id, role}` at `now` [ms]: `{caution, show}`, in their order.

    `cautions` are their texts by id, `met` what this person met in any run, `{caution, version, at: ms}`. CoreError
    `unknown-caution` where this device lacks the text.
    """
    here = [record.caution for record in run.steps[step].met if record.person == person["id"]]
    found: list[CautionShow] = []
    for key in run.steps[step].cautions():
        caution = cautions.get(key)
        if caution is None:
            raise CoreError("unknown-caution", "The text of this caution is not on this device: " + key)
        lately = run.met(key, caution["version"], person["id"])
        before = [row for row in met if row["caution"] == key]
        how = shown(
            caution=caution,
            met=before + [{"caution": key, "version": caution["version"], "at": at} for at in lately],
            met_here=key in here,
            role=person["role"],
            triggered=key in run.steps[step].raised,
            critical=bool(run.plan.steps[step].get("critical")),
            lately=lately,
            now=now,
        )
        found.append({"caution": key, "show": how})
    return found


def _seen(times: list[int]) -> int | None:
    """When it was last seen in its own right: what was confirmed as still so puts nothing off."""
    seen = None
    for at in sorted(times):
        if seen is None or at - seen > STILL_MINUTES * _MINUTE:
            seen = at
    return seen
