"""Whether a run's last review is of the run as it is; where it is not, since when and by how many records."""

from typing import TYPE_CHECKING, Any

from vesselside.store.base.instants import text_of
from vesselside.store.log import signing

if TYPE_CHECKING:
    from vesselside.core.shapes import Lapsed

Review = Any
_BACK = 64
"""How many records a reviewer may have lacked of those stored before the review, for what is new to be told exactly."""


def told(review: Review, hashes: dict[str, str], recorded: dict[str, int]) -> Review:
    """A run's review as it is answered: with whether it stands, and since when it does not; None where there is none.

    Of every record of the run, by its event and in the log's order, its hash and when it was received [ms].
    """
    if not review:
        return review
    rest = (sha256 for event, sha256 in hashes.items() if event != review["event"])
    if signing.digest_of(rest) == review["digest"]:
        return {**review, "stands": True}
    return {**review, "stands": False, "lapsed": _lapsed(review, hashes, recorded)}


def _lapsed(review: Review, hashes: dict[str, str], recorded: dict[str, int]) -> "Lapsed":
    """What it does not cover: what came after it, and before it what its reviewer did not have.

    Where its digest fits nothing that was ever held, only what came after it is counted.
    """
    order = list(hashes)
    place = order.index(review["event"])
    added = order[place + 1 :]
    for known in range(place, max(-1, place - _BACK), -1):
        if signing.digest_of(hashes[event] for event in order[:known]) == review["digest"]:
            added = order[known:place] + added
            break
    since = min((recorded[event] for event in added), default=recorded[review["event"]])
    return {"time": text_of(since), "added": len(added)}
