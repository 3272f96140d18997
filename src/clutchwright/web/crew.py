"""Processes beside the server that answer moving sliders, so that many phones at once get all cores."""

from __future__ import annotations

import multiprocessing
import threading
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from dataclasses import replace

from starlette.datastructures import URL

from clutchwright.manybikes import start_worker
from clutchwright.web.asking import Asked
from clutchwright.web.live import live_json


class Crew:
    """Some processes, or none; without them the server's own process answers.

    Parameters
    ----------
    size : int
        How many; fewer than 2 are none, as they would gain nothing.
    """

    def __init__(self, size: int) -> None:
        self._size = size
        self._pool: ProcessPoolExecutor | None = None
        self._changing = threading.Lock()

    def start(self) -> None:
        """Start them, and use them from when they are ready; takes some seconds."""
        if self._size < 2:
            return
        context = multiprocessing.get_context("spawn")
        pool = ProcessPoolExecutor(self._size, mp_context=context, initializer=start_worker)
        for ready in [pool.submit(_ready) for _ in range(2 * self._size)]:
            ready.result()
        with self._changing:
            self._pool = pool

    def stop(self) -> None:
        """End them."""
        with self._changing:
            pool, self._pool = self._pool, None
        if pool is not None:
            pool.shutdown(wait=False, cancel_futures=True)

    def live(self, asked: Asked) -> bytes:
        """What `live_json` says; raises as it does."""
        pool = self._pool
        if pool is None:
            return live_json(asked)
        try:
            return pool.submit(live_json, replace(asked, url=URL())).result()
        except BrokenExecutor:
            self.stop()
            return live_json(asked)


def _ready() -> None:
    """Nothing; whoever does it has loaded all that it needs."""
