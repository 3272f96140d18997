"""What the columns of a table of readings mean: from their names to kinds, places and instruments."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from clutchwright.errors import InputError
from clutchwright.quantity import bare_name, si_factor
from clutchwright.readings.instruments import USUAL, Instrument
from clutchwright.readings.kinds import ENDINGS, KINDS, POSITIONS, Kind, dimension_of, factor

NOTE, SPRING = "note", "spring"
# What a row may say of the instrument of each column; a name, then numbers in the unit of the column, then a share.
INSTRUMENT_WORDS = ("instrument", "resolution", "scatter", "zero_u", "gain_u")
_DIRECT_TOOLS = {"length": "calliper", "angle": "protractor", "force": "kitchen scale", "torque": "torque wrench"}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of numbers.

    Parameters
    ----------
    title : str
        As it stands in the header.
    name : str
        Kind or position without its unit; a whole key for a key of the bike file.
    dimension : str
        A key of ``ENDINGS``; empty for a plain number.
    factor : float
        What one unit is worth in SI.
    high : float
        The largest number that makes sense [unit of the column]; infinite for a key of the bike file.
    instrument : Instrument
        What it was read with.
    """

    title: str
    name: str
    dimension: str
    factor: float
    high: float
    instrument: Instrument

    @property
    def direct(self) -> bool:
        """Whether it is a key of the bike file, measured directly."""
        return "." in self.name


@dataclass(frozen=True, slots=True)
class Table:
    """Columns of one block.

    Parameters
    ----------
    position : Column | None
        What says where; None where the others stand for themselves.
    values : tuple of Column
        What was read.
    """

    position: Column | None
    values: tuple[Column, ...]

    @property
    def position_name(self) -> str:
        """Name of the position; empty for none."""
        return "" if self.position is None else self.position.name


def table(titles: list[str], words: Mapping[str, Mapping[str, str | float]], source: str) -> Table:
    """Columns of a block.

    Parameters
    ----------
    titles : list of str
        Names of its columns, notes left out; the first may say where the others were read.
    words : mapping
        What is said of the instruments: by word of ``INSTRUMENT_WORDS``, then by column.
    source : str
        File and line, for messages.

    Returns
    -------
    Table
        Checked.

    Raises
    ------
    InputError
        For a column that is not known, stands twice or does not belong here.
    """
    for title in titles:
        if titles.count(title) > 1:
            raise InputError(title, None, "stands twice in the header; repeats go into rows of their own", source)
    named = {title: _named(title, source) for title in titles if title != SPRING}
    first = next(iter(named), "")
    position = POSITIONS.get(named[first][0]) if first else None
    values = [title for title in named if position is None or title != first]
    if not values:
        raise InputError(first or "header", None, "nothing was read; give a column of readings beside it", source)
    where = position.name if position else ""

    def column(title: str) -> Column:
        name, ending = named[title]
        if "." in name:
            dimension, high, usual = dimension_of(name), float("inf"), _DIRECT_TOOLS.get(dimension_of(name), "")
        else:
            entry = POSITIONS[name] if title not in values else _kind(name, where, title, source)
            dimension, high, usual = entry.dimension, entry.high, entry.tool
        worth = factor(ending, dimension) if dimension else si_factor(name)
        own = {word: said[title] for word, said in words.items() if title in said}
        shown = si_factor(ENDINGS[dimension][0]) if dimension else worth
        tool = _instrument(title, dimension, worth, own, usual, source)
        return Column(title, name, dimension, worth, high * shown / worth, tool)

    found = Table(column(first) if position else None, tuple(column(title) for title in values))
    if SPRING in titles and not all(KINDS[each.name, where].spring for each in found.values if not each.direct):
        raise InputError(SPRING, None, "goes with columns spring_load and spring_free only", source)
    return found


def _named(title: str, source: str) -> tuple[str, str]:
    """Name and ending of a column."""
    if "." in title:
        return title, title.removeprefix(bare_name(title))
    name = bare_name(title)
    ending = title.removeprefix(name)
    known = {kind.name: kind.dimension for kind in KINDS.values()} | {
        position.name: position.dimension for position in POSITIONS.values()
    }
    if name in known and ending in ENDINGS[known[name]]:
        return name, ending
    stem = next((each for each in sorted(known, key=len, reverse=True) if f"{title}_".startswith(f"{each}_")), "")
    if stem:
        wanted = " or ".join(stem + each for each in ENDINGS[known[stem]])
        raise InputError(title, None, f"the name must end in its unit; write {wanted}", source)
    close = get_close_matches(name, [*known, SPRING, NOTE], n=1)
    guess = f"did you mean {close[0]}{ENDINGS[known[close[0]]][0]}" if close and close[0] in known else ""
    advice = guess or f"known are {', '.join(sorted(known))}, and keys of the bike file"
    raise InputError(title or "header", None, f"unknown column; {advice}", source)


def _kind(name: str, where: str, title: str, source: str) -> Kind:
    if (name, where) in KINDS:
        return KINDS[name, where]
    places = [kind.at for kind in KINDS.values() if kind.name == name]
    if not places:
        message = "says where; it must be the first column, and stand alone as such"
    elif places == [""]:
        message = "stands for itself; put it into a block of its own, with an empty line before it"
    else:
        wanted = " or ".join(f"{place}{ENDINGS[POSITIONS[place].dimension][0]}" for place in places)
        message = f"must be read at a place; make {wanted} the first column"
    raise InputError(title, None, message, source)


def _instrument(
    title: str, dimension: str, worth: float, own: Mapping[str, str | float], usual: str, source: str
) -> Instrument:
    """The instrument of a column: the usual one of its name, but for what is said of it."""
    name = str(own.get("instrument", usual))
    known = USUAL.get((name, dimension))
    if known is None and "resolution" not in own:
        names = ", ".join(each for each, of in USUAL if of == dimension)
        allowed = f"no such instrument is known for this column{f' ({names})' if names else ''}; give its resolution"
        raise InputError("instrument", name or None, allowed, f"{source}, {title}")
    step = float(own["resolution"]) * worth if "resolution" in own else 0.0
    start = known or Instrument(name or title, step, step, 0.0, 0.0)
    scaled = {word: float(own[word]) * worth for word in ("resolution", "scatter", "zero_u") if word in own}
    return Instrument(
        name=start.name,
        resolution=scaled.get("resolution", start.resolution),
        scatter=scaled.get("scatter", start.scatter),
        zero_u=scaled.get("zero_u", start.zero_u),
        gain_u=float(own.get("gain_u", start.gain_u)),
    )
