"""The reference of one kind of file, written from its table of keys."""

from __future__ import annotations

from collections.abc import Iterator

from clutchwright.quantity import unit_of
from clutchwright.tomlfile.keys import ORIGIN_WORDS, Count, Entry, Key, Pairs
from clutchwright.tomlfile.layout import Known, Layout, entry_of, is_flag, words_of
from clutchwright.tomlfile.reading import LARGEST
from clutchwright.tomlfile.section import Section


def reference(layout: Layout) -> str:
    """Reference of one kind of file.

    Parameters
    ----------
    layout : Layout
        What kind of file it is.

    Returns
    -------
    str
        Markdown.
    """
    return "\n".join([_introduction(layout), *_parts(layout)])


def _introduction(layout: Layout) -> str:
    size, title = LARGEST // 1_000_000, layout.title
    return f"""# {title.capitalize()}s

A {title} is TOML in UTF-8, at most {size} MB. It begins with `schema = {layout.version}` and a `name`.
Every quantity is either a number or `{{ value = .., u = .., origin = ".." }}`:

* `value` is in the unit at the end of the key;
* `u` is one standard uncertainty in the same unit (two thirds of repeated readings lie within it). A number without it
  has the one in the column "bare u";
* `origin` is {ORIGIN_WORDS}.
  Without it the value counts as estimated.

Keys marked **needed** must be given. The others are taken from the column "else": an assumed value with a wide
uncertainty or a usual word, which every result lists as assumed, or nothing, and then what depends on it is not
checked. A key that is not in these tables is an error.

The JSON Schema for editors knows the form and range of each key. Rules between keys (one must be given where another is
missing, or be smaller than another) are not in it; they are checked when the file is read.
"""


def _parts(layout: Layout) -> Iterator[str]:
    for section, forms in layout.sections().items():
        models, kind = list(forms.values()), layout.form_keys.get(section, "")
        common = [name for name in layout.ordered_keys(models[0]) if name != kind and _same(models, name)]
        head = entry_of(models[0], kind) if kind else None
        about = f"`{kind}`: {head.label.lower()}. {_how(head)}" if head else models[0].__doc__
        yield f"## [{section}]\n\n{about}\n" + _table(layout, section, models[0], common)
        for form, model in forms.items():
            own = [name for name in layout.ordered_keys(model) if name not in (kind, *common)]
            if kind:
                yield f'### {kind} = "{form}"\n\n{model.__doc__}\n' + _table(layout, section, model, own)
        if section in layout.lists:
            model = layout.lists[section]
            table = _table(layout, f"{section}.each", model, layout.ordered_keys(model))
            yield f"### [[{section}.each]]\n\n{model.__doc__}\n" + table


def _how(entry: Known) -> str:
    return entry.told if isinstance(entry, Entry) else entry.how


def _same(models: list[type[Section]], name: str) -> bool:
    """Whether a key means the same in all forms of a section."""
    return all(name in model.model_fields and entry_of(model, name) == entry_of(models[0], name) for model in models)


def _table(layout: Layout, prefix: str, model: type[Section], names: list[str]) -> str:
    rows = []
    for name in names:
        entry = entry_of(model, name)
        if entry is not None:
            cells = (
                f"`{name}`",
                f"{entry.label}. {_how(entry)}",
                _range(model, name),
                _bare_u(entry),
                layout.stand_in_for(f"{prefix}.{name}") or _else(model, name),
            )
            rows.append(f"| {' | '.join(cells)} |\n")
    head = "\n| key | what it is, and how to measure it | range | bare u | else |\n|---|---|---|---|---|\n"
    return head + "".join(rows) if rows else ""


def _range(model: type[Section], name: str) -> str:
    entry = entry_of(model, name)
    match entry:
        case Key():
            return entry.range_text(unit_of(name)).removeprefix("from ")
        case Count():
            return f"{entry.low} to {entry.high}"
        case Pairs():
            return " and ".join(f"{what}, 0 to {high:g}" for what, high in zip(entry.names, entry.highs, strict=True))
    yes_or_no = "true, false" if is_flag(model, name) else ""
    return ", ".join(words_of(model, name)) or yes_or_no


def _bare_u(entry: Known) -> str:
    if not isinstance(entry, Key):
        return ""
    return f"{entry.u:g}" if entry.u else f"{100 * entry.share:g} %"


def _else(model: type[Section], name: str) -> str:
    entry, field = entry_of(model, name), model.model_fields[name]
    if field.is_required():
        return "**needed**"
    if isinstance(entry, Key) and entry.assumed is not None:
        return f"{entry.assumed.value:g} ± {entry.assumed.u:g} ({entry.assumed.source})"
    if isinstance(field.default, bool):
        return str(field.default).lower()
    return "nothing" if field.default in (None, (), []) else str(field.default)
