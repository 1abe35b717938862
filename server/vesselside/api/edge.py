"""The edge of the server: what is let in, and the headers everything goes out with."""

import gzip
import zlib
from collections.abc import MutableMapping
from ipaddress import ip_address

from flask import Flask, Request, Response, request

from .errors import ProblemError

BODY_BYTES = 65_536
SAFE = ("GET", "HEAD", "OPTIONS")
COMPRESS_FROM = 1_000
COMPRESS_LEVEL = 3

POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; connect-src 'self'; "
    "style-src 'self'; img-src 'self' blob: data:; font-src 'self'; manifest-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    # What the app asks for: the camera for a photo, nothing that tells where or who anyone is.
    "Permissions-Policy": (
        "camera=(self), screen-wake-lock=(self), accelerometer=(), browsing-topics=(), "
        "display-capture=(), geolocation=(), gyroscope=(), hid=(), magnetometer=(), microphone=(), midi=(), "
        "payment=(), publickey-credentials-get=(), serial=(), usb=(), xr-spatial-tracking=()"
    ),
}
SECURE_SECONDS = 63_072_000
"""Two years, in which a browser asks for this place by https alone."""


def harden(headers: MutableMapping[str, str]) -> None:
    """Put on the headers that every answer carries, unless it has its own."""
    for name, value in HEADERS.items():
        headers.setdefault(name, value)


def register(app: Flask) -> None:
    """Guard every request and dress every answer."""

    @app.before_request
    def guard() -> None:
        if request.max_content_length is None:
            request.max_content_length = BODY_BYTES
        # what no route takes is answered so, whatever it holds
        if request.method not in SAFE and request.routing_exception is None:
            _same_origin(request)

    @app.after_request
    def dress(response: Response) -> Response:
        harden(response.headers)  # type: ignore[arg-type]
        if request.is_secure:
            response.headers["Strict-Transport-Security"] = f"max-age={SECURE_SECONDS}"
        if request.path.startswith("/api/"):
            response.headers.setdefault("Cache-Control", "no-store")
            _compress(response)
        return response


def _same_origin(request: Request) -> None:
    """No form and no other site's script can make such a call (only ours, or none, is an Origin)."""
    origin = request.headers.get("Origin")
    if origin is not None and origin != request.host_url.rstrip("/"):
        raise ProblemError(403, "cross-origin", "This call came from another site.")
    kind = request.mimetype
    allowed = kind == "application/json" or (kind.startswith("application/") and kind.endswith("+json"))
    empty = request.method == "DELETE" and not kind and not request.content_length
    if not (allowed or kind.startswith("image/") or empty):
        raise ProblemError(
            403, "cross-origin", "The content type must be application/json or that of an image."
        )


def body_of(request: Request, limit: int) -> bytes:
    """The request's body, unpacked if it was gzipped; never more than `limit` bytes of memory for it."""
    # A body that does not say how long it is ends at the most without a word, so one byte more is let in.
    request.max_content_length = limit + 1
    data = request.get_data(cache=False)
    if len(data) > limit:
        raise ProblemError(413, "too-large", f"It is more than {limit} bytes.")
    encoding = request.headers.get("Content-Encoding", "identity").strip().lower()
    if encoding == "identity":
        return data
    if encoding != "gzip":
        raise ProblemError(415, "malformed", "The content encoding must be gzip, or none.")
    unpacker = zlib.decompressobj(wbits=31)
    try:
        plain = unpacker.decompress(data, limit + 1)
    except zlib.error as error:
        raise ProblemError(400, "malformed", "The body is not what gzip writes.") from error
    if len(plain) > limit:
        raise ProblemError(413, "too-large", f"Unpacked it is more than {limit} bytes.")
    if not unpacker.eof or unpacker.unused_data:
        raise ProblemError(400, "malformed", "The gzipped body is cut short or has something after it.")
    return plain


def takes_gzip(request: Request) -> bool:
    """Whether the caller wants a gzipped answer."""
    return request.accept_encodings.quality("gzip") > 0 and "gzip" in request.headers.get(
        "Accept-Encoding", ""
    )


def _compress(response: Response) -> None:
    response.vary.add("Accept-Encoding")
    if (
        response.is_streamed
        or response.headers.get("Content-Encoding")
        or str(response.mimetype).startswith("image/")
    ):
        return
    data = response.get_data()
    if len(data) >= COMPRESS_FROM and takes_gzip(request):
        response.set_data(gzip.compress(data, COMPRESS_LEVEL, mtime=0))
        response.headers["Content-Encoding"] = "gzip"


def is_loopback(request: Request) -> bool:
    """Whether the page was asked for at this very machine over plain http, where browsers take no Secure cookie."""
    if request.is_secure:
        return False
    host = request.host.rpartition(":")[0] if request.host.rpartition(":")[2].isdigit() else request.host
    host = host.strip("[]")
    if host == "localhost" or host.endswith(".localhost"):
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False
