"""Bring the database up to date, load the demo brewery into an empty one, say how to get in, and serve.

Told `own`, it loads no demo: a brewery of one's own is begun in the browser.
"""

import json
import os
import socket
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VESSELSIDE = ROOT / ".venv" / "bin" / "vesselside"
OWN_BREWERY = 1  # what `vesselside demo` exits with when the database holds a brewery that is not the demo's


def vesselside(*arguments: str, allowed: tuple[int, ...] = ()) -> str:
    """What one `vesselside` command prints; a failure that is not allowed for ends the start."""
    done = subprocess.run([VESSELSIDE, *arguments], stdout=subprocess.PIPE, text=True, check=False)
    if done.returncode and done.returncode not in allowed:
        sys.exit(
            f"\nVesselside cannot go on: `vesselside {' '.join(arguments)}` failed (its own words are above)."
        )
    return done.stdout.strip()


def taken(port: int) -> bool:
    """Whether somebody listens on a port of this machine."""
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def say_who(demo: str, port: int) -> None:
    """The demo brewery and its people; a brewery of one's own knows its people itself."""
    if not demo:
        print(f"\nVesselside is at http://localhost:{port}\n")
        return
    told = json.loads(demo)
    print(f"\n{told['name']} is at http://localhost:{port}\n")
    for person in told["people"]:
        secrets = [f"{kind} {person[kind]}" for kind in ("pin", "password") if kind in person]
        print(f"  {person['name']:<18} {person['role']:<9} {', '.join(secrets)}")


def main() -> None:
    """Serve until Ctrl-C."""
    vesselside("migrate")  # which also judges the settings
    port = int(os.environ.get("VESSELSIDE_PORT") or "8000")
    if taken(port):
        sys.exit(
            f"\nPort {port} is taken. Stop what uses it or choose another: VESSELSIDE_PORT=8080 deploy/run"
        )
    if sys.argv[1:] == ["own"]:
        print("\nCtrl-C stops it.\n", flush=True)
        os.execv(
            VESSELSIDE, [str(VESSELSIDE), "serve"]
        )  # it says where the brewery is begun, while there is none
    say_who(vesselside("demo", "--json", allowed=(OWN_BREWERY,)), port)
    print(f"\n  Enrol a phone with the code  {vesselside('enrol', 'phone')}")
    print(f"  Enrol the desk with the code {vesselside('enrol', 'desk')}")
    print(
        "  A code works once, for ten minutes. Another: deploy/run enrol NAME\n\nCtrl-C stops it.\n",
        flush=True,
    )
    os.execv(VESSELSIDE, [str(VESSELSIDE), "serve"])


if __name__ == "__main__":
    main()
