"""Guided measuring of a bike that is there already: one quantity measured anew, saved at once, and what it did."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, Any

from fastapi import APIRouter, Form, Path
from fastapi.responses import HTMLResponse, RedirectResponse

from clutchwright import bikefile, usecases
from clutchwright.bikefile import MeasuredBike
from clutchwright.bikefile.measured import lot
from clutchwright.bikefile.measuring import MEASURING
from clutchwright.bikefile.schema import LAYOUT
from clutchwright.errors import ClutchwrightError, InputError
from clutchwright.numbers import quantity_text
from clutchwright.report.certainty import gained
from clutchwright.report.words import share
from clutchwright.tomlfile.interview import Question, answer
from clutchwright.tomlfile.keys import Key
from clutchwright.tomlfile.layout import entry_of
from clutchwright.web.asking import Asked, AskedOf, Folder, read_bike
from clutchwright.web.entry import Entered, EnteredOf
from clutchwright.web.measuring import SAMPLES, ask_values, one_line
from clutchwright.web.showing import shown
from clutchwright.workspace import ConflictError, File, MissingError

router = APIRouter(prefix="/bikes/{file}")
KeyOf = Annotated[str, Path(pattern=r"^[a-z]+(\.each\.\d{1,2})?\.[A-Za-z0-9_]{1,60}$")]
_BEST = 3  # measurements offered next


@dataclass(frozen=True, slots=True)
class Known:
    """What the file says of one quantity.

    Parameters
    ----------
    key, label : str
        Its key, and what it is.
    text : str
        Value and uncertainty; empty where it is not known.
    origin : str
        Where it is from.
    tool : str
        What it is measured with at home; empty where it cannot be.
    """

    key: str
    label: str
    text: str
    origin: str
    tool: str


@router.get("/measure")
def all_quantities(asked: AskedOf) -> HTMLResponse:
    """Every quantity of the bike, as far as it is known."""
    return shown("measure_bike.html", about=asked, rows=known(asked.bike))


@router.get("/measure/{key}")
def ask(asked: AskedOf, key: KeyOf) -> HTMLResponse:
    """Ask for one quantity."""
    return _ask_page(asked, _question(asked.bike, key), Entered())


@router.post("/measure/{key}", response_model=None)
def save(
    folder: Folder, asked: AskedOf, key: KeyOf, given: EnteredOf, version: Annotated[str, Form(max_length=64)]
) -> HTMLResponse | RedirectResponse:
    """Save one quantity; the same one sent twice counts once."""
    question = _question(asked.bike, key)
    try:
        quantity = answer(question, given.text(question))
        made = _with(asked.file, key, quantity)
    except InputError as wrong:
        labels = {row.key: row.label for row in known(asked.bike)}
        return _ask_page(asked, question, given, error=one_line(wrong, given.value, labels), status=422)
    if asked.bike.quantities.get(key) != quantity:
        try:
            folder.save(made, based_on=version)
        except ConflictError:
            fresh = replace(asked, file=folder.read(asked.file.name))
            error = "the file has been changed elsewhere meanwhile; look at what it says now, then save yours again"
            return _ask_page(fresh, question, given, error=error, status=409)
    return RedirectResponse(asked.link(f"measured/{key}"), 303)


@router.get("/measured/{key}", response_model=None)
def measured(folder: Folder, asked: AskedOf, key: KeyOf) -> HTMLResponse | RedirectResponse:
    """What the last entry did for the certainty of the answer, and what to measure next."""
    question = _question(asked.bike, key)
    if question.key not in asked.bike.quantities:
        return RedirectResponse(asked.link(f"measure/{key}"), 303)
    before = folder.before(asked.file.name)
    found = usecases.find_doubts(asked.bike, asked.changes).measurements
    return shown(
        "measured.html",
        about=asked,
        row=_known(asked.bike, key),
        was=None if before is None else _was(before, key),
        effect=() if before is None else _gained(asked, before),
        ranked=[row for row in found.ranked if row.key != key and row.shrink > 0.0][:_BEST],
        undo=before is not None,
        share=share,
    )


@router.post("/measure/{key}/undo")
def undo(folder: Folder, asked: AskedOf, key: KeyOf, version: Annotated[str, Form(max_length=64)]) -> RedirectResponse:
    """Take the last entry back; one that has been followed by another is left alone."""
    if asked.file.version != version:
        message = f"{asked.file.name} has been changed since; go back step by step on the page of the file"
        raise ConflictError(message)
    folder.undo(asked.file.name)
    return RedirectResponse(asked.link(f"measure/{key}"), 303)


def known(bike: MeasuredBike) -> tuple[Known, ...]:
    """What a file says of each quantity, in the order in which one would measure."""
    keys = [
        f"{section}.{name}"
        for section in LAYOUT.sections()
        for model in [LAYOUT.form_of(section, bike.choices)]
        for name in LAYOUT.ordered_keys(model)
        if isinstance(entry_of(model, name), Key)
    ]
    singles = [key for key in bike.quantities if ".each." in key]
    return tuple(_known(bike, each) for key in keys for each in (*[one for one in singles if lot(one) == key], key))


def _known(bike: MeasuredBike, key: str) -> Known:
    quantity, way = bike.quantities.get(key), MEASURING.get(lot(key))
    text = "" if quantity is None else quantity_text(key, quantity.value, quantity.u)
    label = bikefile.find_key(key, bike.choices).label
    if ".each." in key:
        label += f", place {key.split('.')[2]}"
    return Known(key, label, text, "" if quantity is None else quantity.origin, "" if way is None else way.tool)


def _question(bike: MeasuredBike, key: str) -> Question:
    try:
        return bikefile.interview.question(key, bike.choices)
    except KeyError:
        raise MissingError("key", key, "is no quantity of this bike; look at the list of them") from None


def _with(file: File, key: str, quantity: Any) -> File:
    """The file with one value set, checked as a whole."""
    made = File(file.name, bikefile.set_value(file.text, key, quantity).encode())
    bikefile.loads(made.text, made.name)
    return made


def _ask_page(asked: Asked, question: Question, given: Entered, *, status: int = 200, error: str = "") -> HTMLResponse:
    singles = tuple(row for row in known(asked.bike) if ".each." in row.key and lot(row.key) == question.key)
    values = ask_values(question, given, asked.bike.choices, error=error)
    row = _known(asked.bike, question.key)
    return shown("measure_one.html", status, about=asked, row=row, singles=singles, **values)


def _was(before: File, key: str) -> Known | None:
    """What the version before said; None where it could not be used."""
    try:
        return _known(read_bike(before), key)
    except (ClutchwrightError, KeyError):
        return None


def _gained(asked: Asked, before: File) -> tuple[str, ...]:
    """What the last entry did; nothing where the version before could not be used."""
    now = replace(asked, samples=SAMPLES)
    try:
        return gained(replace(now, file=before).assessment(), now.assessment())
    except ClutchwrightError:
        return ()
