"""What all sections of a bike file share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import BaseModel, ConfigDict, Discriminator

from clutchwright.quantity import Quantity

Optional = Quantity | None


class Section(BaseModel):
    """A table of the file; a key that it does not know is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, arbitrary_types_allowed=True, defer_build=True)


def chosen_by(key: str, usual: str | None = None) -> Discriminator:
    """Tell pydantic which of several forms a section has.

    Parameters
    ----------
    key : str
        The key that names the form.
    usual : str | None
        The form when the key is missing; None where it must be given.

    Returns
    -------
    pydantic.Discriminator
        For a union of sections, each with its tag.
    """

    def form(section: Any) -> str | None:
        if not isinstance(section, dict):
            return None
        named = section.get(key, usual)
        return named if named is None or isinstance(named, str) else repr(named)

    choose: Callable[[Any], str | None] = form
    return Discriminator(choose)
