"""What all sections of a file share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field

from clutchwright.quantity import Quantity

Optional = Quantity | None


class Section(BaseModel):
    """A table of the file; a key that it does not know is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, arbitrary_types_allowed=True, defer_build=True)


class File(Section):
    """A whole file. The order of its sections is the one in which one would measure."""

    schema_: Annotated[Literal[1], Field(alias="schema", description="Version of this form of file; 1.")]
    name: Annotated[str, Field(pattern=r"^[^\x00-\x1f\x7f]{1,100}$", description="What you call it.")]


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
