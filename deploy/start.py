"""Bring the database up to date, load the demo brewery into an empty one, say how to get in, and serve."""

import json
import os
import socket
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VESSELSIDE = ROOT / ".venv" / "bin" / "vesselside"
DATA = Path(os.environ["VESSELSIDE_DATA"])
PORT = int(os.environ.get("VESSELSIDE_PORT", "8000"))
SIGN_INS = DATA / "demo-sign-ins.json"


def vesselside(*arguments: str) -> str:
    """What one `vesselside` command prints; its failure ends the start with its own words."""
    done = subprocess.run([VESSELSIDE, *arguments], stdout=subprocess.PIPE, text=True, check=False)
    if done.returncode:
        sys.exit(
            f"\nVesselside cannot go on: `vesselside {' '.join(arguments)}` failed (its own words are above)."
        )
    return done.stdout.strip()


def free(port: int) -> bool:
    """Whether nobody listens on a port of this machine."""
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) != 0


def sign_ins() -> dict:
    """The demo brewery's people with their PINs and passwords; the demo is loaded first if it is not there."""
    if not SIGN_INS.exists():
        demo = vesselside("demo", "--json")
        DATA.mkdir(parents=True, exist_ok=True)
        SIGN_INS.touch(mode=0o600)
        SIGN_INS.write_text(demo)
    return json.loads(SIGN_INS.read_text())


def main() -> None:
    """Serve until Ctrl-C."""
    if not free(PORT):
        sys.exit(
            f"\nPort {PORT} is taken. Stop what uses it, or choose another: VESSELSIDE_PORT=8080 deploy/run"
        )
    vesselside("migrate")
    demo = sign_ins()
    print(f"\n{demo['brewery']} is at http://localhost:{PORT}\n")
    for person in demo["people"]:
        secrets = [f"{kind} {person[kind]}" for kind in ("pin", "password") if kind in person]
        print(f"  {person['name']:<18} {person['role']:<9} {', '.join(secrets)}")
    print(f"\n  Enrol a phone with the code  {vesselside('enrol', 'phone')}")
    print(f"  Enrol the desk with the code {vesselside('enrol', 'desk')}")
    print(
        "  A code works once, for ten minutes. Another: deploy/run enrol NAME\n\nCtrl-C stops it.\n",
        flush=True,
    )
    os.execv(VESSELSIDE, [str(VESSELSIDE), "serve"])


if __name__ == "__main__":
    main()
