"""The page that describes the interface for programs, made from the same description that programs get."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, JSONResponse

from clutchwright.report.legend import CHECK_WORDS, VERDICT_WORDS, glossary
from clutchwright.report.table import Column, Row, Table
from clutchwright.web.asking import Folder
from clutchwright.web.showing import shown

router = APIRouter()
_COLUMNS = (Column("Name"), Column("Where"), Column("What it is"), Column("Without it"))


@dataclass(frozen=True, slots=True)
class Operation:
    """One thing that a program can ask for.

    Parameters
    ----------
    method, path : str
        How, and where.
    meaning : str
        What it answers.
    parameters : Table
        What can be asked.
    """

    method: str
    path: str
    meaning: str
    parameters: Table

    @property
    def plain(self) -> bool:
        """Whether a link to it works as it stands."""
        return self.method == "GET" and "{" not in self.path


@router.get("/api")
def page(request: Request) -> HTMLResponse:
    """Describe the interface for programs."""
    described = request.app.openapi()
    errors = Table(
        "When there is no answer",
        (Column("Status"), Column("What it means")),
        tuple(Row((status, told["description"])) for status, told in _errors(described).items()),
    )
    return shown("api.html", summary=described["info"]["summary"], operations=operations(described), errors=errors)


@router.get("/words")
def words() -> HTMLResponse:
    """Say what the words of the pages mean."""
    return shown("words.html", words=glossary(), verdicts=VERDICT_WORDS | CHECK_WORDS)


@router.get("/api/folder")
def folder_open(folder: Folder, request: Request) -> JSONResponse:
    """The folder that is open and whether other devices may come in, for the command that would open it again."""
    return JSONResponse({"folder": str(folder.folder), "shared": request.app.state.pairing is not None})


def operations(described: dict[str, Any]) -> tuple[Operation, ...]:
    """All that can be asked for, from an OpenAPI description."""
    return tuple(
        Operation(method.upper(), path, told.get("description", ""), _parameters(told.get("parameters", ())))
        for path, methods in described["paths"].items()
        for method, told in methods.items()
    )


def _parameters(told: Any) -> Table:
    rows = (
        Row(
            (
                each["name"],
                each["in"],
                f"{each.get('description', '')} {_allowed(each['schema'])}".strip(),
                _usual(each),
            )
        )
        for each in told
    )
    return Table("Parameters", _COLUMNS, tuple(rows), "It takes no parameters.")


def _allowed(schema: dict[str, Any]) -> str:
    """Values that a parameter may have, as far as the description says."""
    kinds = [each for each in schema.get("anyOf", [schema]) if each.get("type") != "null"]
    words = {"array": "May be given again.", "number": "A number", "integer": "A whole number"}
    return " ".join(_one(each, words.get(each.get("type", ""), "")) for each in kinds).strip()


def _one(schema: dict[str, Any], word: str) -> str:
    if "enum" in schema:
        return f"One of {', '.join(schema['enum'])}."
    limits = (("minimum", "from"), ("exclusiveMinimum", "above"), ("maximum", "to"), ("exclusiveMaximum", "below"))
    said = [f"{name} {schema[key]:.10g}" for key, name in limits if key in schema]
    return f"{' '.join([word, *said])}{'' if word.endswith('.') or not word else '.'}"


def _usual(parameter: dict[str, Any]) -> str:
    if parameter.get("required"):
        return "must be given"
    usual = parameter["schema"].get("default")
    return "" if usual in (None, "", []) else str(usual)


def _errors(described: dict[str, Any]) -> dict[str, Any]:
    """Answers that are none, by status."""
    answers = (
        (status, answer)
        for methods in described["paths"].values()
        for told in methods.values()
        for status, answer in told["responses"].items()
        if status >= "400"
    )
    return dict(sorted(answers, key=lambda each: each[0]))
