"""Asks the questions of an interview in the terminal, one by one; what was answered survives an interruption."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from pathlib import Path

from rich.console import Console
from rich.markup import escape

from clutchwright.errors import InputError
from clutchwright.files import read_bytes, require_new, write_new, write_whole
from clutchwright.tomlfile.interview import Answer, Interview, Question

_OPENING = (
    "Answer each question; [b]?[/b] for don't know, [b]back[/b] to take back the answer before.",
    "After a number may stand [b]± 1[/b], one standard uncertainty (two thirds of repeated readings lie within it), "
    "and [b]manual[/b] or [b]estimated[/b] when it was not measured: 82 ± 1 estimated.",
    "Ctrl-C keeps what was answered, and the same command goes on from there.",
)


@dataclass(frozen=True, slots=True)
class Said:
    """One answer as typed, and the label of the question it was given to."""

    label: str
    text: str


def ask(path: Path, interview: Interview, console: Console) -> None:
    """Ask until all is answered, then write the file.

    Parameters
    ----------
    path : Path
        File to write; must not exist. The answers are kept beside it in ``<name>.draft`` until it is written.
    interview : Interview
        Where the questions come from.
    console : Console
        Where to ask.

    Raises
    ------
    InputError
        Where the file exists, or the input ends before the last answer.
    """
    require_new(path)
    draft = path.with_name(path.name + ".draft")
    talk = _Talk(path, draft, interview, console, _read_draft(draft))
    talk.tell("\n".join(_OPENING))
    talk.go_on()
    answers = talk.answers()
    write_new(path, interview.toml(answers).encode())
    draft.unlink(missing_ok=True)
    talk.tell(f"\nWritten: {escape(str(path.resolve()))}")
    left = "; ".join(f"{key}: {what}" for key, what in interview.not_asked(answers).items())
    talk.tell(f"Not asked: {escape(left)}. All keys, these too: {interview.layout.page}")
    talk.tell(f"Next: [b]{escape(_command(interview.layout.use, path))}[/b]")


@dataclass(frozen=True, slots=True)
class _Talk:
    """The answers so far by key, and which of them are to be given again."""

    path: Path
    draft: Path
    interview: Interview
    console: Console
    said: dict[str, Said]
    again: set[str] = field(default_factory=set)

    def tell(self, text: str) -> None:
        self.console.print(text, highlight=False)

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

    def go_on(self) -> None:
        if self.said:
            self.tell(f"Going on after the {len(self.answers())} answers kept in {escape(str(self.draft))}.")
        self._check()
        while (question := self.interview.next_question(self.answers())) is not None:
            self._show(question)
            text = self._read_line()
            if text.strip().lower() == "back":
                self._take_back()
            else:
                self._take(question, text)
            self._check()

    def _show(self, question: Question) -> None:
        unknown = f" (? {question.unknown})" if question.unknown else ""
        self.tell(f"\n[b]{escape(question.label)}[/b], {escape(question.allowed + unknown)}")
        self.console.print(escape(question.how), style="dim", highlight=False)
        if question.key in self.again:
            self.tell(f"You said: {escape(self.said[question.key].text)}")

    def _read_line(self) -> str:
        try:
            return self.console.input("> ")
        except (EOFError, KeyboardInterrupt) as end:
            self.console.print()
            kept = f"stopped before the last one; they are kept in {self.draft}"
            command = _command(self.interview.layout.start, self.path)
            raise InputError("answers", None, f"{kept}; go on with: {command}") from end

    def _take(self, question: Question, text: str) -> None:
        try:
            self.interview.answer(question, text)
        except InputError as error:
            self.tell(f"[b]Not taken:[/b] {escape(str(error))}")
            return
        self.said[question.key] = Said(question.label, text)
        self.again.discard(question.key)
        self._keep()

    def _take_back(self) -> None:
        """Take back the answer to the question before the one that is open; those after it stay."""
        before = list(self.answers())
        if not before:
            self.tell("There is no answer before this one.")
            return
        taken = self.said.pop(before[-1])
        self.tell(f"[b]Taken back:[/b] {escape(taken.label)}: {escape(taken.text)}")
        self._keep()

    def _check(self) -> None:
        """Find answers that do not fit each other, say why, and have them all given again: any may be the wrong one."""
        if self.again:
            return
        answers = self.answers()
        try:
            self.interview.check(answers)
        except InputError as error:
            named = [key for key in dict.fromkeys((error.key, *error.others)) if key in answers]
            if not named:
                raise
            self.tell(f"\n[b]These do not fit each other:[/b] {escape(str(error))}")
            for key in named:
                self.tell(f"  {escape(self.said[key].label)}: {escape(self.said[key].text)}")
            self.again.update(named)

    def _keep(self) -> None:
        lines = [json.dumps({"key": key, **asdict(said)}) for key, said in self.said.items()]
        write_whole(self.draft, "\n".join(lines).encode())


def _command(words: str, path: Path) -> str:
    """A command with the file's name after it, as one types it."""
    name = str(path)
    return f'{words} "{name}"' if " " in name else f"{words} {name}"


def _read_draft(draft: Path) -> dict[str, Said]:
    if not draft.exists():
        return {}
    try:
        rows = [json.loads(line) for line in read_bytes(draft).decode().splitlines()]
        return {row.pop("key"): Said(**row) for row in rows}
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        raise InputError("draft", None, "cannot be read; move it away to begin anew", str(draft)) from error
