"""The layout of one kind of file: its sections and keys, and what is derived from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any, get_args

from pydantic import create_model

from clutchwright.quantity import unit_of
from clutchwright.tomlfile.keys import Count, Entry, Key, Pairs
from clutchwright.tomlfile.section import File, Section

Known = Key | Count | Pairs | Entry
LEFT_OPEN = "left open"


@dataclass(frozen=True, slots=True)
class StandIn:
    """A key that the interview asks for only while all of some others are not known.

    Parameters
    ----------
    others : tuple of str
        Keys that make it needless, such as ``springs.rate_N_per_mm``.
    what : str
        What is asked for when they are not known, in words.
    needed : bool
        Whether it must be answered then.
    """

    others: tuple[str, ...]
    what: str = ""
    needed: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """One kind of file.

    Parameters
    ----------
    title : str
        What such a file is called, such as ``bike file``.
    version : int
        Version of this form of file.
    model : type of File
        The whole file; its order is the one in which one would measure.
    page : str
        Where its reference stands.
    start : str
        Command that starts such a file; its name follows.
    use : str
        Command that uses such a file; its name follows.
    form_keys : mapping of str to str
        The key that names the form of a section which has several, by section.
    lists : mapping of str to type of Section
        Sections that hold a list of tables named ``each``, with the model of one.
    stand_ins : mapping of str to StandIn
        Keys that the interview asks for instead of others.
    usual_forms : mapping of str to str
        The form that the interview takes where a form must be told and is not known, by section.
    """

    title: str
    version: int
    model: type[File]
    page: str
    start: str
    use: str
    form_keys: Mapping[str, str]
    lists: Mapping[str, type[Section]] = field(default_factory=dict)
    stand_ins: Mapping[str, StandIn] = field(default_factory=dict)
    usual_forms: Mapping[str, str] = field(default_factory=dict)

    def sections(self) -> dict[str, dict[str, type[Section]]]:
        """Every section with its forms by name; a section with one form has it under an empty name."""
        return _sections(self.model, tuple(self.form_keys))

    def form_of(self, section: str, choices: Mapping[str, object]) -> type[Section]:
        """Form of a section that the words chosen, such as ``lift.kind``, ask for; the usual one where none is."""
        forms, kind = self.sections()[section], self.form_keys.get(section, "")
        chosen = choices.get(f"{section}.{kind}") if kind else ""
        if chosen is not None:
            return forms[str(chosen)]
        return next(model for model in forms.values() if not model.model_fields[kind].is_required())

    def only(self, sections: tuple[str, ...]) -> Layout:
        """The same kind of file with some of its sections alone, for what is known before the file is whole."""
        return replace(self, model=_part(self.model, sections))

    def stand_in_for(self, key: str) -> str:
        """What is asked for, in words, when a key is not known; empty for nothing."""
        return next((each.what for each in self.stand_ins.values() if key in each.others and each.what), "")

    def ordered_keys(self, model: type[Section]) -> list[str]:
        """Keys of a section: the kind first, then what must be given, then the finer readings."""
        fields, kinds = model.model_fields, set(self.form_keys.values())
        return sorted(fields, key=lambda name: (name not in kinds, not fields[name].is_required()))

    def label(self, key: str) -> str:
        """What a key is, in words, such as ``Pivot to finger point``: of a quantity or of a word, in whichever form.

        Parameters
        ----------
        key : str
            Such as ``lever.finger_radius_mm``.

        Returns
        -------
        str
            Its label; raises KeyError for a key that no form has.
        """
        return self.known(key).label

    def known(self, key: str) -> Known:
        """What is known about a key in whichever form; raises KeyError for a key that no form has."""
        section, *middle, name = key.split(".")
        forms = (self.lists[section],) if middle else self.sections()[section].values()
        entries = (entry_of(form, name) for form in forms if name in form.model_fields)
        found = next((entry for entry in entries if entry is not None), None)
        if found is None:
            raise KeyError(key)
        return found

    def find_key(self, key: str, choices: Mapping[str, object]) -> Key:
        """What is known about a quantity.

        Parameters
        ----------
        key : str
            Such as ``lever.finger_radius_mm`` or ``springs.each.3.rate_N_per_mm``.
        choices : mapping
            The file's kinds, as in `Values.choices`.

        Returns
        -------
        Key
            Label, range, how to measure it, the assumption.

        Raises
        ------
        KeyError
            For a key that is no quantity.
        """
        section, *middle, name = key.split(".")
        entry = entry_of(self.lists[section] if middle else self.form_of(section, choices), name)
        if not isinstance(entry, Key):
            raise KeyError(key)
        return entry

    def json_schema(self) -> dict[str, Any]:
        """Schema for editors, JSON Schema 2020-12, ready to be written as JSON."""
        found: dict[str, Any] = _tidy(self.model.model_json_schema())
        dialect = "https://json-schema.org/draft/2020-12/schema"
        return {"$schema": dialect, "title": self.title.capitalize(), **found}


@cache
def _sections(model: type[File], with_forms: tuple[str, ...]) -> dict[str, dict[str, type[Section]]]:
    found: dict[str, dict[str, type[Section]]] = {}
    for name, info in model.model_fields.items():
        if name in with_forms:
            forms = (get_args(form) for form in get_args(info.annotation))
            found[name] = {tag.tag: form for form, tag in forms}
        elif isinstance(info.annotation, type) and issubclass(info.annotation, Section):
            found[name] = {"": info.annotation}
    return found


@cache
def _part(model: type[File], sections: tuple[str, ...]) -> type[File]:
    fields: dict[str, Any] = {name: (info.annotation, info) for name, info in model.model_fields.items()}
    return create_model(f"{model.__name__}Part", __base__=File, **{name: fields[name] for name in sections})


def entry_of(model: type[Section], key: str) -> Known | None:
    """What is known about a key of a section; None for a list of tables."""
    return next((item for item in model.model_fields[key].metadata if isinstance(item, Known)), None)


def words_of(model: type[Section], key: str) -> tuple[str, ...]:
    """Words that a key of a section may have; empty where it is no word."""
    annotation = model.model_fields[key].annotation
    words = [word for part in (annotation, *get_args(annotation)) for word in get_args(part)]
    return tuple(word for word in words if isinstance(word, str))


def is_flag(model: type[Section], key: str) -> bool:
    """Whether a key of a section is true or false."""
    annotation = model.model_fields[key].annotation
    return bool in (annotation, *get_args(annotation))


def instead_of(model: type[Section], key: str) -> str:
    """What counts where a key of a section is not known.

    Parameters
    ----------
    model : type of Section
        The section.
    key : str
        Its key.

    Returns
    -------
    str
        Such as ``3 ± 1.2 mm assumed``, ``far assumed`` or ``left open``.
    """
    entry, usual = entry_of(model, key), model.model_fields[key].default
    if isinstance(entry, Key) and entry.assumed is not None:
        spread = f" ± {entry.assumed.u:g}" if entry.assumed.u else ""
        return f"{entry.assumed.value:g}{spread} {unit_of(key)}".rstrip() + " assumed"
    if usual is None or isinstance(usual, tuple):
        return LEFT_OPEN
    return f"{str(usual).lower() if isinstance(usual, bool) else usual} assumed"


def _tidy(node: Any) -> Any:
    """The same without what only Python needs: titles made from field names, and null, which TOML does not have."""
    if isinstance(node, list):
        return [_tidy(item) for item in node if item != {"type": "null"}]
    if not isinstance(node, dict):
        return node
    found = {key: _tidy(value) for key, value in node.items() if key != "title" and (key, value) != ("default", None)}
    if len(found.get("anyOf", ())) == 1:
        found |= found.pop("anyOf")[0]
    return found
