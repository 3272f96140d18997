"""After a change: predicted against read, as a sheet and as data."""

from __future__ import annotations

from typing import Any

from clutchwright import __version__
from clutchwright.bikefile import LAYOUT
from clutchwright.calibrate import Comparison
from clutchwright.calibrate.comparison import DOUBTFUL, Compared, Pulls
from clutchwright.calibrate.comparison import Column as Kind
from clutchwright.numbers import decimal_text, plain_text, quantity_text, with_unit
from clutchwright.picture.deviations import Deviation, deviations
from clutchwright.picture.look import WIDE
from clutchwright.picture.loop import loop_picture, stacked
from clutchwright.quantity import si_factor, unit_of
from clutchwright.readings import KINDS
from clutchwright.readings.kinds import shown_ending
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.lists import changes_table
from clutchwright.report.sheet import Drawing, Part, Sheet
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share

NOT = 0.001  # below this chance a difference is no chance; own judgement, as is usual
_WORDS = {"sound": "as predicted", "marginal": "doubtful", "unsafe": "not as predicted"}
_WORDS_UNCHANGED = {"sound": "like the bike file", "marginal": "doubtful", "unsafe": "not like the bike file"}
_PULL = "pull_peak_N"
_LABELS = {kind.name: kind.label for kind in KINDS.values()}


def comparison_sheet(name: str, found: Comparison) -> Sheet:
    """Predicted against read.

    Parameters
    ----------
    name : str
        The bike's name.
    found : Comparison
        As found.

    Returns
    -------
    Sheet
        Whether the difference may be chance, by kind of reading and one by one.
    """
    tone = "unsafe" if found.chance < NOT else "sound" if _held(found) else "marginal"
    changed = (Part("Changed", tables=(changes_table(found.steps),)),) if found.steps else ()
    return Sheet(
        name=name,
        word=(_WORDS if found.steps else _WORDS_UNCHANGED)[tone],
        tone=tone,  # type: ignore[arg-type]
        answer=_answer(found),
        points=(_statistics(found), *_points(found)),
        parts=(*changed, _columns(found), _loop(found), _rows(found)),
    )


def comparison_figure(found: Comparison) -> Any:
    """Before and after, and deviations, below one another, as a chart."""
    return stacked(*(part.drawing.draw(WIDE) for part in (_loop(found), _rows(found)) if part.drawing))


def _held(found: Comparison) -> bool:
    """Whether all is as said; a bike to which nothing was done must not pull otherwise either."""
    unchanged = found.steps or found.pulls is None or not found.pulls.sure
    return found.chance >= DOUBTFUL and bool(unchanged)


def _answer(found: Comparison) -> str:
    """Whether it worked, then how likely so great a distance from the prediction is."""
    return " ".join(part for part in (_worked(found), _likely(found)) if part)


def _worked(found: Comparison) -> str:
    unnamed = "" if found.steps else "You named no change: compared with the bike as it stands. "
    pulls = found.pulls
    if pulls is None:
        return f"{unnamed}No pull was read, so whether the lever is lighter is not known." if found.steps else unnamed
    before, now, predicted = (_newtons(each) for each in (pulls.before.value, pulls.now.value, pulls.predicted))
    less = pulls.before.value - pulls.now.value
    size = f"{_newtons(abs(less))} ({share(abs(less) / pulls.before.value)})"
    moved = f"{size} {'lighter' if less > 0.0 else 'heavier'}" if pulls.sure else "neither lighter nor heavier for sure"
    if not found.steps:
        filed = quantity_text(_PULL, pulls.before.value, pulls.before.u)
        return f"{unnamed}The lever takes {now} where the bike file lets expect {filed}."
    return f"The lever is {moved}: {before} before by the bike file, {now} now; {predicted} was predicted."


def _newtons(force: float) -> str:
    return with_unit(decimal_text(force, 0), "N")


def _likely(found: Comparison) -> str:
    if found.chance >= 1.0:
        return "The readings lie as near to the prediction as one expects."
    chance = f"{'' if found.chance < NOT else 'at most '}{_chance(found.chance)}"
    right = "bike file and changes" if found.steps else "the bike file"
    return f"Were {right} right, readings this far from the prediction would have a chance of {chance}."


def _statistics(found: Comparison) -> str:
    least = min(found.columns, key=lambda column: column.chance)
    kinds = f", the least of {len(found.columns)} kinds" if len(found.columns) > 1 else ""
    return (
        f"Chance of all readings together: {_chance(found.together)}; of {_label(least)} by itself: "
        f"{_chance(least.chance)}{kinds}. Of these {found.tests} chances the least counts, {found.tests} times."
    )


def _points(found: Comparison) -> tuple[str, ...]:
    before, after = (
        quantity_text(_PULL, each.peak.value, each.peak.u) for each in (found.loop.before, found.loop.after)
    )
    peak = f"Peak pull by the bike file: {after} with the changes, as sure as they say, {before} without."
    same = ", with the same changes," if found.steps else ""
    advice = (
        f"It held. A fit to these readings{same} makes the next prediction surer."
        if _held(found)
        else "Look at the kinds of reading with the least chance: did the change do what it says, is a reading wrong, "
        "or has something else changed? A diagnosis of the same readings looks for what; a fit learns from them."
    )
    return (*((peak,) if found.steps else ()), _seen(found), advice)


def _seen(found: Comparison) -> str:
    """Which differences these readings could have shown."""
    sizes = (f"{_label(column)} {_size(column)}" for column in found.columns)
    return f"In 19 of 20 cases they would have shown a difference, in the mean of a kind, of: {'; '.join(sizes)}."


def _size(column: Kind) -> str:
    """The least difference that is seen, and its share of what was to be expected."""
    ending = _ending(column)
    least = with_unit(plain_text(column.seen_from / si_factor(ending), 2), unit_of(ending))
    return f"{least} ({share(column.seen_from / column.predicted)})" if column.predicted > 0.0 else least


def _label(column: Kind) -> str:
    label = _upper_label(column)
    return f"{label[0].lower()}{label[1:]}"


def _upper_label(column: Kind) -> str:
    """What a kind of reading is, or a key of the bike file that was read."""
    return _LABELS.get(column.name) or LAYOUT.label(column.name)


def _ending(column: Kind) -> str:
    return shown_ending(column.dimension) if column.dimension else column.name


def _chance(chance: float) -> str:
    return "under 0.1 %" if chance < NOT else f"{chance * 100.0:.1f} %" if chance < 0.1 else share(chance)


def _columns(found: Comparison) -> Part:
    rows = []
    for column in found.columns:
        ending = _ending(column)
        difference, u = (each / si_factor(ending) for each in (column.difference, column.u))
        rows.append(
            Row((_upper_label(column), quantity_text(ending, difference, u), _size(column), _chance(column.chance)))
        )
    columns = (
        Column("Kind"),
        Column("Read less predicted, mean", number=True),
        Column("Seen from", number=True),
        Column("Chance", number=True),
    )
    return Part("By kind of reading", tables=(Table("By kind of reading", columns, tuple(rows)),))


def _loop(found: Comparison) -> Part:
    words = "Pull and return of possible bikes without and with the changes, and what was read after them."

    def draw(width: int) -> Any:
        return loop_picture(found.loop, before="without the changes", after="with them", width=width)

    return Part("Before and after", drawing=Drawing(draw, words))


def _rows(found: Comparison) -> Part:
    rows = tuple(
        Row(
            (
                _place(each),
                each.reading.said(each.reading.value),
                each.reading.said_with(each.predicted, each.u_predicted),
                _chance(each.chance),
            )
        )
        for each in found.rows
    )
    columns = (
        Column("Reading"),
        Column("Read", number=True),
        Column("Predicted", number=True),
        Column("Chance", number=True),
    )
    dots = [
        Deviation(
            each.reading.label, each.reading.where, each.difference / (each.u_predicted**2 + each.u_read**2) ** 0.5
        )
        for each in found.rows
    ]

    def draw(width: int) -> Any:
        return deviations("Readings against the prediction", dots, width=width)

    words = "Each reading less its prediction, in standard uncertainties of both together."
    return Part("Every reading", tables=(Table("Every reading", columns, rows),), drawing=Drawing(draw, words))


def _place(each: Compared) -> str:
    return ", ".join(part for part in (each.reading.label, each.reading.where) if part)


def comparison_to_json(name: str, found: Comparison) -> dict[str, Any]:
    """Predicted against read as data for programs.

    Parameters
    ----------
    name : str
        The bike's name.
    found : Comparison
        As found.

    Returns
    -------
    dict
        Strictly valid JSON; readings in the unit that their key names.
    """
    return finite(
        {
            "schema": SCHEMA,
            "tool": {"name": "clutchwright", "version": __version__},
            "name": name,
            "changes": [str(step) for step in found.steps],
            "pull_N": None if found.pulls is None else _pulls_data(found.pulls),
            "chance": found.chance,
            "chance_together": found.together,
            "chi2": found.chi2,
            "readings": [
                {
                    "kind": each.reading.name,
                    "at": each.reading.where,
                    **_numbers(each),
                    "chance": each.chance,
                }
                for each in found.rows
            ],
            "kinds": [_kind_data(column) for column in found.columns],
        }
    )


def _pulls_data(pulls: Pulls) -> dict[str, float]:
    return {
        "before": pulls.before.value,
        "u_before": pulls.before.u,
        "now": pulls.now.value,
        "u_now": pulls.now.u,
        "predicted": pulls.predicted,
    }


def _kind_data(column: Kind) -> dict[str, Any]:
    ending = _ending(column)
    unit = ending if column.dimension else ""
    numbers = {"difference": column.difference, "u": column.u, "seen_from": column.seen_from}
    return {
        "kind": column.name,
        "chance": column.chance,
        **{f"{name}{unit}": value / si_factor(ending) for name, value in numbers.items()},
    }


def _numbers(each: Compared) -> dict[str, float]:
    ending = each.reading.ending if each.reading.dimension else ""
    numbers = {
        "read": each.reading.value,
        "predicted": each.predicted,
        "u_predicted": each.u_predicted,
        "u_read": each.u_read,
    }
    return {f"{name}{ending}": each.reading.shown(value) for name, value in numbers.items()}
