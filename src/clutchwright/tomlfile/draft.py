"""The answers given so far to the questions that make a file: what they mean, what is open, what does not fit."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace

from clutchwright.errors import InputError
from clutchwright.tomlfile.interview import Answer, Interview, Question

UNKNOWN = "?"


@dataclass(frozen=True, slots=True)
class Said:
    """One answer as typed, and the label of the question it was given to."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Clash:
    """Answers that do not fit each other.

    Parameters
    ----------
    error : InputError
        Why not.
    keys : tuple of str
        The questions they answer; any of them may be the wrong one.
    """

    error: InputError
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Draft:
    """A file in the making.

    Parameters
    ----------
    interview : Interview
        Where the questions come from.
    said : mapping of str to Said
        Answers by key, in the order in which they were given first.
    again : frozenset of str
        Keys whose answers are to be given again.
    """

    interview: Interview
    said: Mapping[str, Said] = field(default_factory=dict)
    again: frozenset[str] = frozenset()

    def answers(self) -> dict[str, Answer]:
        """Meaning of the answers up to the first open question.

        Each is read anew, so that a kind changed by going back counts at once; an answer to a question that then has
        another meaning, or another range, is open.
        """
        answers: dict[str, Answer] = {}
        for question in self.interview.questions(answers):
            given = self.said.get(question.key)
            if given is None or given.label != question.label or question.key in self.again:
                break
            try:
                answers[question.key] = self.interview.answer(question, given.text)
            except InputError:
                break
        return answers

    def open_question(self) -> Question | None:
        """The first question without an answer; None when all have one."""
        return self.interview.next_question(self.answers())

    def answered(self, question: Question, text: str) -> Draft:
        """With an answer to a question; raises `InputError` where it is none."""
        self.interview.answer(question, text)
        said = {**self.said, question.key: Said(question.label, text)}
        return replace(self, said=said, again=self.again - {question.key})

    def without(self, key: str) -> Draft:
        """With one answer taken back; those after it stay."""
        return replace(self, said={name: said for name, said in self.said.items() if name != key})

    def asking_again(self, keys: tuple[str, ...]) -> Draft:
        """With some answers to be given again."""
        return replace(self, again=self.again | set(keys))

    def assuming_the_rest(self) -> Draft | None:
        """With "don't know" to all that is open; None where something open must be answered."""
        answers, said = self.answers(), dict(self.said)
        for question in self.interview.questions(answers):
            if question.key not in answers:
                if not question.unknown:
                    return None
                answers[question.key] = self.interview.answer(question, UNKNOWN)
                said[question.key] = Said(question.label, UNKNOWN)
        return replace(self, said=said, again=frozenset())

    def clash(self) -> Clash | None:
        """Answers that do not fit each other; None where all do. Raises `InputError` where no answer could mend it."""
        answers = self.answers()
        try:
            self.interview.check(answers)
        except InputError as error:
            named = tuple(key for key in dict.fromkeys((error.key, *error.others)) if key in answers)
            if not named:
                raise
            return Clash(error, named)
        return None

    def dumps(self) -> str:
        """The answers as text that `loads` reads, a line each."""
        return "\n".join(json.dumps({"key": key, **asdict(said)}) for key, said in self.said.items())


def loads(content: bytes, interview: Interview, source: str) -> Draft:
    """Draft from the text that its `dumps` gave, UTF-8; raises `InputError` where it is none."""
    try:
        rows = [json.loads(line) for line in content.decode().splitlines()]
        return Draft(interview, {row.pop("key"): Said(**row) for row in rows})
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        raise InputError("draft", None, "cannot be read; move it away to begin anew", source) from error


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a draft is.

    Parameters
    ----------
    done : int
        Questions answered.
    total : int
        All questions, as far as one can tell: kinds decide which follow.
    needed : int
        Open ones that must be answered; for the others an assumed value will do.
    """

    done: int
    total: int
    needed: int

    @property
    def left(self) -> int:
        """Questions still open."""
        return self.total - self.done


def progress(draft: Draft) -> Progress:
    """How far a draft is; open questions are taken to be answered with what is most usual."""
    answers = draft.answers()
    done, needed, total = len(answers), 0, 0
    guessed: dict[str, Answer] = dict(answers)
    for question in draft.interview.questions(guessed):
        total += 1
        if question.key not in guessed:
            needed += not question.unknown
            guessed[question.key] = question.options[0] if question.options else 1
    return Progress(done, total, needed)
