"""Guided measuring: one quantity a screen, for a new bike, a new hand, and a bike that is there already."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any
from urllib.parse import quote, urlencode

from fastapi import APIRouter, Depends, Form, Path, Query
from fastapi.responses import HTMLResponse, RedirectResponse

from clutchwright.errors import ClutchwrightError, InputError
from clutchwright.report.certainty import gained, known_now
from clutchwright.tomlfile.draft import UNKNOWN, Clash, Draft, progress
from clutchwright.tomlfile.interview import Question
from clutchwright.web.asking import Asked, Folder
from clutchwright.web.drafts import Kind, Place, new_place
from clutchwright.web.drawings import choice_drawing, drawing
from clutchwright.web.entry import Entered, EnteredOf, entered_before, offer, told
from clutchwright.web.showing import shown
from clutchwright.workspace import ConflictError, File, Workspace

router = APIRouter(prefix="/measure/{kind}")
SAMPLES = 1024
Text = Annotated[str, Form(max_length=300)]


def place(folder: Folder, kind: Kind, number: Annotated[str, Path(pattern="^[0-9a-f]{8}$")]) -> Place:
    """The draft that an address names."""
    return Place(folder, kind, number)


PlaceOf = Annotated[Place, Depends(place)]


@router.post("")
def begin(folder: Folder, kind: Kind) -> RedirectResponse:
    """Begin a new file."""
    made = new_place(folder, kind)
    made.begin()
    return RedirectResponse(made.url, 303)


@router.get("/{number}", response_model=None)
def ask(
    place: PlaceOf,
    at: Annotated[str, Query(description="Question to ask again.")] = "",
    after: Annotated[str, Query(description="Question that was just answered.")] = "",
) -> HTMLResponse | RedirectResponse:
    """Ask the first open question, or one that is to be answered again."""
    if place.made:
        return RedirectResponse(_page_of(place.folder, place.kind, place.made), 303)
    draft = place.read()
    clash = None if at else draft.clash()
    if clash is not None:
        return _clash_page(place, draft, clash)
    question = _question(draft, at) if at else draft.open_question()
    if question is None:
        return RedirectResponse(place.url if at else f"{place.url}/all", 303)
    said = draft.said.get(question.key)
    text = said.text if said and said.label == question.label else ""
    return _ask_page(place, draft, question, entered_before(question, text), seen=text, after=after)


@router.post("/{number}", response_model=None)
def take(place: PlaceOf, given: EnteredOf, key: Text, label: Text, seen: Text = "") -> HTMLResponse | RedirectResponse:
    """Keep one answer; the same one sent twice counts once."""
    draft = place.read()
    question = _question(draft, key)
    if question is None or question.label != label:
        message = f"{label}: is not asked any more, since something before it was answered otherwise meanwhile"
        raise ConflictError(message)
    try:
        text = given.text(question)
        draft.answered(question, text)
    except InputError as wrong:
        return _ask_page(place, draft, question, given, seen=seen, error=one_line(wrong, given.value, {}), status=422)
    try:
        kept = place.change(lambda latest: _kept(latest, question, text, seen))
    except ConflictError as elsewhere:
        error = (
            f"meanwhile this was answered elsewhere: {elsewhere}. Yours is below; send it again if it is the right one"
        )
        return _ask_page(place, draft, question, given, seen=str(elsewhere), error=error, status=409)
    return RedirectResponse(_next_url(place, kept, key), 303)


def _kept(latest: Draft, question: Question, text: str, seen: str) -> Draft:
    """The draft with an answer; raises `ConflictError`, the other answer in it, where that was not seen."""
    now = latest.said[question.key].text if question.key in latest.said else ""
    if now not in (seen, text):
        raise ConflictError(now)
    return latest.answered(question, text)


def _next_url(place: Place, draft: Draft, after: str) -> str:
    """Address of the next question, its key in it, so that the browser's own way back leads to it again."""
    following = None if draft.clash() else draft.open_question()
    at = {} if following is None else {"at": following.key}
    return f"{place.url}?{urlencode({**at, 'after': after})}"


@router.get("/{number}/all")
def review(place: PlaceOf) -> HTMLResponse:
    """Everything that was answered, and what would be assumed for the rest."""
    return _review_page(place, place.read())


@router.post("/{number}/file", response_model=None)
def finish(place: PlaceOf, name: Text) -> HTMLResponse | RedirectResponse:
    """Make the file; what is open is assumed."""
    if not place.made:
        try:
            place.finish(name if name.endswith(".toml") else f"{name}.toml")
        except InputError as error:
            return _review_page(place, place.read(), name=name, error=str(error), status=422)
    return RedirectResponse(_page_of(place.folder, place.kind, place.made), 303)


@router.post("/{number}/drop")
def drop(place: PlaceOf) -> RedirectResponse:
    """Throw a draft away."""
    place.drop()
    return RedirectResponse("/", 303)


def _question(draft: Draft, key: str) -> Question | None:
    """A question that is answered or open; None where it is not, or not yet, asked."""
    return next((each for each in draft.interview.questions(draft.answers()) if each.key == key), None)


def ask_values(
    question: Question, given: Entered, choices: Mapping[str, object], *, error: str = "", **values: Any
) -> dict[str, Any]:
    """What every screen that asks for one thing shows; the kinds chosen decide between drawings."""
    kind = str(choices.get(f"{question.key.partition('.')[0]}.kind", ""))
    pictures = {word: picture for word in question.options if (picture := choice_drawing(question, word))}
    return {
        "question": question,
        "given": given,
        "offer": offer(question),
        "picture": drawing(question, kind),
        "choices": pictures,
        "error": error,
        **values,
    }


def _ask_page(
    place: Place, draft: Draft, question: Question, given: Entered, *, status: int = 200, after: str = "", **values: Any
) -> HTMLResponse:
    keys = [each.key for each in draft.interview.questions(draft.answers())]
    at = keys.index(question.key)
    back = f"{place.url}?{urlencode({'at': keys[at - 1]})}" if at else ""
    where = progress(draft)
    effect = _effect(draft, after) if place.kind == "bike" else ()
    return shown(
        "measure_ask.html",
        status,
        **ask_values(question, given, draft.answers(), **values),
        place=place,
        progress=where,
        number=at + 1,
        back=back,
        said=draft.said.get(after),
        said_key=after,
        told=told,
        effect=effect,
        enough=draft.assuming_the_rest() is not None,
        unknown=UNKNOWN,
        usual=_usual(draft, question),
    )


def _usual(draft: Draft, question: Question) -> dict[str, str]:
    """What to send for a needed quantity that is not known: the form of its section that needs none, where there is."""
    layout, section = draft.interview.layout, question.key.partition(".")[0]
    kind = f"{section}.{layout.form_keys.get(section, '')}"
    if question.unknown or section not in layout.usual_forms or kind not in draft.said:
        return {}
    return {
        "key": kind,
        "label": draft.said[kind].label,
        "seen": draft.said[kind].text,
        "word": layout.usual_forms[section],
    }


def _clash_page(place: Place, draft: Draft, clash: Clash) -> HTMLResponse:
    rows = [(key, draft.said[key]) for key in clash.keys]
    labels = {key: said.label for key, said in draft.said.items()}
    why = one_line(clash.error, f"{rows[0][1].label}, {rows[0][1].text}", labels)
    return shown("measure_clash.html", place=place, rows=rows, why=why, told=told)


def _review_page(place: Place, draft: Draft, *, name: str = "", error: str = "", status: int = 200) -> HTMLResponse:
    clash, whole = draft.clash(), draft.assuming_the_rest()
    answers = draft.answers()
    asked = list(draft.interview.questions((whole or draft).answers()))
    rows = [(each, draft.said[each.key].text if each.key in answers else None) for each in asked]
    title = str(answers.get("name", f"My {place.kind}"))
    return shown(
        "measure_all.html",
        status,
        place=place,
        title=title,
        rows=rows,
        progress=progress(draft),
        ready=whole is not None and clash is None,
        not_asked=draft.interview.not_asked(whole.answers()) if whole else {},
        name=name or _free_name(place.folder, title),
        error=error,
        told=told,
    )


def _effect(draft: Draft, after: str) -> tuple[str, ...]:
    """The bike as far as it is known, against not knowing the last answer; nothing while it cannot be told."""
    now = draft.assuming_the_rest()
    question = _question(draft, after)
    if now is None or question is None:
        return ()
    before = draft.answered(question, UNKNOWN).assuming_the_rest() if question.unknown else None
    try:
        sure = _asked(now).assessment()
        return known_now(sure) if before is None else gained(_asked(before).assessment(), sure)
    except ClutchwrightError as error:
        return (str(error),)


def _asked(draft: Draft) -> Asked:
    text = draft.interview.toml(draft.answers())
    return Asked(File("draft.toml", text.encode()), samples=SAMPLES)


def one_line(error: InputError, given: str, labels: Mapping[str, str]) -> str:
    """One line for the person who typed it: what was given and what is allowed, other keys by their labels."""
    line = f"{given}: {error.allowed}" if given else error.allowed
    for key in sorted(error.others, key=len, reverse=True):
        line = line.replace(key, f"\N{LEFT DOUBLE QUOTATION MARK}{labels.get(key, key)}\N{RIGHT DOUBLE QUOTATION MARK}")
    return line


def _free_name(folder: Workspace, title: str) -> str:
    """A file name for a title that is not taken yet."""
    plain = re.sub(r"[^\w]+", "-", title.lower()).strip("-_")[:60] or "mine"
    names = (f"{plain}{ending}.toml" for ending in ("", *(f"-{count}" for count in range(2, 1000))))
    return next(name for name in names if not folder.path(name).exists())


def _page_of(folder: Workspace, kind: Kind, name: str) -> str:
    """Where a finished file is used: a bike by itself, a hand on the first bike of the folder."""
    if kind == "bike":
        return f"/bikes/{quote(name)}/heavy"
    bike = next((each.name for each in folder.entries() if each.kind == "bike" and not each.error), "")
    return f"/bikes/{quote(bike)}/hand?{urlencode({'hand': name})}" if bike else f"/files/{quote(name)}"
