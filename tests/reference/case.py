"""One value of ours beside one from outside, and how far they may differ."""

from typing import NamedTuple


class Case(NamedTuple):
    """A value checked. `why` says where the tolerance comes from."""

    function: str
    source: str
    label: str
    got: float
    wanted: float
    within: float
    relative: bool
    why: str

    @property
    def deviation(self) -> float:
        """How far ours lies from the outside value, relative to it where the tolerance is."""
        off = abs(self.got - self.wanted)
        return off / abs(self.wanted) if self.relative else off


def near(
    function: str, source: str, label: object, got: float, wanted: float, *, within: float, why: str
) -> Case:
    """A value that may differ by `within`, in its own unit."""
    return Case(function, source, str(label), float(got), float(wanted), within, False, why)


def close(
    function: str, source: str, label: object, got: float, wanted: float, *, within: float, why: str
) -> Case:
    """A value that may differ by a share `within` of the outside one."""
    return Case(function, source, str(label), float(got), float(wanted), within, True, why)
