"""A plan as a sheet to print and tick off, and as data."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from clutchwright import __version__
from clutchwright.bikefile import MeasuredBike, find_key
from clutchwright.changes import find
from clutchwright.numbers import decimal_text, quantity_text, with_unit
from clutchwright.picture.steps import plan_steps
from clutchwright.quantity import si_factor
from clutchwright.report.chances import chances_text, faults
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.sheet import Drawing, Part, Sheet, Tone
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import compared, values_text
from clutchwright.study.order import Job
from clutchwright.study.plan import Plan, PlanStep, Reading

_HOOK = "lever.hook_radius_mm"
_LIGHTER = 0.995  # share of the pull below which a step has lightened the lever; own judgement


def plan_sheet(plan: Plan, bike: MeasuredBike) -> Sheet:
    """A plan as a sheet.

    Parameters
    ----------
    plan : Plan
        The steps.
    bike : MeasuredBike
        Whose keys are to be measured again.

    Returns
    -------
    Sheet
        The answer, the order at a glance, then a part for each step.
    """
    word, tone = _word(plan)
    first = Part("Before the first step", ticks=(_before(bike), _today(plan.first)))
    over = _over_today(plan)
    steps = tuple(_part(count, step, plan, bike) for count, step in enumerate(plan.steps, 1))
    return Sheet(
        name=plan.name,
        word=word,
        tone=tone,
        answer=_answer(plan),
        points=(
            "One change at a time. After each: free play, reading, checks; only then the next.",
            "A reading should lie in the range given in 19 of 20 cases.",
            "A reading outside what is expected: stop, and find out why before going on.",
            _stop(plan),
            *((over,) if over else ()),
        ),
        parts=(_glance(plan), first, *steps),
    )


def _word(plan: Plan) -> tuple[str, Tone]:
    worst = min((step.word for step in plan.steps), key=("unsafe", "marginal", "sound").index)
    if worst == "unsafe":
        return "do not ride this", "unsafe"
    if any(step.over for step in plan.steps):
        return "over the limits", "unsafe"
    if plan.target_N is not None and plan.enough_after is None:
        return "not light enough", "marginal"
    return f"{len(plan.steps)} steps" if len(plan.steps) > 1 else "1 step", worst


def _answer(plan: Plan) -> str:
    last = plan.steps[-1].reading
    text = f"From {_pull(plan.first)} today to {_pull(last)} at the finger, {compared(last.pull_N, plan.first.pull_N)}"
    if plan.target_N is None:
        return f"{text}."
    wanted = _newton(plan.target_N)
    if plan.enough_after is None:
        return f"{text}; the {wanted} wanted are not expected even at the end."
    if plan.enough_after == 0:
        return f"{text}; today's pull should be below the {wanted} wanted already."
    return f"{text}; the {wanted} wanted should be reached after step {plan.enough_after}."


def _over_today(plan: Plan) -> str:
    """Which limits today's bike misses already."""
    if plan.limits is None:
        return ""
    broken = plan.limits.broken(plan.today, plan.samples)
    missed = "; ".join(faults(broken, plan.today, plan.samples, plan.limits))
    return f"Today the clutch {missed}: a step counts as over the limits where it makes that worse." if missed else ""


def _stop(plan: Plan) -> str:
    if plan.target_N is None:
        return "Stop when it is light enough for your hand: every further step costs something."
    readings = (plan.first, *(step.reading for step in plan.steps))
    if len({reading.hook_ratio for reading in readings}) > 1:
        wanted = f"{_newton(plan.target_N)} or less at the finger, each step says what that is on the scale"
    else:
        wanted = _enough(plan.first, plan.target_N)
    return f"Stop at the first reading of {wanted}: every further step costs something."


def _enough(reading: Reading, target_N: float) -> str:
    """The pull wanted as the scale shows it."""
    if reading.hook_ratio is None:
        return f"{_newton(target_N)} ({_kilograms(target_N)}) or less"
    hook = target_N * reading.hook_ratio
    return f"{_newton(hook)} ({_kilograms(hook)}) or less at the hook, which is {_newton(target_N)} at the finger"


def _newton(force_N: float) -> str:
    return with_unit(f"{force_N:.3g}", "N")


def _kilograms(force_N: float) -> str:
    """What a luggage scale shows under a force."""
    return with_unit(f"{force_N / si_factor('_kgf'):.3g}", "kg")


def _pull(reading: Reading) -> str:
    """The pull with one standard uncertainty, as every page gives it."""
    return quantity_text("pull_N", reading.pull_N, reading.u_N)


def _range(reading: Reading, ratio: float, decimals: int, unit: str) -> str:
    """What a scale should show, times a ratio, such as ``140 to 154 N``."""
    low, high = (
        decimal_text(max(reading.pull_N + side * reading.tolerance_N, 0.0) * ratio, decimals) for side in (-1.0, 1.0)
    )
    return with_unit(f"{low} to {high}".replace(" ", "\N{NO-BREAK SPACE}"), unit)


def _ratio(reading: Reading) -> float:
    """Force where the scale hangs over that at the finger [-]."""
    return 1.0 if reading.hook_ratio is None else reading.hook_ratio


def _in_kilograms(reading: Reading) -> str:
    return _range(reading, _ratio(reading) / si_factor("_kgf"), 1, "kg")


def _expected(reading: Reading) -> str:
    """What the scale should show, in newton and in kilograms."""
    ratio = _ratio(reading)
    shown = f"{_range(reading, ratio, 0, 'N')} ({_in_kilograms(reading)})"
    if reading.hook_ratio is None:
        return f"{shown} at the finger"
    return f"{shown} at the hook, which is {_range(reading, 1.0, 0, 'N')} at the finger"


def _before(bike: MeasuredBike) -> str:
    hook = bike.quantities.get(_HOOK)
    if hook is None:
        where = "at the finger point"
    else:
        where = f"{with_unit(f'{hook.value:.4g}', 'mm')} from the lever's pivot, as in the bike file"
    return (
        f"Warm the engine up and stop it. Hook the scale {where}, pull square to the lever and slowly in to the stop, "
        "three times; note the middle one of the greatest readings. Always hook it there."
    )


def _today(reading: Reading) -> str:
    return f"Reading: ______ N or kg. Expected {_expected(reading)}. Outside: measure the bike again first."


def _share(reading: Reading) -> str:
    """Where the scale hangs."""
    times = reading.share if reading.hook_share is None else reading.hook_share
    doubt = reading.share_tolerance * times / reading.share
    low, high = (decimal_text(times + side * doubt, 2) for side in (-1.0, 1.0))
    return f"{decimal_text(times, 2)} times ({low} to {high})"


def _glance(plan: Plan) -> Part:
    rows = [
        Row(
            (
                f"{count}. {step.job.title}",
                _pull(step.reading),
                _in_kilograms(step.reading),
                _price(step.job),
                _hours(step.job.hours),
            )
        )
        for count, step in enumerate(plan.steps, 1)
    ]
    if len(rows) > 1:
        rows.append(Row(("All of it", "", "", _money(plan.price), _hours(plan.hours))))
    columns = (
        Column("Step"),
        Column("Pull after it", number=True),
        Column("On the scale", number=True),
        Column("Price", number=True),
        Column("Work", number=True),
    )
    drawing = Drawing(lambda width: plan_steps(plan, width=width), "The pull expected today and after each step.")
    parts = (f"Parts: {', '.join(plan.parts)}.",) if plan.parts else ()
    told = (*_prices_from(plan), *parts)
    return Part("The order", told, tables=(Table("Steps", columns, tuple(rows)),), drawing=drawing)


def _prices_from(plan: Plan) -> tuple[str, ...]:
    """Whose prices these are."""
    own = [step for step in plan.steps if step.job.option]
    typical = "typical ones of the kind of change, a rough assumption"
    if not own:
        advice = "choose a list of jobs to have its own"
        return (f"Prices, hours and names are {typical}; {advice}.",)
    start = f'Prices, hours and names are those of "{plan.catalogue}"'
    return (f"{start}.",) if len(own) == len(plan.steps) else (f"{start}; of what is not in it, {typical}.",)


def _money(price: tuple[float, float]) -> str:
    low, high = price
    if high == 0.0:
        return "free"
    return f"{low:g} of money" if low == high else f"{low:g} to {high:g} of money"


def _price(job: Job) -> str:
    typical = "" if job.option or job.price[1] == 0.0 else " (typical)"
    return f"{_money(job.price)}{typical}"


def _hours(hours: float) -> str:
    return with_unit(f"{hours:g}", "h")


def _part(count: int, step: PlanStep, plan: Plan, bike: MeasuredBike) -> Part:
    labels = [find_key(key, bike.choices).label for key in step.remeasure]
    what = "; ".join(filter(None, (values_text(step.job.step), f"{_price(step.job)}, {_hours(step.job.hours)}")))
    sentences = [f"{what[:1].upper()}{what[1:]}. {step.caution}"]
    if plan.enough_after is not None and count > plan.enough_after:
        sentences.insert(0, _beyond(step, (plan.first, *(each.reading for each in plan.steps))[count - 1]))
    if step.job.parts:
        sentences.append(f"Parts: {', '.join(step.job.parts)}.")
    if step.over and plan.limits is not None:
        missed = "; ".join(faults(step.over, step.probability, plan.samples, plan.limits))
        sentences.append(f"Over the limits after this step: the clutch {missed}. A study would leave this setup out.")
    elif step.probability:
        sentences.append(f"Of the possible bikes it then {chances_text(step.probability, plan.samples)}.")
    if step.word != "sound":
        sentences.append(f"{step.word.capitalize()} after this step: {' '.join(step.reasons)}")
    measured = f"Measure again: {'; '.join(label[:1].lower() + label[1:] for label in labels)}."
    ticks = (*step.checks, _reading(step.reading, "today's" if count == 1 else "the last", plan.target_N), measured)
    return Part(f"Step {count}: {step.job.title}", tuple(sentences), ticks=ticks)


def _beyond(step: PlanStep, before: Reading) -> str:
    """When to do a step after which the pull is low enough already."""
    if step.reading.pull_N < before.pull_N * _LIGHTER:
        return "Only if the pull is still above what is wanted."
    gives = find(step.job.step.kind).gives
    return f"Not for the pull, but for what it gives: {gives}. Where that was chosen, do it even if the lever is light."


def _reading(reading: Reading, before: str, target_N: float | None) -> str:
    enough = "" if target_N is None else f" At {_enough(reading, target_N)}: stop, it is light enough."
    return (
        f"Reading: ______ N or kg. Expected {_share(reading)} {before} reading; as far as the bike is known "
        f"{_expected(reading)}. Outside: stop, find out why.{enough}"
    )


def plan_to_json(plan: Plan) -> dict[str, Any]:
    """A plan as data for programs.

    Parameters
    ----------
    plan : Plan
        The steps.

    Returns
    -------
    dict
        Strictly valid JSON; each step with its change as written on the command line.
    """
    found = asdict(plan) | {
        "schema": SCHEMA,
        "tool": {"name": "clutchwright", "version": __version__},
        "enough_after": plan.enough_after,
        "price": plan.price,
        "hours": plan.hours,
        "parts": plan.parts,
    }
    found["first"] |= _at_hook(plan.first, plan.target_N)
    for data, step in zip(found["steps"], plan.steps, strict=True):
        data["job"]["step"]["parameters"] = dict(step.job.step.parameters)
        data["reading"] |= _at_hook(step.reading, plan.target_N)
        data["change"], data["title"] = str(step.job.step), step.job.title
    return finite(found)


def _at_hook(reading: Reading, target_N: float | None) -> dict[str, float | None]:
    """What is wanted where the scale hangs."""
    if reading.hook_ratio is None or target_N is None:
        return {"hook_target_N": None}
    return {"hook_target_N": target_N * reading.hook_ratio}
