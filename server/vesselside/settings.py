"""Settings, read from the environment once and handed to whoever needs them."""

import os
import secrets
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

PWA_FOLDER = Path(__file__).parents[2] / "pwa" / "dist"
PORT = 8000
PUSH_CONTACT = "mailto:operator@vesselside.invalid"
"""Whom a push service is told to write to (RFC 8292); some refuse one that cannot be."""


class SettingsError(Exception):
    """A setting that cannot be used; the text names it and says what would do."""


@dataclass(frozen=True)
class Settings:
    """Where the data lies and how the server is reached."""

    database_url: str
    data: Path
    port: int
    secret_key: str
    push_contact: str = PUSH_CONTACT
    push_service: str = ""
    pwa: Path = PWA_FOLDER

    @classmethod
    def from_environment(cls, environment: Mapping[str, str] = os.environ) -> "Settings":
        """The settings, with the data folder and the secret key made when they are not there yet."""
        data = Path(environment.get("VESSELSIDE_DATA") or "data").absolute()
        try:
            data.mkdir(mode=0o700, parents=True, exist_ok=True)
            if data.stat().st_uid == os.geteuid():
                data.chmod(0o700)
        except OSError as error:
            raise SettingsError(
                f"VESSELSIDE_DATA: the folder {data} cannot be made: {error.strerror}"
            ) from error
        return cls(
            database_url=_database_url(environment.get("VESSELSIDE_DATABASE_URL", ""), data),
            data=data,
            port=_port(environment.get("VESSELSIDE_PORT", "")),
            secret_key=environment.get("VESSELSIDE_SECRET_KEY")
            or kept_secret(data / "secret-key", _new_secret),
            push_contact=_contact(environment.get("VESSELSIDE_PUSH_CONTACT", "")),
            push_service=_service(environment.get("VESSELSIDE_PUSH_SERVICE", "")),
        )


def _database_url(text: str, data: Path) -> str:
    if not text:
        return f"sqlite:///{data / 'vesselside.sqlite3'}"
    kind, mark, rest = text.partition("://")
    if not mark:
        raise SettingsError("VESSELSIDE_DATABASE_URL is no address; use sqlite:///PATH or postgresql://…")
    if kind == "sqlite":
        return f"sqlite:///{Path(rest.removeprefix('/')).absolute()}"
    if kind in ("postgres", "postgresql", "postgresql+psycopg"):
        return f"postgresql+psycopg://{rest}"
    raise SettingsError(
        f"VESSELSIDE_DATABASE_URL: {kind} is not served; use sqlite:///PATH or postgresql://…"
    )


def _contact(text: str) -> str:
    if text and not text.startswith(("mailto:", "https://")):
        raise SettingsError(f"VESSELSIDE_PUSH_CONTACT: {text!r} is no mailto: or https: address")
    return text or PUSH_CONTACT


def _service(text: str) -> str:
    parts = urlsplit(text)
    if text and (parts.scheme not in ("http", "https") or text != f"{parts.scheme}://{parts.netloc}"):
        raise SettingsError(
            f"VESSELSIDE_PUSH_SERVICE: {text!r} is no scheme and host alone, as https://push.example"
        )
    return text


def _port(text: str) -> int:
    if not text:
        return PORT
    if not text.isascii() or not text.isdigit() or not 0 < int(text) < 65536:
        raise SettingsError(f"VESSELSIDE_PORT: {text!r} is not a port from 1 to 65535")
    return int(text)


def _new_secret() -> str:
    return secrets.token_urlsafe(32)


def kept_secret(path: Path, make: Callable[[], str]) -> str:
    """The secret kept in `path`, made on first use and readable by its owner only.

    Two processes that start together agree: the file appears whole or not at all, and the first one wins.
    """
    if not path.exists():
        fresh = path.with_name(f"{path.name}.{os.getpid()}.{secrets.token_hex(4)}")
        try:
            with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
                file.write(make())
                file.flush()
                os.fsync(file.fileno())
            with suppress(FileExistsError):
                os.link(fresh, path)
        except OSError as error:
            raise SettingsError(f"VESSELSIDE_DATA: {path} cannot be written: {error.strerror}") from error
        finally:
            fresh.unlink(missing_ok=True)
    return path.read_text(encoding="ascii")
