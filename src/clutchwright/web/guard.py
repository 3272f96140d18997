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
from starlette.exceptions import HTTPException
from starlette.requests import HTTPConnection
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY = 2_000_000  # bytes: a file of the largest size, and the form around it
BODY_WITHIN = 20.0  # seconds in which a body must have come
TRIES, TRIES_WITHIN = 5, 60.0  # wrong codes that are answered within so many seconds
COOKIE = "clutchwright_paired"
TOO_LARGE = f"More than {LARGEST_BODY} bytes."
_SAFE = ("GET", "HEAD", "OPTIONS")
_OURS = ("same-origin", "none")  # what a browser says of where a request comes from; other programs say nothing
HERE = ("127.0.0.1", "::1")
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
        self._paired: frozenset[str] = frozenset()
        self._wrong: list[float] = []
        self._lock = threading.Lock()
        self._renew()

    def knows(self, token: str) -> bool:
        """Whether a device has been let in."""
        return any(hmac.compare_digest(token.encode(), each.encode()) for each in self._paired)

    def wait(self) -> float:
        """How long no code is looked at [s]; 0 when one may try."""
        now = time.monotonic()
        recent = [at for at in self._wrong if now - at < TRIES_WITHIN]
        return TRIES_WITHIN - (now - recent[-TRIES]) if len(recent) >= TRIES else 0.0

    def enter(self, code: str) -> str:
        """A token for the device that knows the code; empty for a wrong code, or one too many."""
        with self._lock:
            if self.wait() > 0.0:
                return ""
            if not hmac.compare_digest(code.strip().encode(), self._code.encode()):
                self._wrong = [*self._wrong[1 - TRIES :], time.monotonic()]
                return ""
            token = secrets.token_urlsafe(32)
            self._paired |= {token}
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
        answer = _with_headers(send)
        refused = self._refused(scope)
        if refused is not None:
            await refused(scope, receive, answer)
            return
        body = _Body(receive)
        try:
            await self.app(scope, body.receive, body.watched(answer))
        except Exception:
            if not body.begun:
                fault = refusal(scope, "A fault of this program; the terminal it was started in says more.", 500)
                await fault(scope, receive, answer)
            raise

    def _refused(self, scope: Scope) -> Response | None:
        headers = Headers(scope=scope)
        if _host(headers.get("host", "")) not in self.hosts:
            return refusal(scope, "This address is not one of this program's own.", 421)
        if not _own(headers, scope["method"]):
            return refusal(scope, "Sent from another site, so it is not looked at.", 403)
        if not _length_fits(headers):
            return refusal(scope, TOO_LARGE, 413)
        client = scope.get("client")
        if client is not None and client[0] in HERE:
            return None
        if self.pairing is None:
            return refusal(scope, "Only this machine may come in; start it with --share to let others in.", 403)
        if self.pairing.knows(HTTPConnection(scope).cookies.get(COOKIE, "")) or _open(scope["path"]):
            return None
        if scope["path"].startswith("/api/"):
            return refusal(scope, "Pair this device first, at /pair.", 401)
        return RedirectResponse("/pair", 303)


def refusal(scope: Scope, message: str, status: int) -> Response:
    """One line that says why: as JSON to programs."""
    if scope["path"].startswith("/api/"):
        return JSONResponse({"error": message}, status)
    return PlainTextResponse(f"{message}\n", status)


def _open(path: str) -> bool:
    """Whether a path is open to devices that are not paired: the page that asks for the code, and its looks."""
    return path == "/pair" or path == "/look.css" or path.startswith("/static/")


def _host(header: str) -> str:
    """Name of a Host header, its port taken off; empty for what is none."""
    if not header or set(header) & set(" /\\@?#"):
        return ""
    try:
        return urlsplit(f"//{header}").hostname or ""
    except ValueError:  # a bracket without its other one
        return ""


def _own(headers: Headers, method: str) -> bool:
    """Whether a request comes from our own pages or from no page at all, or only follows a link to one of them."""
    site, origin = headers.get("sec-fetch-site", "none"), headers.get("origin")
    if method in _SAFE:
        return site in _OURS or headers.get("sec-fetch-mode") == "navigate"
    return site in _OURS and (origin is None or origin.partition("://")[2] == headers.get("host"))


def _length_fits(headers: Headers) -> bool:
    length = headers.get("content-length", "0")
    return length.isdecimal() and len(length) < 20 and int(length) <= LARGEST_BODY


class _Body:
    """A request's body, counted and timed while it comes."""

    def __init__(self, receive: Receive) -> None:
        self._receive, self._size, self._done, self.begun = receive, 0, False, False
        self._until = time.monotonic() + BODY_WITHIN

    async def receive(self) -> Message:
        """The next part of the body; raises where it is too large or too slow."""
        if self._done or self.begun:
            return await self._receive()
        try:
            message = await asyncio.wait_for(self._receive(), max(self._until - time.monotonic(), 0.01))
        except TimeoutError:
            raise HTTPException(408, f"It did not come within {BODY_WITHIN:g} seconds.") from None
        self._size += len(message.get("body", b""))
        self._done = not message.get("more_body", False)
        if self._size > LARGEST_BODY:
            raise HTTPException(413, TOO_LARGE)
        return message

    def watched(self, send: Send) -> Send:
        """The same way out, which notes that the answer has begun."""

        async def watching(message: Message) -> None:
            self.begun = True
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
