"""What a request asks: the file in its path and the wishes in its query, the same for pages and programs."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Annotated, Literal
from urllib.parse import quote, urlencode

from fastapi import Depends, Path, Query, Request
from starlette.datastructures import URL

from clutchwright import bikefile, handfile, readings, usecases
from clutchwright.bikefile import MeasuredBike
from clutchwright.changes import Step, parse
from clutchwright.errors import InputError
from clutchwright.hand.riding import parse_riding
from clutchwright.report.words import step_text
from clutchwright.study.assessment import Assessment
from clutchwright.study.hand_assessment import Rider
from clutchwright.workspace import File, Workspace

MOST_SAMPLES, MOST_CHANGES = 16_384, 20
ForceUnit = Literal["N", "kgf", "lbf"]
LengthUnit = Literal["mm", "inch"]


@dataclass(frozen=True, slots=True)
class Asked:
    """One bike and what is asked about it.

    Parameters
    ----------
    file : File
        The bike file.
    steps : tuple of str
        Changes, each as on the command line.
    hand : File | None
        The hand file.
    riding : str
        Kind of riding; empty for town.
    hours : float
        Riding time wanted [h].
    samples, seed : int
        Possible bikes to draw, and the seed of the draw [-].
    force : ForceUnit
        Unit in which forces are shown.
    length : LengthUnit
        Unit in which lengths are shown.
    url : URL
        Address that was asked for.
    """

    file: File
    steps: tuple[str, ...] = ()
    hand: File | None = None
    riding: str = ""
    hours: float = 4.0
    samples: int = 0
    seed: int = 1
    force: ForceUnit = "N"
    length: LengthUnit = "mm"
    url: URL = field(default_factory=URL, compare=False)

    @property
    def bike(self) -> MeasuredBike:
        """The bike as filed."""
        return read_bike(self.file)

    @property
    def changes(self) -> tuple[Step, ...]:
        """The changes, checked."""
        return tuple(map(parse, self.steps))

    @property
    def told(self) -> tuple[str, ...]:
        """The changes in words."""
        return tuple(map(step_text, self.changes))

    @property
    def rider(self) -> Rider | None:
        """Whose hand pulls, and what for; None without a hand file."""
        if self.hand is None:
            return None
        riding = parse_riding(self.riding) if self.riding else usecases.TOWN
        hand = handfile.loads(self.hand.text, self.hand.name)
        return usecases.rider(hand, riding, hours=self.hours, samples=self.samples, seed=self.seed)

    def assessment(self) -> Assessment:
        """The bike with the changes, in the hand."""
        return _assessment(self)

    def query(self, **other: object) -> str:
        """The same wishes as a query string, some of them different; empty ones are left out."""
        now = {key: value for key, value in (self._wishes() | other).items() if value not in ("", (), None)}
        text = urlencode(now, doseq=True, safe=":,")
        return f"?{text}" if text else ""

    def kept(self, *without: str) -> list[tuple[str, str]]:
        """The wishes that a form keeps which asks for the others, as fields and their values."""
        now = {key: value for key, value in self._wishes().items() if key not in without}
        return [
            (key, each)
            for key, value in now.items()
            for each in ((value,) if isinstance(value, str) else value)
            if each
        ]

    def _wishes(self) -> dict[str, str | tuple[str, ...]]:
        return {
            "with": self.steps,
            "hand": "" if self.hand is None else self.hand.name,
            "riding": self.riding,
            "hours": "" if self.hours == 4.0 else f"{self.hours:g}",
            "samples": str(self.samples or ""),
            "seed": "" if self.seed == 1 else str(self.seed),
            "force": "" if self.force == "N" else self.force,
            "length": "" if self.length == "mm" else self.length,
        }

    def here(self, **other: str) -> str:
        """Address of this page with some wishes different."""
        url = self.url.include_query_params(**other)
        return f"{url.path}?{url.query}"

    def link(self, page: str, **other: object) -> str:
        """Address of a page about this bike, the wishes kept."""
        return f"/bikes/{quote(self.file.name)}/{page}{self.query(**other)}"


async def workspace_of(request: Request) -> Workspace:
    """The folder that this program was started on."""
    found: Workspace = request.app.state.workspace
    return found


Folder = Annotated[Workspace, Depends(workspace_of)]


def asked(
    request: Request,
    folder: Folder,
    file: Annotated[str, Path(description="Bike file of the folder.")],
    with_: Annotated[list[str] | None, Query(alias="with", description="A change, as kind:name=value,...")] = None,
    hand: Annotated[str, Query(description="Hand file to hold the lever against.")] = "",
    riding: Annotated[str, Query(description="Kind of riding; town without it.")] = "",
    hours: Annotated[float, Query(gt=0.0, le=8.0, description="Riding time wanted, h.")] = 4.0,
    samples: Annotated[int, Query(ge=0, le=MOST_SAMPLES, description="Possible bikes to draw.")] = 0,
    seed: Annotated[int, Query(ge=0, le=2**32, description="Seed of the draw.")] = 1,
    force: Annotated[ForceUnit, Query(description="Unit in which pages show forces.")] = "N",
    length: Annotated[LengthUnit, Query(description="Unit in which pages show lengths.")] = "mm",
) -> Asked:
    """What a request asks about one bike; raises `InputError`."""
    steps = tuple(each for each in with_ or () if each.strip())
    if len(steps) > MOST_CHANGES:
        raise InputError("with", len(steps), f"at most {MOST_CHANGES} changes at a time")
    found = folder.read(hand) if hand else None
    return Asked(folder.read(file), steps, found, riding, hours, samples, seed, force, length, request.url)


AskedOf = Annotated[Asked, Depends(asked)]


def read_files(folder: Workspace, names: list[str]) -> tuple[readings.Readings, ...]:
    """Files of readings by their names; raises `InputError`."""
    if not names:
        raise InputError("readings", None, "name at least one file of readings of this folder")
    return tuple(readings.loads(file.content, file.name) for file in map(folder.read, names))


@lru_cache(maxsize=64)
def read_bike(file: File) -> MeasuredBike:
    """The bike of a file; raises `InputError`."""
    return bikefile.loads(file.text, file.name)


@lru_cache(maxsize=256)
def _assessment(asked: Asked) -> Assessment:
    before = replace(asked, steps=()).assessment() if asked.steps else None
    return usecases.assess_bike(
        asked.bike, asked.changes, samples=asked.samples, seed=asked.seed, rider=asked.rider, before=before
    )
