"""Asks the questions of an interview in the terminal, one by one; what was answered survives an interruption."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.markup import escape

from clutchwright.errors import InputError
from clutchwright.files import read_bytes, require_new, write_new, write_whole
from clutchwright.plain import escaped
from clutchwright.tomlfile import draft as drafts
from clutchwright.tomlfile.draft import Draft, progress
from clutchwright.tomlfile.interview import Interview, Question
from clutchwright.tomlfile.keys import Entry

_OPENING = (
    "Answer each question; [b]?[/b] for don't know, [b]back[/b] to take back the answer before.",
    "After a number may stand [b]± 1[/b], one standard uncertainty (two thirds of repeated readings lie within it), "
    "and [b]manual[/b] or [b]estimated[/b] when it was not measured: 82 ± 1 estimated.",
    "Ctrl-C keeps what was answered, and the same command goes on from there.",
)


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
    kept = path.with_name(path.name + ".draft")
    talk = _Talk(path, kept, console, _read_draft(kept, interview))
    talk.tell("\n".join(_OPENING))
    talk.go_on()
    answers = talk.draft.answers()
    write_new(path, interview.toml(answers).encode())
    kept.unlink(missing_ok=True)
    talk.tell(f"\nWritten: {escape(str(path.resolve()))}")
    left = "; ".join(f"{key}: {what}" for key, what in interview.not_asked(answers).items())
    talk.tell(f"Not asked: {escape(left)}. All keys, these too: {interview.layout.page}")
    talk.tell(f"Next: [b]{escape(_command(interview.layout.use, path))}[/b]")


@dataclass(slots=True)
class _Talk:
    """The answers so far, and where they are kept."""

    path: Path
    kept: Path
    console: Console
    draft: Draft

    def tell(self, text: str) -> None:
        self.console.print(text, highlight=False)

    def go_on(self) -> None:
        if self.draft.said:
            self.tell(f"Going on after the {len(self.draft.answers())} answers kept in {escape(str(self.kept))}.")
        self._check()
        while (question := self.draft.open_question()) is not None:
            self._show(question)
            while not self._take(question, self._read_line()):
                pass
            self._check()

    def _show(self, question: Question) -> None:
        where = progress(self.draft)
        unknown = f" (? {question.unknown})" if question.unknown else ""
        self.tell(f"\n[b]{escape(question.label)}[/b], {escape(question.allowed + unknown)}")
        told = f"{where.done + 1} of about {where.total}. {question.how}"
        self.console.print(escape(told), style="dim", highlight=False)
        for word in question.options if isinstance(question.entry, Entry) and question.entry.words else ():
            self.tell(f"  [b]{escape(word)}[/b]: {escape(question.in_words(word))}")
        if question.key in self.draft.again:
            self.tell(f"You said: {escape(self.draft.said[question.key].text)}")

    def _read_line(self) -> str:
        try:
            return self.console.input("> ")
        except (EOFError, KeyboardInterrupt) as end:
            self.console.print()
            kept = f"stopped before the last one; they are kept in {self.kept}"
            command = _command(self.draft.interview.layout.start, self.path)
            raise InputError("answers", None, f"{kept}; go on with: {command}") from end

    def _take(self, question: Question, text: str) -> bool:
        """Whether the answer was taken; where it was not, what is allowed is said again, and no more."""
        if text.strip().lower() == "back":
            self._take_back()
            return True
        try:
            self.draft = self.draft.answered(question, text)
        except InputError as error:
            self.tell(f"[b]Not taken:[/b] {escape(escaped(text.strip()))}: {escape(error.allowed)}")
            return False
        self._keep()
        return True

    def _take_back(self) -> None:
        """Take back the answer to the question before the one that is open; those after it stay."""
        before = list(self.draft.answers())
        if not before:
            self.tell("There is no answer before this one.")
            return
        taken = self.draft.said[before[-1]]
        self.draft = self.draft.without(before[-1])
        self.tell(f"[b]Taken back:[/b] {escape(taken.label)}: {escape(taken.text)}")
        self._keep()

    def _check(self) -> None:
        """Find answers that do not fit each other, say why, and have them all given again: any may be the wrong one."""
        clash = None if self.draft.again else self.draft.clash()
        if clash is None:
            return
        self.tell(f"\n[b]These do not fit each other:[/b] {escape(str(clash.error))}")
        for key in clash.keys:
            said = self.draft.said[key]
            self.tell(f"  {escape(said.label)}: {escape(said.text)}")
        self.draft = self.draft.asking_again(clash.keys)

    def _keep(self) -> None:
        write_whole(self.kept, self.draft.dumps().encode())


def _command(words: str, path: Path) -> str:
    """A command with the file's name after it, as one types it."""
    name = str(path)
    return f'{words} "{name}"' if " " in name else f"{words} {name}"


def _read_draft(kept: Path, interview: Interview) -> Draft:
    return drafts.loads(read_bytes(kept), interview, str(kept)) if kept.exists() else Draft(interview)
