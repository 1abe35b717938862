"""The three places the core runs in: CPython, MicroPython under Node, MicroPython in a browser's worker.

Node runs the pack that ships, the browser the worker that ships with it. Each takes sessions, lists of
(call, JSON text), and gives their answers as text.
"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
MICROPYTHON = ROOT / "pwa/node_modules/@micropython/micropython-webassembly-pyscript"

Sessions = list[list[tuple[str, str]]]
Answers = list[list[str]]


def _process(*command: str | Path, given: object) -> Any:
    done = subprocess.run(command, input=json.dumps(given), capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


def in_cpython(sessions: Sessions) -> Answers:
    """As the server runs it."""
    answers: Answers = _process(sys.executable, HERE / "cpython.py", given=sessions)
    return answers


def in_node(pack: Path, sessions: Sessions, modules: list[str]) -> tuple[Answers, dict[str, str]]:
    """MicroPython under Node; also what each module says when imported alone."""
    given = {
        "micropython": (MICROPYTHON / "micropython.mjs").as_uri(),
        "wasm": str(MICROPYTHON / "micropython.wasm"),
        "pack": str(pack),
        "sessions": sessions,
        "modules": modules,
    }
    node = Path(sys.executable).parent / "node"
    out = _process(node, HERE / "node.mjs", given=given)
    return out["answers"], dict(zip(modules, out["imports"], strict=True))


def in_chromium(sessions: Sessions) -> Answers:
    """MicroPython in a web worker of Chromium, both as they ship in `pwa/dist`.

    In a process of its own: a test elsewhere may hold a browser open, and Playwright allows one such hold a thread.
    """
    answers: Answers = _process(sys.executable, HERE / "chromium.py", given=sessions)
    return answers
