"""A copy as one file: the database, the photos, the keys if asked for, and a manifest that vouches for each of them.

The file is a ZIP archive. Its database is a SQLite file, whatever database it was taken from, so that a copy of either
kind can be put back into either.
"""

import hashlib
import json
import os
import re
import shutil
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from vesselside.store.photos.files import Photos

KIND = "vesselside-copy"
MANIFEST, DATABASE = "manifest.json", "database.sqlite3"
KEYS = ("server-key.pem", "secret-key")
MOST_MANIFEST = 256 * 2**20
_NAME = re.compile(
    r"database\.sqlite3|keys/(?:server-key\.pem|secret-key)|photos/[a-z0-9-]{1,64}/[0-9a-f]{64}\.[a-z]{3,4}"
)
_PIECE = 2**20


class CopyError(Exception):
    """A file that is no copy, or no longer the one that was made; the text says what is wrong."""


@dataclass(frozen=True)
class Copy:
    """A copy whose every part is as it was when the copy was made."""

    path: Path
    told: dict[str, Any]

    def names(self, folder: str) -> list[str]:
        """The parts that lie in a folder of the copy."""
        return sorted(name for name in self.told["files"] if name.startswith(f"{folder}/"))

    def read(self, name: str) -> bytes:
        """A part."""
        with zipfile.ZipFile(self.path) as held:
            return held.read(name)

    def take_out(self, name: str, to: Path) -> None:
        """Write a part into a file."""
        with zipfile.ZipFile(self.path) as held, held.open(name) as part, to.open("xb") as file:
            shutil.copyfileobj(part, file, _PIECE)


def write(
    path: Path,
    database: Path,
    photos: Photos,
    breweries: list[dict[str, Any]],
    keys: dict[str, str],
    about: dict[str, Any],
) -> None:
    """Write a copy that appears whole or not at all; FileExistsError when there is such a file."""
    if path.exists():
        raise FileExistsError(path)
    fresh = path.with_name(f"{path.name}.part")
    files: dict[str, dict[str, Any]] = {}
    try:
        with zipfile.ZipFile(fresh, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as made:
            files[DATABASE] = _put(made, DATABASE, _pieces(database))
            for brewery in breweries:
                for photo in photos.every(brewery["id"]):
                    name = f"photos/{brewery['id']}/{photo.name}"
                    files[name] = _put(made, name, _pieces(photo), zipfile.ZIP_STORED)
            for key, text in sorted(keys.items()):
                files[f"keys/{key}"] = _put(made, f"keys/{key}", [text.encode()])
            told = {"kind": KIND, **about, "breweries": breweries, "files": files}
            made.writestr(MANIFEST, json.dumps(told, ensure_ascii=False, indent=1))
        with fresh.open("rb") as file:
            _settle(file)
        fresh.rename(path)
    finally:
        fresh.unlink(missing_ok=True)


def opened(path: Path) -> Copy:
    """The copy in a file, every part of it verified by the manifest; CopyError."""
    try:
        with zipfile.ZipFile(path) as held:
            told = _manifest(held)
            lacking = {MANIFEST, *told["files"]} ^ set(held.namelist())
            if lacking:
                raise CopyError(f"{min(lacking)} is in the manifest or in the file, and not in both")
            for name, said in told["files"].items():
                found = _hashed(held, name)
                if found != said:
                    raise CopyError(f"{name} is not as it was when the copy was made")
    except (
        zipfile.BadZipFile,
        zipfile.LargeZipFile,
        EOFError,
        OSError,
        NotImplementedError,
        RuntimeError,
    ) as error:
        raise CopyError(f"the file is damaged or none that backup wrote: {error}") from error
    except zlib.error as error:
        raise CopyError(f"the file is damaged: {error}") from error
    return Copy(path, told)


def _manifest(held: zipfile.ZipFile) -> dict[str, Any]:
    try:
        found = held.getinfo(MANIFEST)
    except KeyError as error:
        raise CopyError("it has no manifest: backup did not write it") from error
    if found.file_size > MOST_MANIFEST:
        raise CopyError("its manifest is larger than any that backup writes")
    try:
        told = json.loads(held.read(MANIFEST))
    except ValueError as error:
        raise CopyError(f"its manifest cannot be read: {error}") from error
    files: object = told.get("files") if isinstance(told, dict) and told.get("kind") == KIND else None
    if not isinstance(files, dict) or DATABASE not in files:
        raise CopyError("its manifest names no database: backup did not write it")
    strange = [name for name in files if not _NAME.fullmatch(name)]
    if strange:
        raise CopyError(f"its manifest names {strange[0]!r}, which no copy holds")
    found_told: dict[str, Any] = told
    return found_told


def _put(
    made: zipfile.ZipFile, name: str, pieces: Iterable[bytes], way: int = zipfile.ZIP_DEFLATED
) -> dict[str, Any]:
    row = zipfile.ZipInfo(name)
    row.compress_type, row.external_attr = way, 0o600 << 16
    hashed, size = hashlib.sha256(), 0
    with made.open(row, "w", force_zip64=True) as part:
        for piece in pieces:
            part.write(piece)
            hashed.update(piece)
            size += len(piece)
    return {"sha256": hashed.hexdigest(), "bytes": size}


def _hashed(held: zipfile.ZipFile, name: str) -> dict[str, Any]:
    hashed, size = hashlib.sha256(), 0
    with held.open(name) as part:
        while piece := part.read(_PIECE):
            hashed.update(piece)
            size += len(piece)
    return {"sha256": hashed.hexdigest(), "bytes": size}


def _pieces(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while piece := file.read(_PIECE):
            yield piece


def _settle(file: IO[bytes]) -> None:
    os.fsync(file.fileno())
