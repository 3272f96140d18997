"""One question on a screen: what its form offers, and what was typed into it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import Depends, Form

from clutchwright import bikefile, handfile
from clutchwright.bikefile.measured import lot
from clutchwright.bikefile.measuring import MEASURING
from clutchwright.errors import InputError
from clutchwright.numbers import with_unit
from clutchwright.quantity import Quantity, other_units, unit_of
from clutchwright.tomlfile.draft import UNKNOWN
from clutchwright.tomlfile.interview import Question, Typed, answer, read_number, with_point
from clutchwright.tomlfile.keys import Entry, Key

LONGEST = 100  # characters of a field
Field = Annotated[str, Form(max_length=LONGEST)]
# Tools that are read, not held.
_PAPERS = ("workshop manual", "lining maker's data", "oil's data sheet")
_PRIVATE = ("rider.sex", "rider.age_years")
_SOURCES = (("measured", "measured"), ("manual", "from the manual"), ("estimated", "estimated"))


@dataclass(frozen=True, slots=True)
class Entered:
    """What stands in the form, all of it text.

    Parameters
    ----------
    value, u, unit, origin : str
        Of a number; of a name the value alone.
    word : str
        The word chosen; "?" for what is not known.
    """

    value: str = ""
    u: str = ""
    unit: str = ""
    origin: str = ""
    word: str = ""

    def text(self, question: Question) -> str:
        """The same as one types it in the terminal; raises `InputError` where nothing was typed."""
        if self.word:
            return self.word
        if not self.value.strip():
            raise InputError(question.key, None, f"type it first: {question.allowed}")
        if not isinstance(question.entry, Key):
            return self.value
        unit = "" if self.unit == _squeezed(unit_of(question.key)) else self.unit
        typed = Typed(with_point(self.value), with_point(self.u), unit, self.origin)
        return str(typed) if typed.u else str(_with_offered(question, typed))


def entered(value: Field = "", u: Field = "", unit: Field = "", origin: Field = "", word: Field = "") -> Entered:
    """What came with a form."""
    return Entered(value, u, unit, origin, word)


EnteredOf = Annotated[Entered, Depends(entered)]


def entered_before(question: Question, text: str) -> Entered:
    """What to put into the form for an answer given before, or for a value of a file.

    A ± that follows from value and source is left out, so that it follows another value, too.
    """
    typed = read_number(text)
    if text == UNKNOWN:
        return Entered(word=UNKNOWN)
    if typed is None:
        return Entered(value=text, word=text)
    bare = replace(typed, u="")
    follows = (_with_offered(question, bare).u, _bare_u(question, bare)) if isinstance(question.entry, Key) else ()
    return Entered(typed.value, "" if typed.u in follows else typed.u, typed.unit, typed.origin)


def told(key: str, text: str) -> str:
    """An answer as one reads it, such as ``82.5 ± 1 mm, measured: ruler``."""
    typed = None if key == "name" else read_number(text)
    if typed is None:
        return text if key == "name" else _in_words(key, text)
    usual = unit_of(key)
    unit = next((each for each in other_units(usual) if _squeezed(each) == typed.unit), usual)
    spread = f" \N{PLUS-MINUS SIGN} {typed.u}" if typed.u else ""
    value = with_unit(f"{typed.value}{spread}", unit)
    return f"{value}, {typed.origin}" if typed.origin else value


def _in_words(key: str, word: str) -> str:
    """What a word of a bike or hand file stands for."""
    layout = bikefile.LAYOUT if key.partition(".")[0] in bikefile.LAYOUT.sections() else handfile.LAYOUT
    entry = layout.known(key)
    return entry.in_words(word) if isinstance(entry, Entry) else word


@dataclass(frozen=True, slots=True)
class Offer:
    """What the form offers.

    Parameters
    ----------
    units : tuple of tuple of str
        Each as sent and as shown; the file's own first, none for a plain number.
    origins : tuple of tuple of str
        Where a value may come from, each as sent and as shown; none for a count, a word or a name.
    u : str
        The least uncertainty that counts when none is typed, with the file's unit.
    why : str
        What counts when none is typed.
    unknown : str
        What the button says that gives no answer.
    """

    units: tuple[tuple[str, str], ...] = ()
    origins: tuple[tuple[str, str], ...] = ()
    u: str = ""
    why: str = ""
    unknown: str = "Don't know"


def offer(question: Question) -> Offer:
    """What the form of a question offers."""
    entry, key = question.entry, question.key
    if not isinstance(entry, Key):
        return Offer(unknown="Rather not say") if key in _PRIVATE else Offer()
    unit, way = unit_of(key), MEASURING.get(lot(key))
    units = tuple((_squeezed(each), each) for each in (unit, *other_units(key)) if each)
    counts, least = _spread(entry.u, entry.share, unit)
    why = f"Left empty, {counts} counts."
    if way is not None and (way.u or way.share):
        better, finer = _spread(way.u or 0.0, way.share or 0.0, unit)
        why = f"Left empty, {better} counts ({way.tool}); known otherwise, {counts}."
        least = finer if way.usual is None else least
    return Offer(units, _origins(key), least, why)


def _spread(u: float, part: float, unit: str) -> tuple[str, str]:
    """An uncertainty in words, and the least that it is."""
    least = f"{u:g} {unit}".rstrip() if u else ""
    return f"{100.0 * part:.3g} % of the value{least and f', at least {least},'}" if part else least or "0", least


def _origins(key: str) -> tuple[tuple[str, str], ...]:
    """Where a value may come from, first what the question's words name first; there nothing where they name none."""
    way = MEASURING.get(lot(key))
    if way is None:
        return _SOURCES
    usual = way.tool if way.usual is None else way.usual
    tool = () if way.tool in _PAPERS else ((f"measured: {way.tool}", f"measured: {way.tool}"),)
    paper = ((f"manual: {usual}", usual),) if usual in _PAPERS else ()
    others = (("measured", "measured otherwise" if tool else "measured"), *_SOURCES[1:])
    return (*(() if usual else (("", "choose"),)), *paper, *tool, *others)


def _with_offered(question: Question, typed: Typed) -> Typed:
    """With the uncertainty of the tool, where it was used and is worth more than a bare number."""
    way = MEASURING.get(lot(question.key))
    found = answer(question, str(typed))
    if way is None or not isinstance(question.entry, Key) or not isinstance(found, Quantity):
        return typed
    reached = way.reachable(question.entry, found.value)
    if typed.origin != f"measured: {way.tool}" or reached >= found.u:
        return typed
    return replace(typed, u=_in_typed_unit(question, typed, reached))


def _bare_u(question: Question, typed: Typed) -> str:
    """The uncertainty of a number without one, as it would be typed."""
    found = answer(question, str(typed))
    return _in_typed_unit(question, typed, found.u) if isinstance(found, Quantity) else ""


def _in_typed_unit(question: Question, typed: Typed, u: float) -> str:
    worth = next((worth for unit, worth in other_units(question.key).items() if _squeezed(unit) == typed.unit), 1)
    return f"{u / float(worth):.3g}"


def _squeezed(unit: str) -> str:
    return unit.replace(" ", "")
