"""The program as a process of its own, forked from one that has imported it already.

Each process runs the command line's own entry point with arguments, environment and streams of its own, and ends as it
says or as it is killed. It differs from `python -m vesselside` in this alone: the seconds of importing and of reading
the library are spent once for a worker of the suite and not a thousand times. `tests/deploy` starts it the whole way.
"""

import gc
import multiprocessing
import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from multiprocessing.context import ForkServerProcess
from pathlib import Path

from sqlalchemy import Engine

CONTEXT = multiprocessing.get_context("forkserver")
CONTEXT.set_forkserver_preload(
    [
        "vesselside.cli",
        "vesselside.app",
        "vesselside.serving",
        "vesselside.library.demo",
        "tests.forking",
        "tests.preloaded",
    ]
)


def begin(
    arguments: Sequence[str], environment: Mapping[str, str], *, stdin: str, stdout: str, stderr: str
) -> ForkServerProcess:
    """Start the program with the files at these paths for its streams, in a group of its own; it goes on by itself."""
    process = CONTEXT.Process(
        target=_run, args=(list(arguments), dict(environment), stdin, stdout, stderr), daemon=False
    )
    process.start()
    return process


def run(
    arguments: Sequence[str], environment: Mapping[str, str], stdin: str = ""
) -> subprocess.CompletedProcess[str]:
    """Run the program to its end."""
    with tempfile.TemporaryDirectory() as place:
        given, out, err = (Path(place, name) for name in ("in", "out", "err"))
        given.write_text(stdin)
        process = begin(arguments, environment, stdin=str(given), stdout=str(out), stderr=str(err))
        process.join()
        ended = process.exitcode
        process.close()
        assert ended is not None
        return subprocess.CompletedProcess(list(arguments), ended, out.read_text(), err.read_text())


def _run(arguments: list[str], environment: dict[str, str], stdin: str, stdout: str, stderr: str) -> None:
    os.setpgid(0, 0)
    os.environ.clear()
    os.environ.update(environment)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    os.dup2(os.open(stdin, os.O_RDONLY), 0)
    for number, path in ((1, stdout), (2, stderr)):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644), number)
    sys.stdin, sys.stdout, sys.stderr = open(0), open(1, "w"), open(2, "w")  # noqa: SIM115 - they last as long as it
    sys.argv = ["vesselside", *arguments]
    from vesselside.cli import main

    ended: int | str | None = None
    try:
        main()
    except SystemExit as stop:
        ended = stop.code
    # what the end of an interpreter does, which this process does not come to: connections are closed in order
    for held in gc.get_objects():
        if issubclass(type(held), Engine):
            held.dispose()
    sys.exit(ended)
