"""The questions that make a file, in the order in which one would measure, and what their answers mean."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from pydantic_core import PydanticCustomError

from clutchwright.errors import InputError
from clutchwright.quantity import Quantity, bare_name, other_units, unit_of
from clutchwright.tomlfile.keys import Count, Entry, Key, Pairs
from clutchwright.tomlfile.layout import LEFT_OPEN, Known, Layout, StandIn, entry_of, instead_of, is_flag, words_of
from clutchwright.tomlfile.section import Section
from clutchwright.tomlfile.values import Choice
from clutchwright.tomlfile.writing import written

Answer = Quantity | Choice | None

UNKNOWN = ("", "?", "don't know", "dont know", "unknown", "rather not say")
YES, NO = "yes", "no"

_NUMBER = r"[-+]?\d+(?:\.\d+)?"
_DECIMAL_COMMA = re.compile(r"(?<![.,\d])(\d+),(\d+)(?![\d.,])")
_QUANTITY = re.compile(
    rf"({_NUMBER})(?:\s*(?:±|\+-|\+/-)\s*({_NUMBER}))?\s*(\S*?)\s*((?:measured|manual|estimated)(?:: [^:]{{1,80}})?)?"
)


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
    unknown : str
        What "don't know" leads to, such as ``will do: 3 ± 1.2 mm assumed``; empty where an answer is needed.
    entry : Known | None
        What the table of keys knows about it; None for the name.
    instead : Answer
        What the file then says; None for nothing.
    """

    key: str
    label: str
    how: str
    allowed: str
    options: tuple[str, ...]
    unknown: str
    entry: Known | None
    instead: Answer = None

    def in_words(self, word: str) -> str:
        """What one of the options stands for."""
        return self.entry.in_words(word) if isinstance(self.entry, Entry) else word.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Typed:
    """A number as typed, its parts still text; each but the value empty where it was left out.

    Parameters
    ----------
    value, u : str
        Digits, with a decimal point.
    unit : str
        Without blanks.
    origin : str
        ``measured``, ``manual`` or ``estimated``, with ``: how`` after it if wanted.
    """

    value: str
    u: str = ""
    unit: str = ""
    origin: str = ""

    def __str__(self) -> str:
        spread = f"± {self.u}" if self.u else ""
        return " ".join(part for part in (self.value, spread, self.unit, self.origin) if part)


@dataclass(frozen=True, slots=True)
class Interview:
    """All questions about one kind of file.

    Parameters
    ----------
    layout : Layout
        What kind of file it makes.
    read : callable
        Takes a file's text, its name and its layout, which may have some of the sections only; raises `InputError`
        with the keys that do not fit each other.
    """

    layout: Layout
    read: Callable[[str, str, Layout], object]

    def questions(self, answers: Mapping[str, Answer]) -> Iterator[Question]:
        """All questions in order, as far as the answers so far decide them.

        Parameters
        ----------
        answers : mapping of str to Answer
            By key; a kind decides which questions follow it. May be filled while the questions are being taken.

        Yields
        ------
        Question
            Up to the first kind that has no answer yet.
        """
        noun = self.layout.title.removesuffix(" file")
        name, usual = f"Name of the {noun}", f"My {noun}"
        yield Question("name", name, "Any name you like.", "1 to 100 characters", (), f"will do: {usual}", None, usual)
        for section, forms in self.layout.sections().items():
            if section in self.layout.form_keys:
                kind = self._kind_question(section, self.layout.form_keys[section], forms)
                yield kind
                if kind.key not in answers:
                    return
            model = self.layout.form_of(section, answers)
            for name in self.layout.ordered_keys(model):
                question = self._question(section, name, model, answers)
                if question is not None:
                    yield question

    def question(self, key: str, choices: Mapping[str, object]) -> Question:
        """The question for one quantity of a file that is there already.

        Parameters
        ----------
        key : str
            Such as ``cable.friction`` or ``springs.each.3.rate_N_per_mm``.
        choices : mapping
            The file's kinds.

        Returns
        -------
        Question
            One that needs an answer; raises KeyError for a key that is no quantity.
        """
        return _made(key, self.layout.find_key(key, choices), (), "")

    def next_question(self, answers: Mapping[str, Answer]) -> Question | None:
        """The first question that has no answer yet; None when all have."""
        return next((question for question in self.questions(answers) if question.key not in answers), None)

    def answer(self, question: Question, text: str) -> Answer:
        """What an answer means; see `answer`."""
        return answer(question, text)

    def toml(self, answers: Mapping[str, Answer]) -> str:
        """Text of the file that the answers make.

        Parameters
        ----------
        answers : mapping of str to Answer
            To all questions.

        Returns
        -------
        str
            TOML; what is not known stands in it as a comment.
        """
        return _toml(self.layout, answers)

    def check(self, answers: Mapping[str, Answer]) -> None:
        """Refuse answers that do not fit each other, as far as all questions of a section have one.

        Parameters
        ----------
        answers : mapping of str to Answer
            To the first questions.

        Raises
        ------
        InputError
            With the keys that do not fit each other; any of them may be the wrong one.
        """
        sections, following = tuple(self.layout.sections()), self.next_question(answers)
        if following is not None:
            section = following.key.partition(".")[0]
            sections = sections[: sections.index(section)] if section in sections else ()
        if sections:
            part = self.layout.only(sections)
            self.read(_toml(part, answers), "", part)

    def not_asked(self, answers: Mapping[str, Answer]) -> dict[str, str]:
        """What is assumed without being asked for: by key, such as ``0.02 ± 0.01 assumed``.

        Parameters
        ----------
        answers : mapping of str to Answer
            To all questions.

        Returns
        -------
        dict of str to str
            In the order of the table of keys.
        """
        found = {}
        for section in self.layout.sections():
            model = self.layout.form_of(section, answers)
            for name in self.layout.ordered_keys(model):
                entry = entry_of(model, name)
                if entry is not None and not entry.ask and instead_of(model, name) != LEFT_OPEN:
                    found[f"{section}.{name}"] = instead_of(model, name)
        return found

    def _question(
        self, section: str, name: str, model: type[Section], answers: Mapping[str, Answer]
    ) -> Question | None:
        """The question for a key; None where it is not asked."""
        key, field, entry = f"{section}.{name}", model.model_fields[name], entry_of(model, name)
        if entry is None or not entry.ask or name == self.layout.form_keys.get(section):
            return None
        stand_in = self.layout.stand_ins.get(key, StandIn(()))
        if any(answers.get(other) is not None for other in stand_in.others):
            return None
        options = (YES, NO) if is_flag(model, name) else words_of(model, name)
        unknown = "" if field.is_required() or stand_in.needed else self._unknown(key, model, name)
        return _made(key, entry, options, unknown)

    def _kind_question(self, section: str, name: str, forms: Mapping[str, type[Section]]) -> Question:
        """The question which form a section has; a form that needs a whole curve is for the editor, not for asking."""
        askable = [
            form for form, each in forms.items() if not any(_needs_curve(each, key) for key in each.model_fields)
        ]
        key, model = f"{section}.{name}", forms[askable[0]]
        question = _made(key, entry_of(model, name), tuple(askable), "")
        if usual := self.layout.usual_forms.get(section):
            return replace(question, unknown=f"will do: {question.in_words(usual)}", instead=usual)
        optional = not model.model_fields[name].is_required()
        return replace(question, unknown=self._unknown(key, model, name)) if optional else question

    def _unknown(self, key: str, model: type[Section], name: str) -> str:
        """What "don't know" leads to, where it is an answer."""
        follows, usual = self.layout.stand_in_for(key), model.model_fields[name].default
        if follows:
            return f"then asks for {follows}"
        if isinstance(usual, bool):
            return f"will do: {YES if usual else NO} assumed"
        entry = entry_of(model, name)
        if isinstance(entry, Entry) and isinstance(usual, str):
            return f"will do: {entry.in_words(usual)}, assumed"
        instead = instead_of(model, name)
        return instead if instead == LEFT_OPEN else f"will do: {instead}"


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
        Quantity, count or word; for what is not known what stands in for it, or None.

    Raises
    ------
    InputError
        With what is allowed; ask again.
    """
    given = " ".join(text.split())
    if given.lower() in UNKNOWN:
        if question.unknown:
            return question.instead
        raise InputError(question.key, None, f"this one is needed ({question.allowed}). {question.how}")
    if question.options:
        if given.lower() not in question.options:
            raise InputError(question.key, given, f"answer one of {question.allowed}")
        return given.lower() == YES if question.options == (YES, NO) else given.lower()
    if question.entry is None:
        if len(given) > 100:
            raise InputError(question.key, given, f"give {question.allowed}")
        return given
    plain = with_point(given)
    if re.search(r"\d,\d", plain):
        raise InputError(question.key, given, "write a decimal point, such as 12.5, and no comma beside it")
    try:
        return _number(question, plain)
    except PydanticCustomError as error:
        allowed = (error.context or {})["allowed"]
        raise InputError(question.key, given, allowed) from None


def with_point(text: str) -> str:
    """Numbers with a decimal point and a plain minus; a comma between digits is one, unless there is a point too."""
    return _DECIMAL_COMMA.sub(r"\1.\2", text.strip().replace("\N{MINUS SIGN}", "-"))


def read_number(text: str) -> Typed | None:
    """The parts of a number as typed; None where it is none."""
    match = _QUANTITY.fullmatch(" ".join(text.split()))
    return None if match is None else Typed(*(part or "" for part in match.groups()))


def _number(question: Question, given: str) -> Answer:
    if isinstance(question.entry, Count):
        return question.entry.parse(int(given) if re.fullmatch(r"[0-9]{1,6}", given) else given)
    typed = read_number(given)
    worth = None if typed is None else _worths(question.key).get(typed.unit)
    if not isinstance(question.entry, Key) or typed is None or worth is None:
        raise InputError(
            question.key, given, f"give a number {question.allowed}, with ± and its uncertainty if you like"
        )
    parts: dict[str, Any] = {"value": float(Decimal(typed.value) * worth), "origin": typed.origin or "measured"}
    if typed.u:
        parts["u"] = float(Decimal(typed.u) * worth)
    return question.entry.parse(parts, unit_of(question.key))


def _worths(key: str) -> dict[str, Decimal]:
    """What each way to write a unit is worth in the unit of the key."""
    own = ("", unit_of(key).replace(" ", ""), key.removeprefix(bare_name(key)).lstrip("_"))
    others = {unit.replace(" ", ""): worth for unit, worth in other_units(key).items()}
    return dict.fromkeys(own, Decimal(1)) | others


def _toml(layout: Layout, answers: Mapping[str, Answer]) -> str:
    values = {key: value for key, value in answers.items() if key != "name"}
    return written(layout, str(answers["name"]), values)


def _needs_curve(model: type[Section], name: str) -> bool:
    return isinstance(entry_of(model, name), Pairs) and model.model_fields[name].is_required()


def _made(key: str, entry: Known | None, options: tuple[str, ...], unknown: str) -> Question:
    if isinstance(entry, Key):
        allowed = entry.range_text(unit_of(key))
    elif isinstance(entry, Count):
        allowed = f"from {entry.low} to {entry.high}"
    else:
        allowed = ", ".join(options)
    label, how = (entry.label, entry.how) if entry else ("", "")
    return Question(key, label, how, allowed, options, unknown, entry)
