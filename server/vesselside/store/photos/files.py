"""Photos, by the SHA-256 of their bytes: a folder for each brewery, a file for each photo, written once.

A photo may come before or after the event that names it. It is on the disk before it is said to be kept.
"""

import os
import re
import secrets
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from vesselside.store.log.signing import sha256
from vesselside.store.photos.pictures import SUFFIXES, mime_of

_HASH = re.compile(r"[0-9a-f]{64}")


class PhotoNameError(ValueError):
    """A photo that is not what its hash or its sender says."""


class PhotoStoreError(Exception):
    """The folder of the photos cannot be read or written."""


@dataclass(frozen=True)
class Photo:
    """A photo as it is given out."""

    mime: str
    content: bytes


class Photos:
    """The photos under one folder."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, brewery: str, name: str, mime: str, content: bytes) -> bool:
        """Keep a photo under the hash `name`; false when it was held already."""
        if not _HASH.fullmatch(name) or sha256(content) != name:
            raise PhotoNameError("The address must be the SHA-256 of the photo, in lower-case hex.")
        found = mime_of(content)
        if mime != found:
            raise PhotoNameError(f"The photo was sent as {mime} and is {found}.")
        try:
            return self._write(self._folder / brewery / f"{name}{SUFFIXES[found]}", content)
        except OSError as error:
            raise PhotoStoreError(str(error)) from error

    def held(self, brewery: str, name: str) -> Photo | None:
        """The photo of that hash, if this brewery has it."""
        if not _HASH.fullmatch(name):
            return None
        for mime, suffix in SUFFIXES.items():
            try:
                return Photo(mime, (self._folder / brewery / f"{name}{suffix}").read_bytes())
            except FileNotFoundError:
                continue
            except OSError as error:
                raise PhotoStoreError(str(error)) from error
        return None

    def every(self, brewery: str) -> list[Path]:
        """The files of a brewery's photos, in order of name."""
        found = (self._folder / brewery).glob("*.*")
        return sorted(
            path for path in found if _HASH.fullmatch(path.stem) and path.suffix in SUFFIXES.values()
        )

    def put_back(self, brewery: str, name: str, content: bytes) -> bool:
        """Keep a photo that was kept before, by the name of its file; false when it is held."""
        path = Path(name)
        if (
            not _HASH.fullmatch(path.stem)
            or sha256(content) != path.stem
            or path.suffix not in SUFFIXES.values()
        ):
            raise PhotoNameError(f"{name} is not the name of its bytes.")
        try:
            return self._write(self._folder / brewery / path.name, content)
        except OSError as error:
            raise PhotoStoreError(str(error)) from error

    def remove(self, brewery: str, name: str) -> None:
        """Take a photo away for good, as a redaction does; nothing when it is not there."""
        if not _HASH.fullmatch(name):
            return
        folder = self._folder / brewery
        try:
            for suffix in SUFFIXES.values():
                (folder / f"{name}{suffix}").unlink(missing_ok=True)
            if folder.exists():
                _settle(folder)
        except OSError as error:
            raise PhotoStoreError(str(error)) from error

    def faults(self, brewery: str) -> Iterator[str]:
        """The files whose bytes are not those of their name."""
        for path in sorted((self._folder / brewery).glob("*.*")):
            if _HASH.fullmatch(path.stem) and sha256(path.read_bytes()) != path.stem:
                yield f"the photo {path.name} is damaged"

    def _write(self, path: Path, content: bytes) -> bool:
        """Write a file that appears whole or not at all, and is never written again."""
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        fresh = path.with_name(f"{secrets.token_hex(8)}.part")
        new = False
        try:
            with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            # A link, unlike a renaming, never takes the place of a file that is there.
            with suppress(FileExistsError):
                os.link(fresh, path)
                new = True
        finally:
            fresh.unlink(missing_ok=True)
        # The name must be on the disk too, and the names of the folders that lead to it.
        for folder in (path.parent, self._folder, self._folder.parent):
            _settle(folder)
        return new


def _settle(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
