"""What the kernel says of the processes of a server, and what it is told to keep them from."""

import resource
from pathlib import Path

from tests.living import Living


def of(living: Living) -> list[int]:
    """The processes of a running server: those of the group it leads."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            stat = (folder / "stat").read_text()
        except (FileNotFoundError, ProcessLookupError):
            continue  # ended meanwhile
        group = int(stat.rpartition(")")[2].split()[2])
        if group == living.pid:
            found.append(int(folder.name))
    return found


def most_memory(living: Living) -> int:
    """The most memory any of them ever had, in bytes."""
    return max(
        int(line.split()[1]) * 1024
        for process in of(living)
        for line in Path(f"/proc/{process}/status").read_text().splitlines()
        if line.startswith("VmHWM:")
    )


def let_no_file_grow_beyond(living: Living, size: int) -> None:
    """As on a full disk: what they write behind the first `size` bytes of a file is refused; -1 lifts it."""
    for process in of(living):
        _, most = resource.prlimit(process, resource.RLIMIT_FSIZE)
        resource.prlimit(process, resource.RLIMIT_FSIZE, (most if size < 0 else size, most))
