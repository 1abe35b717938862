"""How long a clean, a sanitising, a shift, a pre-start lasts at this site: settings, each with its default."""

from vesselside.core.ground.clock import span

KEPT_DAYS = 14
"""How long after it was closed a run is sent to a phone that does not hold it; older ones are fetched by name."""
_DAY_MS = 86_400_000

# setting: (default, milliseconds a unit, unit); the defaults are common practice, no source
LASTING = {
    "clean-hours": ("72", 3600000.0, "h"),
    "sanitised-hours": ("12", 3600000.0, "h"),
    "shift-hours": ("8", 3600000.0, "h"),
    "pre-start-hours": ("12", 3600000.0, "h"),
    "check-minutes": ("30", 60000.0, "min"),
}


def whole_from(enrolled: int | None) -> int | None:
    """From when on a phone enrolled then [ms] holds every run; None stands for a device that holds them all."""
    return None if enrolled is None else enrolled - KEPT_DAYS * _DAY_MS


def lasts(name: str, given: str | None) -> int:
    """How long the setting `name` of LASTING lasts [ms], its default where `given` is no number from 0 to 10 000."""
    default, unit_ms, _ = LASTING[name]
    return span(given, default, unit_ms)
