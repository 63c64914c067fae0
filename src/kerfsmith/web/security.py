"""What every answer carries to keep a browser strict, and which requests are turned away at the door."""

from collections.abc import Awaitable, Callable, Collection
from ipaddress import ip_address
from urllib.parse import urlsplit

from fastapi import FastAPI, Request, Response
from fastapi.responses import PlainTextResponse

CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}
_CHANGING = frozenset({"POST", "PUT", "PATCH", "DELETE"})
MOST_BYTES = 20_000_000
"""No cut list is larger; a larger upload is turned away before it is read."""


def from_elsewhere(request: Request) -> bool:
    """Whether a changing request was sent by a page of another site.

    A browser names the origin of every such request; a program that is no browser names none and is let in.
    """
    if request.method not in _CHANGING:
        return False
    if request.headers.get("sec-fetch-site") in ("cross-site", "same-site"):
        return True
    origin = request.headers.get("origin")
    return origin is not None and urlsplit(origin).netloc != request.headers.get("host")


def strange_name(request: Request, names: Collection[str]) -> bool:
    """Whether a request came for a name that isn't this server's.

    A page of another site can have its own name point to this machine and would then be of one origin with
    the pages here. An address or ``localhost`` in place of a name can't be made to do that.
    """
    try:
        name = urlsplit(f"//{request.headers.get('host', '')}").hostname
    except ValueError:
        return True
    if name is None:
        return True
    try:
        ip_address(name)
    except ValueError:
        return name.rstrip(".") not in {"localhost", *(known.lower() for known in names)}
    return False


def too_large(request: Request) -> bool:
    """Whether the body is announced as larger than is read, or is of unannounced size."""
    if request.method not in _CHANGING:
        return False
    length = request.headers.get("content-length")
    if length is None:
        return "transfer-encoding" in request.headers
    return not length.isdecimal() or int(length) > MOST_BYTES


def _caching(path: str) -> str:
    """Fonts never change under their name, other files are asked after each time, pages are never kept."""
    if path.startswith("/static/fonts/"):
        return "public, max-age=31536000, immutable"
    return "no-cache" if path.startswith("/static/") else "no-store"


def guard(app: FastAPI, names: Collection[str] | None = None) -> None:
    """Put the headers on every answer and the refusals before every request.

    ``names`` are those by which this server is called beside its addresses; None lets any name in, where
    something in front of it sees to that.
    """

    @app.middleware("http")
    async def strict(request: Request, call_next: Callable[[Request], Awaitable[Response]]) -> Response:
        if names is not None and strange_name(request, names):
            answer: Response = PlainTextResponse(
                "This server isn't called by this name. Use its address, or start it with --name.\n", 421
            )
        elif from_elsewhere(request):
            answer = PlainTextResponse("This request came from another site and was refused.\n", 403)
        elif too_large(request):
            answer = PlainTextResponse(f"More than {MOST_BYTES // 1_000_000} MB is not read.\n", 413)
        else:
            answer = await call_next(request)
        for name, value in HEADERS.items():
            answer.headers[name] = value
        answer.headers.setdefault("Cache-Control", _caching(request.url.path))
        return answer
