"""The pull wanted: what may be asked for."""

from __future__ import annotations

from clutchwright.errors import InputError

LEAST, MOST = 1.0, 500.0  # [N]


def require_target(target_N: float | None) -> None:
    """Refuse a pull wanted [N] that is no pull; None is none wanted. Raises `InputError`."""
    if target_N is not None and not LEAST <= target_N <= MOST:
        allowed = f"give the pull wanted at the finger, from {LEAST:g} to {MOST:g} N"
        raise InputError("--target", target_N, allowed)
