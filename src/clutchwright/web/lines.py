"""How connections are taken and turns are given, so that nobody's slowness or greed keeps the others out."""

from __future__ import annotations

import asyncio
import re
from typing import TYPE_CHECKING

import uvicorn
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from uvicorn.protocols.http.h11_impl import H11Protocol

from clutchwright.web.guard import HERE, refusal

if TYPE_CHECKING:
    from asyncio import TimerHandle, Transport

MOST_CONNECTIONS = 200
MOST_PER_DEVICE = 24  # a browser opens six
HEAD_WITHIN = 10.0  # seconds from the first to the last of what is asked, its body not counted
AT_ONCE = 4  # answers that take long; an assessment of many possible bikes takes 50 MB while it is made
MOST_WAITING = 40
# All that is worked out of a bike, and the archive; not what has to be there at once.
_LONG = re.compile(r"(?:/api)?/bikes/[^/]+/.+|/files/all\.zip")
_AT_ONCE = re.compile(r"/api/bikes/[^/]+/(?:live|study)")


def server(app: ASGIApp) -> uvicorn.Server:
    """What serves an application, on sockets that are given to its ``run``."""
    return uvicorn.Server(
        uvicorn.Config(
            app,
            http=Line,
            ws="none",
            log_level="warning",
            server_header=False,
            proxy_headers=False,
            limit_concurrency=MOST_CONNECTIONS,
        )
    )


class Line(H11Protocol):
    """One connection: closed where what is asked does not come soon, or another device has many already."""

    _deadline: TimerHandle | None = None

    def connection_made(self, transport: Transport) -> None:  # type: ignore[override]  # as the base does
        """Take a connection, or not."""
        super().connection_made(transport)
        device = self.client[0] if self.client else ""
        if device not in HERE and sum(_device(each) == device for each in self.connections) > MOST_PER_DEVICE:
            transport.abort()
        else:
            self._deadline = self.loop.call_later(HEAD_WITHIN, transport.close)

    def data_received(self, data: bytes) -> None:
        """Take what came, and wait for no more than the rest of a head."""
        super().data_received(data)
        answering = self.cycle is not None and not self.cycle.response_complete
        if answering:
            self._forget()
        elif self._deadline is None:
            self._deadline = self.loop.call_later(HEAD_WITHIN, self.transport.close)

    def connection_lost(self, exc: Exception | None) -> None:
        """Let go."""
        self._forget()
        super().connection_lost(exc)

    def _forget(self) -> None:
        if self._deadline is not None:
            self._deadline.cancel()
            self._deadline = None


def _device(line: object) -> str:
    client = getattr(line, "client", None)
    return client[0] if client else ""


class Turns:
    """Middleware that lets a few long answers be made at a time; short ones never wait for them.

    Parameters
    ----------
    app : ASGIApp
        What makes them.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app, self._waiting = app, 0
        self._turns = asyncio.Semaphore(AT_ONCE)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand a request on when it is its turn."""
        if scope["type"] != "http" or not _long(scope):
            await self.app(scope, receive, send)
            return
        if self._waiting >= MOST_WAITING:
            busy: Response = refusal(scope, "Too much is being worked out; try again in a minute.", 503)
            await busy(scope, receive, send)
            return
        whole = await _come(receive)
        if whole is None:
            return
        await self._wait()
        turn = _Turn(self._turns, send)
        try:
            await self.app(scope, whole, turn.send)
        finally:
            turn.end()

    async def _wait(self) -> None:
        self._waiting += 1
        try:
            await self._turns.acquire()
        finally:
            self._waiting -= 1


def _long(scope: Scope) -> bool:
    if _AT_ONCE.fullmatch(scope["path"]) and b"samples" not in scope["query_string"]:
        return False
    return _LONG.fullmatch(scope["path"]) is not None


async def _come(receive: Receive) -> Receive | None:
    """A request's body, once all of it has come or cannot come, so that nobody else waits; None for who has gone."""
    messages: list[Message] = []
    fault: HTTPException | None = None
    try:
        while not messages or messages[-1].get("more_body", False):
            messages.append(await receive())
    except HTTPException as error:  # too large, too slow: for the application to tell
        fault = error

    if messages and messages[-1]["type"] == "http.disconnect":
        return None

    async def again() -> Message:
        if messages:
            return messages.pop(0)
        if fault is not None:
            raise fault
        return await receive()

    return again


class _Turn:
    """One turn: over as soon as the answer is made, however long it takes to be read."""

    def __init__(self, turns: asyncio.Semaphore, send: Send) -> None:
        self._turns, self._send, self._over = turns, send, False

    async def send(self, message: Message) -> None:
        """Send a part of the answer."""
        self.end()
        await self._send(message)

    def end(self) -> None:
        """Let the next one begin."""
        if not self._over:
            self._over = True
            self._turns.release()
