"""When a caution is shown in full, when as a state to be seen, and when it has been met."""

DAYS_AWAY = 30
_DAY = 86400000


def shown(*, caution: dict, met: list[dict], met_here: bool, role: str, triggered: bool, now: int) -> str:
    """How to show `caution` to one person: `met`, `state` or `full`.

    `met` lists `{"version", "at": ms}` of this person's earlier meetings of it, in any run; `met_here` says it was
    met at this step of this run; `triggered` that a reading raised it. In full the first time a person meets this
    version, after 30 days away, when a reading raises it, and always for a new starter (design rule of the house).
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
    return "state"
