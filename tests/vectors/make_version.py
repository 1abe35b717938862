"""Writes `version.json`: which version of the core answers the vectors, and a hash of what it answers to each.

Run it after the core answers otherwise on purpose, with `VERSION` in `vesselside/core/__init__.py` moved on:
`python -m tests.vectors.make_version`. With new vectors alone the version stays.
"""

import hashlib
import json
from pathlib import Path
from typing import Any

from tests.parity.runtimes import in_cpython
from tests.parity.sessions import written
from vesselside.core import VERSION
from vesselside.core.run.events import KINDS

KEPT = Path(__file__).parent / "version.json"
MOVE = (
    "the core answers known questions otherwise than version {version} did: {names}. If that is meant, move VERSION in "
    "server/vesselside/core/__init__.py on and run python -m tests.vectors.make_version; runs folded by another "
    "version are then folded again. If not, it is a fault."
)
WRITE = "run python -m tests.vectors.make_version: it knows nothing of {names}"


def hashed(value: Any) -> str:
    """SHA-256 of a value's JSON; the version itself, which stands in what is judged, is no part of it."""
    text = json.dumps(_plain(value), sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {
            name: _plain(row) for name, row in value.items() if not (name == "core" and isinstance(row, str))
        }
    return [_plain(row) for row in value] if isinstance(value, list) else value


def answers() -> dict[str, dict[str, str]]:
    """What is asked in each session of the vectors and what is answered, hashed, by the session's name.

    The kinds of event are one more: an older core folded a new kind as nothing, which no session of its own shows.
    """
    sessions = written()
    found = in_cpython(
        [[(call.name, json.dumps(call.args)) for call in session.calls] for session in sessions]
    )
    kinds = {"the kinds of event": {"asked": hashed("kinds"), "answered": hashed(sorted(KINDS))}}
    return kinds | {
        session.name: {
            "asked": hashed([[call.name, call.args] for call in session.calls]),
            "answered": hashed([json.loads(text) for text in texts]),
        }
        for session, texts in zip(sessions, found, strict=True)
    }


def otherwise(kept: dict[str, Any], now: dict[str, dict[str, str]]) -> list[str]:
    """The sessions that ask what they asked and are answered otherwise."""
    held = kept["sessions"]
    return sorted(
        name
        for name, row in now.items()
        if name in held and held[name]["asked"] == row["asked"] and held[name]["answered"] != row["answered"]
    )


def main() -> None:
    """Write, unless the answers changed and the version did not."""
    now = answers()
    if KEPT.exists():
        kept = json.loads(KEPT.read_text(encoding="utf-8"))
        changed = otherwise(kept, now)
        if changed and kept["version"] == VERSION:
            raise SystemExit(MOVE.format(version=VERSION, names=", ".join(changed)))
    row = {"version": VERSION, "sessions": now}
    KEPT.write_text(json.dumps(row, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
