"""A search and its choice as a sheet, as data and as one figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from clutchwright import __version__
from clutchwright.changes import Step
from clutchwright.numbers import decimal_text, with_unit
from clutchwright.picture.distribution import distribution
from clutchwright.picture.front import front_picture, stairs
from clutchwright.picture.look import WIDE
from clutchwright.picture.shares import variance_bars
from clutchwright.picture.steps import plan_steps
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.measure import measurements_part
from clutchwright.report.plan import plan_to_json
from clutchwright.report.sheet import Drawing, Part, Sheet, Tone
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share, values_text
from clutchwright.study.catalogue import Option
from clutchwright.study.choice import Closer
from clutchwright.study.search import SearchResult, Setup
from clutchwright.study.variance import Share

if TYPE_CHECKING:
    import altair as alt

MATTERS = {
    "pull_peak_N": "peak pull",
    "slip_margin_hot": "slip margin, worn and hot",
    "release_margin_mm": "release margin",
}
NOTHING = "nothing changed"
_COLUMNS = (
    Column("No."),
    Column("Pull", number=True),
    Column("Price", number=True),
    Column("Work", number=True),
    Column("Slip hot", number=True),
    Column("Slips", number=True),
    Column("Drags", number=True),
    Column("What"),
)


def study_sheet(
    result: SearchResult, chosen: int | None, *, target_N: float | None = None, closer: Closer | None = None
) -> Sheet:
    """A search as a sheet.

    Parameters
    ----------
    result : SearchResult
        What was found.
    chosen : int | None
        Place of the setup chosen in the front.
    target_N : float | None
        Pull wanted [N].
    closer : Closer | None
        That setup looked at more closely; None to leave it out.

    Returns
    -------
    Sheet
        The choice, the best compromises, what fell to what, and the closer look.
    """
    parts = [_front(result, chosen, target_N), _fallen(result)]
    if closer is not None:
        parts += _closer(closer, target_N)
    return Sheet(
        name=result.name,
        word=f"{len(result.front)} best setups" if len(result.front) != 1 else "1 best setup",
        tone=_tone(result, chosen, target_N),
        answer=_answer(result, chosen, target_N),
        points=() if chosen is None else _choice(result, chosen),
        parts=tuple(parts),
    )


def _tone(result: SearchResult, chosen: int | None, target_N: float | None) -> Tone:
    if chosen is None:
        return "unsafe"
    missed = target_N is not None and result.front[chosen].pull_peak_N > target_N
    return "marginal" if missed else "sound"


def _answer(result: SearchResult, chosen: int | None, target_N: float | None) -> str:
    total = sum(result.counts.values())
    counted = f"{total:,}".replace(",", "\N{NO-BREAK SPACE}")
    start = f'Of {counted} combinations in "{result.catalogue}"'
    if chosen is None:
        return f"{start}, none keeps all limits."
    setup = result.front[chosen]
    found = f"{_newton(setup.pull_peak_N)} for {_money(setup.price)} and {_hours(setup.hours)} (no. {chosen + 1})"
    if target_N is None:
        return f"{start}, the lightest that keeps all limits: {found}."
    if setup.pull_peak_N > target_N:
        return f"{start}, none gets down to {_newton(target_N)}; the lightest that keeps all limits: {found}."
    return f"{start}, the cheapest that gets down to {_newton(target_N)}: {found}."


def _choice(result: SearchResult, place: int) -> tuple[str, ...]:
    setup = result.front[place]
    parts = f" Parts: {', '.join(dict.fromkeys(setup.parts))}." if setup.parts else ""
    undone = "All of it can be undone." if setup.reversible else "Not all of it can be undone."
    return (f"No. {place + 1}: {_what(result, setup)}.{parts} {undone}",)


def _what(result: SearchResult, setup: Setup) -> str:
    """Options taken, with the values of those that come in several."""
    options = {option.name: option for option in result.options}
    named = (option_words(options[name], step) for name, step in zip(setup.options, setup.steps, strict=True))
    return "; ".join(named) or NOTHING


def option_words(option: Option, step: Step) -> str:
    """An option taken with a step, with its values where it comes in several."""
    values = values_text(step)
    return f"{option.name} ({values})" if len(option.choices) > 1 and values else option.name


def _newton(pull: float) -> str:
    return with_unit(decimal_text(pull, 0), "N")


def _hours(hours: float) -> str:
    return with_unit(f"{hours:g}", "h")


def _money(price: float) -> str:
    return f"{price:g} of money" if price else "nothing"


def _front(result: SearchResult, chosen: int | None, target_N: float | None) -> Part:
    shown = sorted({*stairs(result.front), *(() if chosen is None else (chosen,))})
    rest = len(result.front) - len(shown)
    limits = result.limits
    sentences = [
        f"None of the {len(result.front)} beats another in pull, price, work and slip margin at once. Of "
        f"{result.samples} possible bikes at most {share(limits.slips)} may slip worn and hot, "
        f"{share(limits.does_not_release)} may fail to release, {share(limits.touches)} may touch."
    ]
    if rest:
        sentences.append(
            f"Listed: those that no other beats in pull and price alone. {rest} more save work or slip less."
        )
    words = "Pull against money; the numbered marks are the setups that no other beats in pull and price alone."
    drawing = Drawing(lambda width: front_picture(result, target=target_N, width=width), words)
    rows = tuple(_row(result, place) for place in shown)
    table = Table("Lightest first", _COLUMNS, rows, "No combination keeps all limits.")
    return Part("The best compromises", tuple(sentences), tables=(table,), drawing=drawing)


def _row(result: SearchResult, place: int) -> Row:
    setup = result.front[place]
    return Row(
        (
            str(place + 1),
            _newton(setup.pull_peak_N),
            f"{setup.price:g}",
            _hours(setup.hours),
            decimal_text(setup.slip_margin_hot, 2),
            share(setup.probability["slips"]),
            share(setup.probability["does_not_release"]),
            _what(result, setup),
        )
    )


def _fallen(result: SearchResult) -> Part:
    counts = sorted(((count, fate) for fate, count in result.counts.items() if count and fate != "best"), reverse=True)
    points = [f"{count}: {fate}" for count, fate in counts]
    points += [f"{refused}" for refused in _refusals(result)]
    return Part("What fell through", points=tuple(points) or ("Nothing.",))


def _refusals(result: SearchResult) -> Sequence[str]:
    return tuple(dict.fromkeys(str(refused.reason) for refused in result.refused))


def _closer(closer: Closer, target_N: float | None) -> list[Part]:
    spread = Drawing(
        lambda width: distribution(
            "Peak pull", "N", now=closer.pulls_now, before=closer.pulls_before, limit=target_N, width=width
        ),
        "Peak pull of all possible bikes, today and with the setup.",
    )
    parts = [Part("How the pull spreads", drawing=spread), *_matters(closer), measurements_part(closer.first)]
    if closer.plan is not None:
        plan = closer.plan
        steps = tuple(f"{step.job.step}" for step in plan.steps)
        drawing = Drawing(lambda width: plan_steps(plan, width=width), "The pull expected after each step.")
        parts.append(Part("In which order", points=steps, drawing=drawing))
    return parts


def _matters(closer: Closer) -> list[Part]:
    return [
        Part(f"What matters for the {label}", drawing=_bars(label, closer.shares.shares[key]))
        for key, label in MATTERS.items()
        if key in closer.shares.shares
    ]


def _bars(label: str, rows: Sequence[Share]) -> Drawing:
    words = f"Share of each unknown in the variance of the {label}."
    return Drawing(lambda width: variance_bars(label, rows, width=width), words)


def study_figure(
    result: SearchResult, *, target_N: float | None = None, closer: Closer | None = None, width: int = WIDE
) -> alt.VConcatChart:
    """Front, spread of the pull and shares of the variance below one another.

    Parameters
    ----------
    result : SearchResult
        What was found.
    target_N : float | None
        Pull wanted [N].
    closer : Closer | None
        The chosen setup looked at more closely; None for the front alone.
    width : int
        Whole width [px].

    Returns
    -------
    altair.VConcatChart
        Under the bike's name.
    """
    import altair as alt

    charts: list[Any] = [front_picture(result, target=target_N, width=width)]
    if closer is not None:
        charts.append(
            distribution(
                "Peak pull", "N", now=closer.pulls_now, before=closer.pulls_before, limit=target_N, width=width
            )
        )
        shares = closer.shares.shares
        charts += [variance_bars(label, shares[key], width=width) for key, label in MATTERS.items() if key in shares]
    title = alt.Title(result.name, subtitle=result.catalogue, fontSize=18, limit=width)
    return alt.vconcat(*charts, title=title, spacing=34).resolve_scale(x="independent", y="independent")


def study_to_json(
    result: SearchResult, chosen: int | None, *, target_N: float | None = None, closer: Closer | None = None
) -> dict[str, Any]:
    """A search as data for programs.

    Parameters
    ----------
    result, chosen, target_N, closer
        See `study_sheet`.

    Returns
    -------
    dict
        Strictly valid JSON: the front in full, counts, refusals; not the table of all setups.
    """
    found: dict[str, Any] = {
        "schema": SCHEMA,
        "tool": {"name": "clutchwright", "version": __version__},
        "name": result.name,
        "catalogue": result.catalogue,
        "samples": result.samples,
        "seed": result.seed,
        "limits": asdict(result.limits),
        "target_N": target_N,
        "chosen": chosen,
        "counts": dict(result.counts),
        "refused": list(_refusals(result)),
        "front": [asdict(setup) | {"steps": [str(step) for step in setup.steps]} for setup in result.front],
    }
    if closer is not None:
        found["shares"] = {key: [asdict(row) for row in rows] for key, rows in closer.shares.shares.items()}
        found["measure"] = [asdict(row) for row in closer.first.ranked]
        found["plan"] = None if closer.plan is None else plan_to_json(closer.plan)
    return finite(found)
