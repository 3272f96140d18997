"""Asks the questions of an interview in the terminal, one by one; what was answered survives an interruption."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from rich.console import Console
from rich.markup import escape

from clutchwright import usecases
from clutchwright.errors import InputError
from clutchwright.tomlfile.interview import Answer, Question


class Interview(Protocol):
    """What an interview module offers: `bikefile.interview` and its like."""

    def next_question(self, answers: dict[str, Answer], /) -> Question | None:
        """The first question without an answer; None when all have one."""

    def answer(self, question: Question, text: str, /) -> Answer:
        """What an answer means; raises `InputError` to ask again."""

    def toml(self, answers: dict[str, Answer], /) -> str:
        """Text of the file that the answers make."""


@dataclass(frozen=True, slots=True)
class Said:
    """One answer as typed, by the key of its question."""

    key: str
    text: str


def ask(path: Path, interview: Interview, check: Callable[[str], object], console: Console) -> None:
    """Ask until all is answered, then write the file.

    Parameters
    ----------
    path : Path
        File to write; must not exist. The answers are kept beside it in ``<name>.draft`` until it is written.
    interview : Interview
        Where the questions come from.
    check : callable
        Takes the file's text and raises `InputError` with the key to ask again where answers do not fit each other.
    console : Console
        Where to ask.

    Raises
    ------
    InputError
        Where the file exists, or the input ends before the last answer.
    """
    usecases.require_new(path)
    draft = path.with_name(path.name + ".draft")
    said = _read_draft(draft)
    console.print(
        "Answer each question; [b]?[/b] for don't know, [b]back[/b] for the question before.", highlight=False
    )
    if said:
        console.print(f"Going on after the {len(said)} answers kept in {escape(str(draft))}.", highlight=False)
    while True:
        _ask_rest(said, interview, draft, console)
        text = interview.toml(_answers(said, interview))
        try:
            check(text)
            break
        except InputError as error:
            console.print(f"[b]These do not fit each other:[/b] {escape(str(error))}", highlight=False)
            _forget(said, error.key, draft)
    usecases.write_new(path, text.encode())
    draft.unlink(missing_ok=True)
    console.print(f"Written: {escape(str(path.resolve()))}", highlight=False)


def _ask_rest(said: list[Said], interview: Interview, draft: Path, console: Console) -> None:
    while (question := interview.next_question(_answers(said, interview))) is not None:
        _show(question, console)
        text = _read_line(draft, console)
        if text.strip().lower() == "back":
            if said:
                said.pop()
        else:
            try:
                interview.answer(question, text)
            except InputError as error:
                console.print(f"[b]Not taken:[/b] {escape(str(error))}", highlight=False)
                continue
            said.append(Said(question.key, text))
        _keep(said, draft)


def _show(question: Question, console: Console) -> None:
    optional = " (? will do)" if question.may_be_unknown else ""
    console.print(f"\n[b]{escape(question.label)}[/b], {escape(question.allowed)}{optional}", highlight=False)
    console.print(escape(question.how), style="dim", highlight=False)


def _read_line(draft: Path, console: Console) -> str:
    try:
        return console.input("> ")
    except (EOFError, KeyboardInterrupt) as end:
        console.print()
        raise InputError("answers", None, f"stopped before the last one; they are kept in {draft}") from end


def _answers(said: list[Said], interview: Interview) -> dict[str, Answer]:
    """Meaning of what was said; each answer is read again, so that a kind changed by going back counts at once."""
    answers: dict[str, Answer] = {}
    by_key = {item.key: item.text for item in said}
    while (question := interview.next_question(answers)) is not None and question.key in by_key:
        answers[question.key] = interview.answer(question, by_key[question.key])
    return answers


def _forget(said: list[Said], key: str, draft: Path) -> None:
    """Drop the answer that is to be given again, or the last one where the key was not asked for."""
    if not any(item.key == key for item in said):
        key = said[-1].key
    said[:] = [item for item in said if item.key != key]
    _keep(said, draft)


def _keep(said: list[Said], draft: Path) -> None:
    lines = [json.dumps({"key": item.key, "text": item.text}) for item in said]
    usecases.write_whole(draft, "\n".join(lines).encode())


def _read_draft(draft: Path) -> list[Said]:
    if not draft.exists():
        return []
    try:
        return [Said(**json.loads(line)) for line in usecases.read_bytes(draft).decode().splitlines()]
    except (ValueError, TypeError) as error:
        raise InputError("draft", str(draft), "cannot be read; move it away to begin anew") from error
