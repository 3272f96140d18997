"""A search and its choice as a sheet, as data and as one figure."""

from __future__ import annotations

from collections.abc import Mapping
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
from clutchwright.report.chances import chances_text, faults
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.measure import input_labels, measurements_part, shares_drawing
from clutchwright.report.missed import (
    loosened,
    missed_today,
    out_of_reach,
    reach_text,
    refusals,
    spent_at_most,
    ways_on,
)
from clutchwright.report.plan import plan_to_json
from clutchwright.report.sheet import Drawing, Part, Sheet, Tone
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import part_of_samples, share, values_text
from clutchwright.study.catalogue import Option
from clutchwright.study.choice import Closer
from clutchwright.study.limits import Limits
from clutchwright.study.order import Job
from clutchwright.study.search import SearchResult, Setup

if TYPE_CHECKING:
    import altair as alt

MATTERS = {
    "pull_peak_N": "peak pull",
    "slip_margin_hot": "slip margin, worn and hot",
    "release_margin_mm": "release margin",
}
_MAY = {"slips": "slip worn and hot", "does_not_release": "fail to release", "touches": "touch"}
_NOUNS = {"slips": "slip", "does_not_release": "release", "touches": "touching"}
_SPAN_SHOWN = 0.5  # difference from today's rest span from which the spans are shown [mm]
NOTHING = "nothing changed"
_FATES = {
    "slips": "slip more often than allowed",
    "does not release": "fail to release more often than allowed",
    "touches": "touch somewhere more often than allowed",
    "excluded": "put options together that exclude each other",
    "beaten": "are beaten by another that is no heavier, dearer, more work or nearer to slipping",
}


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
        word=_word(result),
        tone=_tone(result, chosen, target_N),
        answer=_answer(result, chosen, target_N),
        points=(_today(result), *(() if chosen is None else _choice(result, chosen)), *ways_on(result)),
        parts=tuple(parts),
    )


def _word(result: SearchResult) -> str:
    if result.asked is not None:
        return "limits missed today"
    return f"{len(result.front)} best setups" if len(result.front) != 1 else "1 best setup"


def _tone(result: SearchResult, chosen: int | None, target_N: float | None) -> Tone:
    if chosen is None:
        return "unsafe"
    missed = target_N is not None and result.front[chosen].pull_peak_N > target_N
    return "marginal" if missed or result.asked or result.limits.unlimited else "sound"


def _answer(result: SearchResult, chosen: int | None, target_N: float | None) -> str:
    total = sum(result.counts.values())
    counted = f"{total:,}".replace(",", "\N{NO-BREAK SPACE}")
    start, kept = f'Of {counted} combinations in "{result.catalogue}"', f"keeps {_kept(result.limits)}"
    if chosen is None:
        return f"{start}, none {kept}{spent_at_most(result.budget)}."
    setup = result.front[chosen]
    found = f"{_newton(setup.pull_peak_N)} for {_money(setup.price)} and {_hours(setup.hours)} (no. {chosen + 1})"
    if result.asked is not None:
        return f"{missed_today(result, result.asked)} {loosened(setup, result, result.asked)}: {found}."
    if target_N is None:
        return f"{start}, the lightest that {kept}: {found}."
    if setup.pull_peak_N > target_N:
        return f"{start}, none gets down to {_newton(target_N)}; the lightest that {kept}: {found}."
    return f"{start}, the cheapest that gets down to {_newton(target_N)} and {kept}: {found}."


def _kept(limits: Limits) -> str:
    free = limits.unlimited
    return f"the limits left (none on {' or '.join(_NOUNS[event] for event in free)})" if free else "all limits"


def _today(result: SearchResult) -> str:
    """Today's bike against the limits."""
    today, limits = result.today, result.asked or result.limits
    broken = limits.broken(today.probability, result.samples)
    missed = list(faults(broken, today.probability, result.samples, limits))
    if out_of_reach(result, today):
        missed.append(f"its lever at {_mm(today.rest_span_mm)} is out of the hand's reach of {reach_text(result)}")
    return f"Today: {_newton(today.pull_peak_N)}, {'; '.join(missed) or f'keeps {_kept(result.limits)}'}."


def _choice(result: SearchResult, place: int) -> tuple[str, ...]:
    setup = result.front[place]
    parts = f" Parts: {', '.join(dict.fromkeys(setup.parts))}." if setup.parts else ""
    undone = "All of it can be undone." if setup.reversible else "Not all of it can be undone."
    fails = chances_text(setup.probability, result.samples)
    return (f"No. {place + 1}: {_what(result, setup)}.{parts} {undone}", f"Of the possible bikes it {fails}.")


def _what(result: SearchResult, setup: Setup) -> str:
    """Options taken, with the values of those that come in several."""
    options = {option.name: option for option in result.options}
    named = (option_words(options[name], step) for name, step in zip(setup.options, setup.steps, strict=True))
    return "; ".join(named) or NOTHING


def option_words(option: Option, step: Step) -> str:
    """An option taken with a step, with its values where it comes in several."""
    values = values_text(step)
    return f"{option.name} ({values})" if len(option.choices) > 1 and values else option.name


def _mm(length: float) -> str:
    return with_unit(decimal_text(length, 0), "mm")


def _newton(pull: float) -> str:
    return with_unit(decimal_text(pull, 0), "N")


def _hours(hours: float) -> str:
    return with_unit(f"{hours:g}", "h")


def _money(price: float) -> str:
    return f"{price:g} of money" if price else "nothing"


def _front(result: SearchResult, chosen: int | None, target_N: float | None) -> Part:
    shown = sorted({*stairs(result.front), *(() if chosen is None else (chosen,))})
    rest, spans = len(result.front) - len(shown), _spans_differ(result)
    may = ", ".join(f"{_share_that(getattr(result.limits, event))} may {what}" for event, what in _MAY.items())
    sentences = [f"Of {result.samples} possible bikes {may}{spent_at_most(result.budget)}."]
    if result.front:
        beats = f"None of the {len(result.front)} beats another in pull, price, work and slip margin at once."
        sentences.insert(0, beats)
    if rest:
        more = "1 more saves work or slips" if rest == 1 else f"{rest} more save work or slip"
        sentences.append(f"Listed: those that no other beats in pull and price alone. {more} less.")
    if result.front and (spans or result.reach_mm is not None):
        sentences.append(_reached(result))
    words = "Pull against money; the numbered marks are the setups that no other beats in pull and price alone."
    drawing = (
        Drawing(lambda width: front_picture(result, target=target_N, width=width), words) if result.front else None
    )
    today = _row("today", result, result.today, spans=spans)
    rows = tuple(_row(f"no.\N{NO-BREAK SPACE}{place + 1}", result, result.front[place], spans=spans) for place in shown)
    tables: tuple[Table, ...] = (Table("Lightest first", _columns(spans=spans), (*rows, today)),)
    if not rows:
        sentences.append("No combination keeps all limits.")
    return Part("The best compromises", tuple(sentences), tables=tables, drawing=drawing)


def _spans_differ(result: SearchResult) -> bool:
    today = result.today.rest_span_mm
    return any(abs(setup.rest_span_mm - today) > _SPAN_SHOWN for setup in result.front)


def _reached(result: SearchResult) -> str:
    if result.reach_mm is not None:
        beyond = [setup for setup in result.front if setup.rest_span_mm > result.reach_mm]
        if beyond:
            return (
                f"In {len(beyond)} of them the lever at rest is further away than the hand's reach of "
                f"{reach_text(result)}, though by less than that is doubtful: try it with your own hand."
            )
        return f"The lever at rest is within the hand's reach of {reach_text(result)} in all of them."
    return (
        f"Some change the rest span, {_mm(result.today.rest_span_mm)} today: whether your hand still reaches the "
        "lever, a hand file tells."
    )


def _share_that(limit: float) -> str:
    return "none" if limit == 0.0 else "any number" if limit >= 1.0 else f"at most {share(limit)}"


def _columns(*, spans: bool) -> tuple[Column, ...]:
    return (
        Column("Setup"),
        Column("Pull", number=True),
        Column("Price", number=True),
        Column("Work", number=True),
        Column("Slip hot", number=True),
        Column("Slips", number=True),
        Column("Drags", number=True),
        *((Column("Rest span", number=True),) if spans else ()),
        Column("What"),
    )


def _row(name: str, result: SearchResult, setup: Setup, *, spans: bool) -> Row:
    return Row(
        (
            name,
            _newton(setup.pull_peak_N),
            f"{setup.price:g}",
            _hours(setup.hours),
            decimal_text(setup.slip_margin_hot, 2),
            part_of_samples(setup.probability["slips"]),
            part_of_samples(setup.probability["does_not_release"]),
            *((_mm(setup.rest_span_mm),) if spans else ()),
            _what(result, setup),
        )
    )


def _fallen(result: SearchResult) -> Part:
    counts = sorted(((count, fate) for fate, count in result.counts.items() if count and fate != "best"), reverse=True)
    points = [f"{count}: {_FATES.get(fate, fate)}" for count, fate in counts]
    points += [f"{refused}" for refused in refusals(result)]
    return Part("What fell through", points=tuple(points) or ("Nothing.",))


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
        steps = tuple(f"{count}. {_job_text(step.job)}" for count, step in enumerate(plan.steps, 1))
        drawing = Drawing(lambda width: plan_steps(plan, width=width), "The pull expected after each step.")
        parts.append(Part("In which order", steps, drawing=drawing))
    return parts


def _job_text(job: Job) -> str:
    values = values_text(job.step)
    return f"{job.title} ({values})" if values else job.title


def _matters(closer: Closer) -> list[Part]:
    return [
        Part(f"What matters for the {label}", drawing=shares_drawing(label, closer.shares.shares[key], closer.bike))
        for key, label in MATTERS.items()
        if key in closer.shares.shares
    ]


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
        for key, label in MATTERS.items():
            rows = closer.shares.shares.get(key)
            if rows is not None:
                charts.append(variance_bars(label, rows, input_labels(rows, closer.bike), width=width))
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
        "asked": None if result.asked is None else asdict(result.asked),
        "budget": asdict(result.budget),
        "reach_mm": result.reach_mm,
        "reach_u_mm": result.reach_u_mm,
        "target_N": target_N,
        "chosen": chosen,
        "counts": dict(result.counts),
        "refused": list(refusals(result)),
        "today": _setup_data(result.today),
        "front": [_setup_data(setup) for setup in result.front],
    }
    if closer is not None:
        found["shares"] = {key: [asdict(row) for row in rows] for key, rows in closer.shares.shares.items()}
        found["measure"] = [asdict(row) for row in closer.first.ranked]
        found["plan"] = None if closer.plan is None else plan_to_json(closer.plan)
    return finite(found)


def _setup_data(setup: Setup) -> dict[str, Any]:
    return asdict(setup) | {"steps": [str(step) for step in setup.steps]}


def study_line(data: Mapping[str, Any]) -> str:
    """The choice in one line.

    Parameters
    ----------
    data : mapping
        As `study_to_json` gives it.

    Returns
    -------
    str
        For instance ``78 N for 59 of money and 2 h (Oil the cable, Longer arm); today 107 N``.
    """
    today = f"today {_newton(data['today']['pull_peak_N'])}"
    if data["chosen"] is None:
        return f"no combination keeps the limits; {today}"
    setup = data["front"][data["chosen"]]
    jobs = ", ".join(setup["options"]) or NOTHING
    found = f"{_newton(setup['pull_peak_N'])} for {_money(setup['price'])} and {_hours(setup['hours'])} ({jobs})"
    if data.get("asked") is not None:
        return f"{found}, but the limits are missed as today; {today}"
    missed = data["target_N"] is not None and setup["pull_peak_N"] > data["target_N"]
    return f"{found}, not the {_newton(data['target_N'])} wanted; {today}" if missed else f"{found}; {today}"
