"""Writes `shipped.json`: the SHA-256 of every procedure and caution that ships, under its id and version.

A brewery has published them, and other content under a published version is refused, so what stands here never
changes; a changed procedure or caution takes a new version. `python -m tests.library.make_shipped` adds those.
"""

import hashlib
import json
from pathlib import Path

import rfc8785

from vesselside.library import load

KEPT = Path(__file__).parent / "shipped.json"
MOVE = "give a new version to {names}: other content is published under the one it has"
WRITE = "run python -m tests.library.make_shipped: it knows nothing of {names}"


def shipped() -> dict[str, str]:
    """What ships now, `id version` to SHA-256."""
    library = load()
    rows = [
        *(("procedure", row) for row in library.procedures),
        *(("caution", row) for row in library.cautions),
    ]
    return {f"{kind} {row['id']} {row['version']}": _hash(row) for kind, row in rows}


def _hash(row: dict[str, object]) -> str:
    return hashlib.sha256(rfc8785.dumps({name: row[name] for name in row if name != "sha256"})).hexdigest()


def kept() -> dict[str, str]:
    """What has shipped."""
    found: dict[str, str] = json.loads(KEPT.read_text(encoding="utf-8"))
    return found


def changed(now: dict[str, str], before: dict[str, str]) -> list[str]:
    """What is another under a version that has shipped."""
    return sorted(name for name, hashed in now.items() if before.get(name, hashed) != hashed)


def main() -> None:
    """Add what is new."""
    before, now = (kept() if KEPT.exists() else {}), shipped()
    other = changed(now, before)
    if other:
        raise SystemExit(MOVE.format(names=", ".join(other)))
    KEPT.write_text(json.dumps({**before, **now}, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
