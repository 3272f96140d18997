"""Who may come in, and with what: hosts, origins, pairing, sizes, and the headers of every answer."""

from __future__ import annotations

import asyncio
import hmac
import secrets
import threading
import time
from collections.abc import Callable, Collection
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import HTTPConnection
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY = 2_000_000  # bytes: a file of the largest size, and the form around it
BODY_WITHIN = 20.0  # seconds in which a body must have come
TRIES, TRIES_WITHIN = 5, 60.0  # wrong codes that are answered within so many seconds
COOKIE = "clutchwright_paired"
_SAFE = ("GET", "HEAD", "OPTIONS")
_HERE = ("127.0.0.1", "::1")
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
}


class Pairing:
    """The code that lets another device in, good for one device, and the devices that are in.

    Parameters
    ----------
    tell : callable
        Called with each new code, to show it where its owner is.
    """

    def __init__(self, tell: Callable[[str], None]) -> None:
        self._tell = tell
        self._paired: set[str] = set()
        self._wrong: list[float] = []
        self._lock = threading.Lock()
        self._renew()

    def knows(self, token: str) -> bool:
        """Whether a device has been let in."""
        return any(hmac.compare_digest(token.encode(), each.encode()) for each in self._paired)

    def wait(self) -> float:
        """How long no code is looked at [s]; 0 when one may try."""
        now = time.monotonic()
        self._wrong = [at for at in self._wrong if now - at < TRIES_WITHIN]
        return TRIES_WITHIN - (now - self._wrong[0]) if len(self._wrong) >= TRIES else 0.0

    def enter(self, code: str) -> str:
        """A token for the device that knows the code; empty for a wrong code, or one too many."""
        with self._lock:
            if self.wait() > 0.0:
                return ""
            if not hmac.compare_digest(code.strip().encode(), self._code.encode()):
                self._wrong.append(time.monotonic())
                return ""
            token = secrets.token_urlsafe(32)
            self._paired.add(token)
            self._renew()
            return token

    def _renew(self) -> None:
        self._code = f"{secrets.randbelow(10**6):06d}"
        self._tell(self._code)


class Guard:
    """Middleware that turns away what must not come in, and puts our headers on every answer.

    Parameters
    ----------
    app : ASGIApp
        What it guards.
    hosts : collection of str
        Host names by which this program may be called, without a port.
    pairing : Pairing | None
        Asked of every other machine; None where only this machine may come.
    """

    def __init__(self, app: ASGIApp, *, hosts: Collection[str], pairing: Pairing | None) -> None:
        self.app, self.hosts, self.pairing = app, frozenset(hosts), pairing

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or hand it on."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refusal = self._refused(scope)
        if refusal is not None:
            await refusal(scope, receive, _with_headers(send))
            return
        body = _Body(receive)
        try:
            await self.app(scope, body.receive, _with_headers(body.watched(send)))
        except _TooMuchError as error:
            await PlainTextResponse(str(error), error.status)(scope, receive, _with_headers(send))

    def _refused(self, scope: Scope) -> PlainTextResponse | RedirectResponse | None:
        headers = Headers(scope=scope)
        if _host(headers.get("host", "")) not in self.hosts:
            return PlainTextResponse("This address is not one of this program's own.\n", 421)
        if scope["method"] not in _SAFE and not _own(headers):
            return PlainTextResponse("Sent from another site, so it is not looked at.\n", 403)
        if not _length_fits(headers):
            return PlainTextResponse(f"More than {LARGEST_BODY} bytes.\n", 413)
        client = scope.get("client")
        if client is not None and client[0] in _HERE:
            return None
        if self.pairing is None:
            return PlainTextResponse("Only this machine may come in; start it with --share to let others in.\n", 403)
        if self.pairing.knows(HTTPConnection(scope).cookies.get(COOKIE, "")) or _open(scope["path"]):
            return None
        if scope["path"].startswith("/api/"):
            return PlainTextResponse("Pair this device first, at /pair.\n", 401)
        return RedirectResponse("/pair", 303)


def _open(path: str) -> bool:
    """Whether a path is open to devices that are not paired: the page that asks for the code, and its looks."""
    return path == "/pair" or path == "/look.css" or path.startswith("/static/")


def _host(header: str) -> str:
    """Name of a Host header, its port taken off."""
    return (urlsplit(f"//{header}").hostname or "") if _plain(header) else ""


def _plain(header: str) -> bool:
    return bool(header) and not set(header) & set(" /\\@?#")


def _own(headers: Headers) -> bool:
    """Whether a request that writes comes from our own pages, or from no page at all."""
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if site is not None and site not in ("same-origin", "none"):
        return False
    return origin is None or (origin != "null" and urlsplit(origin).netloc == headers.get("host"))


def _length_fits(headers: Headers) -> bool:
    length = headers.get("content-length", "0")
    return length.isdecimal() and int(length) <= LARGEST_BODY


class _TooMuchError(Exception):
    """A body that is too large or comes too slowly."""

    def __init__(self, message: str, status: int) -> None:
        self.status = status
        super().__init__(message)


class _Body:
    """A request's body, counted and timed while it comes."""

    def __init__(self, receive: Receive) -> None:
        self._receive, self._size, self._done, self._begun = receive, 0, False, False
        self._until = time.monotonic() + BODY_WITHIN

    async def receive(self) -> Message:
        """The next part of the body; raises where it is too large or too slow."""
        if self._done or self._begun:
            return await self._receive()
        try:
            message = await asyncio.wait_for(self._receive(), max(self._until - time.monotonic(), 0.01))
        except TimeoutError:
            text = f"It did not come within {BODY_WITHIN:g} seconds.\n"
            raise _TooMuchError(text, 408) from None
        self._size += len(message.get("body", b""))
        self._done = not message.get("more_body", False)
        if self._size > LARGEST_BODY:
            text = f"More than {LARGEST_BODY} bytes.\n"
            raise _TooMuchError(text, 413)
        return message

    def watched(self, send: Send) -> Send:
        """The same way out, which notes that the answer has begun."""

        async def watching(message: Message) -> None:
            self._begun = True
            await send(message)

        return watching


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers[name] = value
            headers.setdefault("Cache-Control", "no-store")
        await send(message)

    return sending
