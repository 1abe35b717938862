"""The version of the core moves when its answers do: runs folded by another version are stale."""

import json

from tests.vectors.make_version import KEPT, MOVE, WRITE, answers, otherwise
from vesselside.core import OLDEST, VERSION


def test_the_version_moves_with_the_answers():
    kept = json.loads(KEPT.read_text(encoding="utf-8"))
    now = answers()
    changed = otherwise(kept, now)
    assert changed == [] or kept["version"] != VERSION, MOVE.format(version=VERSION, names=", ".join(changed))
    unknown = {name for name in {*now, *kept["sessions"]} if now.get(name) != kept["sessions"].get(name)}
    assert (sorted(unknown), kept["version"]) == ([], VERSION), WRITE.format(names=", ".join(sorted(unknown)))


def test_a_phone_may_run_a_core_that_is_not_newer_than_the_servers():
    assert 1 <= int(OLDEST) <= int(VERSION)
