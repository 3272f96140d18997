"""The questions that make a bike file, in the order in which one would measure, and what their answers mean."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic_core import PydanticCustomError

from clutchwright.bikefile.keys import Count, Key, Pairs
from clutchwright.bikefile.measured import Choice
from clutchwright.bikefile.schema import FORM_KEYS, Known, entry_of, form_of, ordered_keys, sections, words_of
from clutchwright.bikefile.section import Section
from clutchwright.bikefile.writing import written
from clutchwright.errors import InputError
from clutchwright.quantity import Quantity, bare_name, unit_of

Answer = Quantity | Choice | None

UNKNOWN = ("", "?", "don't know", "dont know", "unknown")

# Asked for only when the rate of the springs is not known, and needed then.
_WIRE = tuple(f"springs.{name}" for name in ("wire_mm", "outer_mm", "total_turns", "ends", "material"))

_NUMBER = r"[-+]?\d+(?:\.\d+)?"
_QUANTITY = re.compile(rf"({_NUMBER})(?:\s*(?:±|\+-|\+/-)\s*({_NUMBER}))?\s*(\S*?)\s*(measured|manual|estimated)?")


@dataclass(frozen=True, slots=True)
class Question:
    """One question of the interview.

    Parameters
    ----------
    key : str
        Key in the file.
    label : str
        What is asked for.
    how : str
        How to measure it.
    allowed : str
        Range with its unit, or the words to choose from.
    options : tuple of str
        The words to choose from; empty for a number or a text.
    may_be_unknown : bool
        Whether "don't know" will do.
    usual : Answer
        What "don't know" stands for; None where the value is then assumed or left open.
    entry : Known | None
        What the table of keys knows about it; None for the bike's name.
    """

    key: str
    label: str
    how: str
    allowed: str
    options: tuple[str, ...]
    may_be_unknown: bool
    usual: Answer
    entry: Known | None


NAME = Question("name", "Name of the bike", "Any name you like.", "1 to 100 characters", (), False, None, None)


def questions(answers: Mapping[str, Answer]) -> Iterator[Question]:
    """All questions in order, as far as the answers so far decide them.

    Parameters
    ----------
    answers : mapping of str to Answer
        By key; a kind decides which questions follow it.

    Yields
    ------
    Question
        Up to the first kind that has no answer yet.
    """
    yield NAME
    for section, forms in sections().items():
        if section in FORM_KEYS:
            kind = _kind_question(section, forms)
            yield kind
            if kind.key not in answers:
                return
        for name in ordered_keys(form_of(section, answers)):
            question = _question(section, name, answers)
            if question is not None:
                yield question


def next_question(answers: Mapping[str, Answer]) -> Question | None:
    """The first question that has no answer yet; None when all have."""
    return next((question for question in questions(answers) if question.key not in answers), None)


def answer(question: Question, text: str) -> Answer:
    """What an answer means.

    Parameters
    ----------
    question : Question
        What was asked.
    text : str
        What was typed: a number, a number with ± one standard uncertainty, either with ``manual`` or ``estimated``
        after it when it was not measured; a word; or "don't know".

    Returns
    -------
    Answer
        Quantity, count or word; None for a value left open or assumed.

    Raises
    ------
    InputError
        With what is allowed; ask again.
    """
    given = " ".join(text.split())
    if given.lower() in UNKNOWN:
        if question.may_be_unknown:
            return question.usual
        raise InputError(question.key, None, f"this one is needed ({question.allowed}). {question.how}")
    if question.options:
        if given.lower() not in question.options:
            raise InputError(question.key, given, f"answer one of {question.allowed}")
        return given.lower()
    if question.entry is None:
        if len(given) > 100:
            raise InputError(question.key, given, f"give {question.allowed}")
        return given
    if re.search(r"\d,\d", given):
        raise InputError(question.key, given, "write a decimal point, such as 12.5; a comma could be read in two ways")
    try:
        return _number(question, given)
    except PydanticCustomError as error:
        allowed = (error.context or {})["allowed"]
        raise InputError(question.key, given, allowed) from None


def _number(question: Question, given: str) -> Answer:
    if isinstance(question.entry, Count):
        return question.entry.parse(int(given) if re.fullmatch(r"[0-9]{1,6}", given) else given)
    unit, match = unit_of(question.key), _QUANTITY.fullmatch(given)
    units = ("", unit.replace(" ", ""), question.key.removeprefix(bare_name(question.key)).lstrip("_"))
    if not isinstance(question.entry, Key) or match is None or match[3] not in units:
        raise InputError(
            question.key, given, f"give a number {question.allowed}, with ± and its uncertainty if you like"
        )
    parts: dict[str, Any] = {"value": float(match[1]), "origin": match[4] or "measured"}
    if match[2]:
        parts["u"] = float(match[2])
    return question.entry.parse(parts, unit)


def toml(answers: Mapping[str, Answer]) -> str:
    """Text of the bike file that the answers make.

    Parameters
    ----------
    answers : mapping of str to Answer
        To all questions.

    Returns
    -------
    str
        TOML; what is not known stands in it as a comment. To be checked with `loads`, which names the key to ask again
        where two answers do not fit each other.
    """
    return written(str(answers["name"]), {key: value for key, value in answers.items() if key != "name"})


def _kind_question(section: str, forms: Mapping[str, type[Section]]) -> Question:
    """The question which form a section has; a form that needs a whole curve is for the editor, not for asking."""
    name = FORM_KEYS[section]
    askable = [form for form, model in forms.items() if not any(_needs_curve(model, key) for key in model.model_fields)]
    model = forms[askable[0]]
    usual = None if model.model_fields[name].is_required() else model.model_fields[name].default
    return _made(f"{section}.{name}", entry_of(model, name), tuple(askable), usual is not None, usual)


def _needs_curve(model: type[Section], name: str) -> bool:
    return isinstance(entry_of(model, name), Pairs) and model.model_fields[name].is_required()


def _question(section: str, name: str, answers: Mapping[str, Answer]) -> Question | None:
    """The question for a key; None where it is not asked."""
    key, model = f"{section}.{name}", form_of(section, answers)
    field, entry = model.model_fields[name], entry_of(model, name)
    if entry is None or not entry.ask or name == FORM_KEYS.get(section):
        return None
    wire = answers.get("springs.kind") == "coil" and key in _WIRE
    if wire and answers.get("springs.rate_N_per_mm") is not None:
        return None
    needed = field.is_required()
    return _made(key, entry, words_of(model, name), not (needed or wire), None if needed else field.default)


def _made(key: str, entry: Known | None, options: tuple[str, ...], may_be_unknown: bool, usual: Answer) -> Question:
    if isinstance(entry, Key):
        allowed = entry.range_text(unit_of(key))
    elif isinstance(entry, Count):
        allowed = f"from {entry.low} to {entry.high}"
    else:
        allowed = ", ".join(options)
    label, how = (entry.label, entry.how) if entry else ("", "")
    return Question(key, label, how, allowed, options, may_be_unknown, usual, entry)
