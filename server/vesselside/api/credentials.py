"""Who is calling: the device by its cookie, and at the desk the manager by another."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from flask import Response, g, request

from vesselside.store import book
from vesselside.store.base.db import now_ms
from vesselside.store.site import devices, people
from vesselside.store.site.devices import Credential

from .documents import DEVICE_COOKIE, PERSON_COOKIE
from .edge import is_loopback
from .errors import ProblemError

DEVICE_SECONDS = 400 * 86_400
Route = Callable[..., Any]


def by_device(route: Route) -> Route:
    """Let only enrolled devices call `route`, which gets their credential first."""

    @wraps(route)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        return route(device(), *args, **kwargs)

    return documented(guarded, [{"device": []}])


def by_manager(route: Route) -> Route:
    """Let only a manager signed in on an enrolled device call `route`, which gets credential and session first."""

    @wraps(route)
    def guarded(*args: Any, **kwargs: Any) -> Any:
        credential = device()
        session = person(credential)
        if session is None or session.role != "manager" or not session.desk:
            raise ProblemError(
                403,
                "invalid",
                "The desk is for a manager, by a password of 12 letters, and shuts after 20 minutes. Sign in again.",
            )
        return route(credential, session, *args, **kwargs)

    return documented(guarded, [{"device": [], "person": []}])


def documented(route: Route, security: list[dict[str, list[str]]]) -> Route:
    """Say in the OpenAPI document which credentials `route` needs."""
    doc = dict(getattr(route, "_apidoc", {}))
    doc["manual_doc"] = {**doc.get("manual_doc", {}), "security": security}
    route._apidoc = doc  # type: ignore[attr-defined]  # where flask-smorest keeps what `doc` says
    return route


def device() -> Credential:
    """The calling device; a problem when it is not enrolled or was revoked."""
    if "credential" not in g:
        found = devices.credential(device_cookie())
        if found is None:
            revoked = devices.was_revoked(device_cookie())
            raise ProblemError(
                401,
                "not-enrolled",
                "This device is not enrolled here. Ask a manager for a code.",
                more={"revoked": True} if revoked else None,
            )
        g.credential = found
    credential: Credential = g.credential
    return credential


def person(credential: Credential) -> people.Session | None:
    """The person signed in on the calling device, if any."""
    return people.session_of(book(credential.brewery), credential.device, person_cookie(), now=now_ms())


def device_cookie() -> str:
    """The device's cookie; over https also by the plain name it was given under before it had the other."""
    return request.cookies.get(_named(DEVICE_COOKIE)) or request.cookies.get(DEVICE_COOKIE, "")


def person_cookie() -> str:
    """The person's cookie."""
    return request.cookies.get(_named(PERSON_COOKIE), "")


def set_device_cookie(response: Response, token: str) -> None:
    """Give or renew the device's cookie."""
    _set(response, DEVICE_COOKIE, token, DEVICE_SECONDS)


def set_person_cookie(response: Response, token: str) -> None:
    """Give the person's cookie."""
    _set(response, PERSON_COOKIE, token, people.SESSION_MS // 1000)


def clear_person_cookie(response: Response) -> None:
    """Take the person's cookie back."""
    _set(response, PERSON_COOKIE, "", 0)


def _named(name: str) -> str:
    """A browser takes `__Host-` only over https and from this very host, so no neighbour can put one in its place."""
    return f"__Host-{name}" if request.is_secure else name


def _set(response: Response, name: str, value: str, seconds: int) -> None:
    response.set_cookie(
        _named(name),
        value,
        max_age=seconds,
        httponly=True,
        samesite="Strict",
        secure=not is_loopback(request),
        path="/",
    )
