"""Two pages for those who write programs: the workbench's interface, and what --json prints."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from clutchwright.assess.figures import FIGURES
from clutchwright.report.table import Table
from clutchwright.web.app import DESCRIPTION, create_app
from clutchwright.web.description import Operation, operations
from clutchwright.workspace import Workspace

_INTERFACE = f"""\
# Interface for programs

What another program can ask of a running workbench (`clutchwright open`). Each answer is JSON and holds
[what the command line prints with --json](json.md) for the same files. The workbench itself shows this list at `/api`,
and gives it as an OpenAPI description at `{DESCRIPTION}`. What cannot be answered is one line,
`{{"error": "..."}}`, with a status of 400 or more.

A whole example: [How do I use it from another program?](../how-to/programs.md)
"""

_JSON = """\
# JSON output

What `clutchwright assess --json` prints: one object. Numbers are as worked out, not rounded; the unit is the end of the
name; null stands for what is not reached. Other commands print objects of their own, with `schema` and `tool` at the
top as well.

## Figures

At the top of the object. `u` holds, by the same names, one standard uncertainty of each where there is one.
"""

PARTS = {
    "schema": "version of these names, 1",
    "tool": "name and version of the program",
    "name": "of the bike",
    "changes": "those asked for, each with `kind`, `parameters` and `text`",
    "verdict": "`sound`, `marginal` or `unsafe`: [what they mean](../words.md)",
    "reasons": "sentences behind the verdict",
    "deciding": "name of the figure that the verdict hangs on",
    "rests_on": "assumed values that this figure hangs on most",
    "warnings": "sentences that belong beside the verdict",
    "u": "standard uncertainties of the figures",
    "force_budget": "where the pull goes, N: `key`, `label`, `value_N`",
    "travel_budget": "where the finger travel goes, mm: `key`, `label`, `value_mm`",
    "places": "force at each place of the chain at the release point, with the ratio and the friction up to the next",
    "checks": "`key`, `label`, `state` (`passed`, `tight`, `failed`, `not checked`), `value`, `limit`, `unit`",
    "assumed": "values nobody measured: `key`, `value`, `u`, their shares in the doubt of deciding figure and pull",
    "curve": "lists of equal length over the stroke: travel, span, pull, return, lift, clamp, capacity",
    "before": "with changes: the same object for the bike as it is",
    "hand": "with `--hand`: what the pull means to that hand",
    "samples": "with `--samples`: how many possible bikes were drawn",
    "seed": "with `--samples`: of the draw",
    "p05": "with `--samples`: each figure that 5 % of them stay below",
    "p50": "with `--samples`: the middle of each figure",
    "p95": "with `--samples`: each figure that 95 % of them stay below",
    "probability": "with `--samples`: `slips` (worn and hot), `does_not_release`, `touches` (any measured gap), 0 to 1",
}


def interface() -> str:
    """Reference of the workbench's interface, in Markdown."""
    with TemporaryDirectory() as folder:
        described = create_app(Workspace(Path(folder))).openapi()
    return "\n".join([_INTERFACE, *(_section(each) for each in operations(described))])


def json_output() -> str:
    """Reference of what assess prints as JSON, in Markdown."""
    figures = ((f"`{figure.key}`", figure.label, figure.meaning) for figure in FIGURES)
    parts = ((f"`{key}`", meaning) for key, meaning in PARTS.items())
    rest = ["", "## The rest", "", *_table(("name", "holds"), parts), ""]
    return "\n".join([_JSON, *_table(("name", "figure", "meaning"), figures), *rest])


def _section(each: Operation) -> str:
    meaning = " ".join(each.meaning.split())
    return "\n".join([f"## {each.method} `{each.path}`", "", meaning, "", *_parameters(each.parameters), ""])


def _parameters(parameters: Table) -> Iterable[str]:
    if not parameters.rows:
        return [parameters.empty]
    return _table([column.heading for column in parameters.columns], (row.cells for row in parameters.rows))


def _table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = [headings, ["---"] * len(headings), *rows]
    return ["| " + " | ".join(cell.replace("|", "\\|").replace("<", "\\<") for cell in line) + " |" for line in lines]
