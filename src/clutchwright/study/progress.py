"""How far a long piece of work is."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[str, int, int], None]  # what is being done, how many are done, of how many


def unheard(what: str, done: int, total: int) -> None:
    """Progress that nobody asked for."""
    del what, done, total
