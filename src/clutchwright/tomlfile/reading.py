"""From the text of a file to its checked content, or to one line that says what is wrong with it."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from pydantic import ValidationError

from clutchwright.errors import InputError
from clutchwright.quantity import unit_of
from clutchwright.tomlfile.keys import Key
from clutchwright.tomlfile.layout import Layout, entry_of
from clutchwright.tomlfile.parsing import parse
from clutchwright.tomlfile.section import File

LARGEST = 1_000_000


def decode(data: bytes, source: str) -> str:
    """Text of a file.

    Parameters
    ----------
    data : bytes
        The file's content.
    source : str
        What to call it in messages.

    Returns
    -------
    str
        Line ends as they are.

    Raises
    ------
    InputError
        Where it is too large or no text.
    """
    if len(data) > LARGEST:
        message = f"must be at most {LARGEST} bytes; is it the right file?"
        raise InputError("size", len(data), message, source)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        message = f"not UTF-8 text at byte {error.start}; save it as UTF-8 in the editor"
        raise InputError("file", None, message, source) from None


def read(text: str, source: str, layout: Layout) -> File:
    """Content of a file, each value in its own range.

    Parameters
    ----------
    text : str
        TOML.
    source : str
        What to call it in messages, usually the file's name.
    layout : Layout
        What kind of file it is.

    Returns
    -------
    File
        An instance of the layout's model.

    Raises
    ------
    InputError
        One line with file, key, value, allowed range and what to do.
    """
    table = _table(text, source, layout)
    try:
        return layout.model.model_validate(table)
    except ValidationError as error:
        raise _first_error(error, source, layout) from None


def _table(text: str, source: str, layout: Layout) -> dict[str, Any]:
    table = parse(text, source, page=layout.page)
    if not table:
        raise InputError("file", None, f"empty; start one with: {layout.start}", source)
    _check_version(table, source, layout.version)
    return table


def _check_version(table: dict[str, Any], source: str, known: int) -> None:
    version = table.get("schema")
    if version == known and not isinstance(version, bool):
        return
    message = f"must be {known}; write schema = {known} at the top of the file"
    if isinstance(version, int) and version > known:
        message = f"made by a newer version of this program, while this one reads schema {known}; update the program"
    raise InputError("schema", version, message, source)


def _first_error(error: ValidationError, source: str, layout: Layout) -> InputError:
    """The most telling of the errors: an unknown key first, since a misspelt one is missing as well."""
    details = error.errors(include_url=False)
    detail = next((each for each in details if each["type"] == "extra_forbidden"), details[0])
    sections, form_keys = layout.sections(), layout.form_keys
    path = [str(part + 1) if isinstance(part, int) else part for part in detail["loc"]]
    # pydantic puts the form of a section which has several right after the section
    form = path.pop(1) if len(path) > 1 and path[0] in form_keys else ""
    key, value, context = ".".join(path), detail["input"], detail.get("ctx", {})
    if detail["type"] == "refused":
        key, value = f"{key}.{context['part']}".rstrip("."), context.get("given", value)
        return InputError(key, value, context["allowed"], source)
    if detail["type"] in ("union_tag_not_found", "union_tag_invalid") and isinstance(value, dict):
        given = value.get(form_keys[key])
        allowed = f"must be one of {', '.join(sections[key])}{_guess(given, list(sections[key]))}"
        return InputError(f"{key}.{form_keys[key]}", given, allowed, source)
    if detail["type"] == "extra_forbidden":
        return InputError(key, None, _unknown(path, form, layout), source)
    if detail["type"] == "missing":
        return InputError(key, None, f"missing; {_wanted(path, form, layout)}", source)
    return InputError(key, value, _plain_advice(detail["type"], key, context), source)


def _plain_advice(kind: str, key: str, context: dict[str, Any]) -> str:
    match kind:
        case "literal_error":
            return f"must be {context['expected']}"
        case "string_type" | "string_pattern_mismatch":
            return "must be a text of 1 to 100 characters in quotes, on one line"
        case "bool_type":
            return "must be true or false, without quotes"
        case "list_type":
            return f"must be a list of tables, each written [[{key}]]"
        case _:
            return f"must be a table, written [{key}]"


def _wanted(path: list[str], form: str, layout: Layout) -> str:
    """Advice on a key that must be given."""
    if path[0] not in layout.sections():
        return f"give this {layout.title.removesuffix(' file')} a name"
    if len(path) == 1:
        return "the file needs this section"
    model = layout.lists[path[0]] if len(path) > 2 else layout.sections()[path[0]][form]
    entry = entry_of(model, path[-1])
    if isinstance(entry, Key):
        return f"give a number {entry.range_text(unit_of(path[-1]))}. {entry.how}"
    return f"give it. {entry.how}" if entry else "give it"


def _unknown(path: list[str], form: str, layout: Layout) -> str:
    """Advice on a key that is not in the table of keys."""
    name, sections = path[-1], layout.sections()
    names_of = {
        part: {key for model in forms.values() for key in model.model_fields} for part, forms in sections.items()
    }
    if len(path) == 1:
        owner = next((section for section, names in names_of.items() if name in names), None)
        known = _guess(name, list(sections)) or f"; known are {', '.join(sections)}"
        return f"unknown; it belongs in [{owner}]" if owner else f"unknown section{known}"
    section = path[0]
    model = layout.lists[section] if len(path) > 2 else sections[section][form]
    others = [tag for tag, other in sections[section].items() if name in other.model_fields]
    if others and len(path) == 2:
        return f"unknown with {layout.form_keys[section]} = {form!r}; it goes with {' or '.join(map(repr, others))}"
    guess = _guess(name, list(model.model_fields))
    owner = next((other for other, names in names_of.items() if name in names), None)
    if owner and owner != section:
        guess = f"; it belongs in [{owner}]"
    return f"unknown key{guess or '; known are ' + ', '.join(model.model_fields)}"


def _guess(given: object, known: list[str]) -> str:
    close = get_close_matches(str(given), known, n=1) or [key for key in known if key.startswith(f"{given}_")]
    return f"; did you mean {close[0]}?" if close else ""
