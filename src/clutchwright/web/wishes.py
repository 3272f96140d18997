"""What a study is asked for: the same on the page, in its form, and by programs."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import Annotated, Any

from fastapi import Depends, Query, Request
from pydantic import BaseModel, BeforeValidator, Field

from clutchwright import manybikes, usecases
from clutchwright.errors import InputError
from clutchwright.study import limits
from clutchwright.study.catalogue import Catalogue
from clutchwright.study.limits import Limits
from clutchwright.study.plan import Plan
from clutchwright.web.asking import MOST_SAMPLES, Asked, AskedOf, Folder
from clutchwright.web.jobs import Jobs
from clutchwright.web.studying import Task
from clutchwright.workspace import File, Workspace

Blank = BeforeValidator(lambda given: None if given == "" else given)
Amount = Annotated[float, Field(ge=0.0, le=1e6)]
Percent = Annotated[float, Field(ge=0.0, le=100.0)]
Names = Annotated[list[str], Field(max_length=200)]


class Wishes(BaseModel):
    """What is wanted of the setups, beside the bike and the hand."""

    catalogue: Annotated[
        str, Field(max_length=100, description="Catalogue file of the folder: what could be done.")
    ] = ""
    target: Annotated[float | None, Blank, Field(description="Pull wanted at the finger, N.")] = None
    slips_percent: Annotated[Percent, Field(description="Possible bikes that may slip, worn and hot, %.")] = 1.0
    drags_percent: Annotated[Percent, Field(description="Possible bikes that may not release, %.")] = 1.0
    without: Annotated[Names, Field(description="Options to leave out, by name.")] = []


class Budget(BaseModel):
    """What may be spent: it needs no other search, as what beats a setup never costs more than it."""

    money: Annotated[Amount | None, Blank, Field(description="Money at most.")] = None
    work: Annotated[Amount | None, Blank, Field(description="Hours of work at most.")] = None

    @property
    def spent(self) -> limits.Budget:
        """The same as of a study."""
        return limits.Budget(self.money, self.work)


class Filled(Wishes, Budget):
    """The form, filled in."""

    hand: str = ""
    jobs: Names = []
    listed: str = ""  # the catalogue whose jobs the form listed


@dataclass(frozen=True, slots=True)
class StudyAsked:
    """A study of one bike.

    Parameters
    ----------
    asked : Asked
        The bike and the hand.
    wishes : Wishes
        What is wanted.
    catalogue : File | None
        The catalogue file; None where none is named yet.
    """

    asked: Asked
    wishes: Wishes
    catalogue: File | None

    @property
    def limits(self) -> Limits:
        """How often things may go wrong."""
        return Limits(self.wishes.slips_percent / 100.0, self.wishes.drags_percent / 100.0)

    def options(self) -> Catalogue:
        """All options of the catalogue file; raises `InputError`."""
        return self._request(()).parsed_catalogue(self._file.name)

    def task(self) -> Task:
        """What a job is asked; raises `InputError` that names the file."""
        request = self._request(tuple(self.wishes.without))
        request.parsed_catalogue(self._file.name)
        request.parsed_hand("" if self.asked.hand is None else self.asked.hand.name)
        return Task(self.asked.file.name, self.asked.file.text, request)

    def plan(self) -> Plan:
        """The changes one by one, held against the same limits, at the catalogue's prices; raises `InputError`."""
        return usecases.plan_changes(
            self.asked.bike,
            self.asked.changes,
            options=None if self.catalogue is None else self.options(),
            target_N=self.wishes.target,
            limits=self.limits,
            samples=self.samples,
            seed=self.asked.seed,
        )

    def link(self, page: str, budget: Budget | None = None, **other: object) -> str:
        """Address of a page with the same wishes."""
        spent = {} if budget is None else budget.model_dump()
        usual = Wishes().model_dump()
        told = {key: value for key, value in self.wishes.model_dump().items() if value != usual[key]}
        given = {key: f"{value:g}" if isinstance(value, float) else value for key, value in (told | spent).items()}
        return self.asked.link(page, **(given | other))

    @property
    def samples(self) -> int:
        """Possible bikes to draw, as many as the limits can be told with."""
        return self.asked.samples or min(max(usecases.SAMPLES, self.limits.least_samples), MOST_SAMPLES)

    @property
    def _file(self) -> File:
        if self.catalogue is None:
            raise InputError("catalogue", None, "name a catalogue file of this folder: what could be done")
        return self.catalogue

    def _request(self, without: tuple[str, ...]) -> manybikes.Request:
        return manybikes.Request(
            catalogue=self._file.text,
            prices=(),
            limits=self.limits,
            target_N=self.wishes.target,
            hand=None if self.asked.hand is None else self.asked.hand.text,
            samples=self.samples,
            seed=self.asked.seed,
            without=without,
        )


def study_asked(asked: AskedOf, wishes: Annotated[Wishes, Query()], folder: Folder) -> StudyAsked:
    """The study that a request's query asks for."""
    return StudyAsked(asked, wishes, folder.read(wishes.catalogue) if wishes.catalogue else None)


def study_filled(asked: Asked, filled: Filled, folder: Workspace) -> StudyAsked:
    """The study that a form asks for; jobs that are not ticked are left out."""
    hand = folder.read(filled.hand) if filled.hand else None
    found = StudyAsked(replace(asked, hand=hand), filled, folder.read(filled.catalogue))
    listed = found.options().options if filled.listed == filled.catalogue else ()
    without = [option.name for option in listed if option.name not in filled.jobs]
    wishes = Wishes(**filled.model_dump(include=set(Wishes.model_fields)) | {"without": without})
    return replace(found, wishes=wishes)


def jobs_of(request: Request) -> Jobs:
    """The jobs of the folder."""
    found: Jobs = request.app.state.jobs
    return found


def loaded(text: str) -> dict[str, Any]:
    """Data of a job's result."""
    found: dict[str, Any] = json.loads(text)
    return found


StudyOf = Annotated[StudyAsked, Depends(study_asked)]
JobsOf = Annotated[Jobs, Depends(jobs_of)]
