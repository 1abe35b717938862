"""One push message: encrypted for one browser (RFC 8291), signed by the server (RFC 8292), and handed over."""

import ipaddress
import json
import socket
from dataclasses import dataclass
from typing import Any, Literal
from urllib.parse import urlsplit

import requests
from flask import current_app

from vesselside.settings import Settings
from vesselside.store.notices.deliveries import Sending
from vesselside.store.notices.subscriptions import sendable

SECONDS = 10
"""How long a push service has to answer; less than a sending is lent for."""
GONE = (401, 403, 404, 410)
"""What a browser no longer takes there, and what was subscribed to under a key that is not ours any more."""
LATER = (408, 425, 429)
_URGENT = ("hold-over", "second-wanted", "standing")


@dataclass(frozen=True)
class Answer:
    """What became of it: `taken`, `gone`, `refused` for good, or `later`, `after` so many seconds if it was said."""

    word: Literal["taken", "gone", "refused", "later"]
    after: int | None = None
    why: str = ""


class _Line(requests.Session):
    """Follows nobody elsewhere: an address that may be sent to must not lead to one that may not."""

    def post(self, url: Any, data: Any = None, json: Any = None, **more: Any) -> requests.Response:
        return super().post(url, data=data, json=json, **{**more, "allow_redirects": False})


def session() -> requests.Session:
    """What messages are sent by."""
    return _Line()


def post(sending: Sending, settings: Settings, line: requests.Session, *, now: int) -> Answer:
    """Send it, and say what became of it."""
    # pywebpush brings an asynchronous client with it, which takes a second to import and is not used here
    from pywebpush import WebPushException, webpush  # type: ignore[import-untyped]  # noqa: PLC0415

    if not sendable(sending.endpoint, settings.push_service):
        return Answer("refused", why="its address is no push service's")
    try:
        if not _outside(sending.endpoint, settings.push_service):
            return Answer("refused", why="its address lies within this network")
        answer = webpush(
            {"endpoint": sending.endpoint, "keys": {"p256dh": sending.key, "auth": sending.auth}},
            json.dumps({**sending.content, "tag": sending.notice}),
            vapid_private_key=current_app.extensions["vesselside"].push.private,
            vapid_claims={"sub": settings.push_contact},
            ttl=max(1, (sending.until - now) // 1000),
            timeout=SECONDS,
            headers={"Topic": sending.notice, "Urgency": "high" if sending.kind in _URGENT else "normal"},
            requests_session=line,
        )
    except WebPushException as error:
        return _judged(error.response, str(error))
    except (requests.RequestException, OSError) as error:
        return Answer("later", why=str(error))
    return (
        _judged(answer, "") if isinstance(answer, requests.Response) else Answer("refused", why="no answer")
    )


def _judged(answer: requests.Response | None, why: str) -> Answer:
    if answer is None:
        return Answer("refused", why=why)
    if answer.status_code in (200, 201, 202, 204):
        return Answer("taken")
    if answer.status_code in GONE:
        return Answer("gone")
    if answer.status_code in LATER or answer.status_code >= 500:
        said = answer.headers.get("Retry-After", "")
        return Answer("later", int(said) if said.isascii() and said.isdigit() and len(said) < 7 else None)
    return Answer("refused", why=f"it answered {answer.status_code}")


def _outside(endpoint: str, service: str) -> bool:
    """Whether all addresses of a push service lie outside this network, unless it is the brewery's own."""
    parts = urlsplit(endpoint)
    if service and f"{parts.scheme}://{parts.netloc}" == service:
        return True
    found = socket.getaddrinfo(parts.hostname, parts.port or 443, type=socket.SOCK_STREAM)
    return all(ipaddress.ip_address(str(address[0]).split("%")[0]).is_global for *_, address in found)
