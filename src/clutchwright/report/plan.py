"""A plan as a sheet to print and tick off, and as data."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from clutchwright import __version__
from clutchwright.bikefile import MeasuredBike, find_key
from clutchwright.changes import find
from clutchwright.numbers import decimal_text, with_unit
from clutchwright.picture.steps import plan_steps
from clutchwright.report.data import SCHEMA, finite
from clutchwright.report.sheet import Drawing, Part, Sheet, Tone
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import share
from clutchwright.study.order import Job
from clutchwright.study.plan import Plan, PlanStep, Reading

_BEFORE = (
    "Warm the engine up and stop it. Hook the scale at the finger point or where the bike file says, pull square to "
    "the lever and slowly in to the stop, three times; note the middle one of the greatest readings."
)


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
    first = Part("Before the first step", ticks=(_BEFORE, _today(plan.first)))
    steps = tuple(_part(count, step, plan, bike) for count, step in enumerate(plan.steps, 1))
    return Sheet(
        name=plan.name,
        word=word,
        tone=tone,
        answer=_answer(plan),
        points=(
            "One change at a time. After each: free play, reading, checks; only then the next.",
            "A reading outside what is expected: stop, and find out why before going on.",
            *_stop(plan),
        ),
        parts=(_glance(plan), first, *steps),
    )


def _word(plan: Plan) -> tuple[str, Tone]:
    worst = min((step.word for step in plan.steps), key=("unsafe", "marginal", "sound").index)
    if worst == "unsafe":
        return "do not ride this", "unsafe"
    if plan.target_N is not None and plan.enough_after is None:
        return "not light enough", "marginal"
    return f"{len(plan.steps)} steps" if len(plan.steps) > 1 else "1 step", worst


def _answer(plan: Plan) -> str:
    last = plan.steps[-1].reading
    less = share(1.0 - last.pull_N / plan.first.pull_N)
    text = f"From {_pull(plan.first)} today to {_pull(last)} at the finger, {less} less"
    if plan.target_N is None:
        return f"{text}."
    wanted = _wanted(plan.target_N)
    if plan.enough_after is None:
        return f"{text}; the {wanted} wanted are not expected even at the end."
    if plan.enough_after == 0:
        return f"{text}; today's pull should be below the {wanted} wanted already."
    return f"{text}; the {wanted} wanted should be reached after step {plan.enough_after}."


def _stop(plan: Plan) -> tuple[str, ...]:
    if plan.target_N is None:
        return ("Stop when it is light enough for your hand: every further step costs something.",)
    return (f"Stop at the first reading of {_wanted(plan.target_N)} or less: every further step costs something.",)


def _wanted(target_N: float) -> str:
    return with_unit(decimal_text(target_N, 0), "N")


def _pull(reading: Reading) -> str:
    space = "\N{NO-BREAK SPACE}"
    doubt = decimal_text(reading.tolerance_N, 0)
    return with_unit(f"{decimal_text(reading.pull_N, 0)}{space}±{space}{doubt}", "N")


def _today(reading: Reading) -> str:
    return f"Reading: ______ N. Expected {_at_finger(reading)}. Outside: measure the bike again first."


def _at_finger(reading: Reading) -> str:
    at = f"{_pull(reading)} at the finger"
    if reading.hook_N is None:
        return at
    return f"{at}, which is {with_unit(decimal_text(reading.hook_N, 0), 'N')} where the bike file hooks the scale"


def _share(reading: Reading) -> str:
    low, high = (reading.share + side * reading.share_tolerance for side in (-1.0, 1.0))
    return f"{decimal_text(reading.share, 2)} times ({decimal_text(low, 2)} to {decimal_text(high, 2)})"


def _glance(plan: Plan) -> Part:
    rows = [
        Row((f"{count}. {find(step.job.step.kind).title}", _pull(step.reading), _price(step.job), _hours(step.job)))
        for count, step in enumerate(plan.steps, 1)
    ]
    columns = (
        Column("Step"),
        Column("Pull after it", number=True),
        Column("Price", number=True),
        Column("Work", number=True),
    )
    drawing = Drawing(lambda width: plan_steps(plan, width=width), "The pull expected today and after each step.")
    return Part("The order", tables=(Table("Steps", columns, tuple(rows)),), drawing=drawing)


def _price(job: Job) -> str:
    low, high = job.price
    if high == 0.0:
        return "free"
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _hours(job: Job) -> str:
    return with_unit(f"{job.hours:g}", "h")


def _part(count: int, step: PlanStep, plan: Plan, bike: MeasuredBike) -> Part:
    labels = [find_key(key, bike.choices).label for key in step.remeasure]
    sentences = [f"{step.job.step}; {_price(step.job)}, {_hours(step.job)}. {step.caution}"]
    if plan.enough_after is not None and count > plan.enough_after:
        sentences.insert(0, "Only if the pull is still above what is wanted.")
    if step.word != "sound":
        sentences.append(f"{step.word.capitalize()} after this step: {' '.join(step.reasons)}")
    measured = f"Measure again: {'; '.join(label[:1].lower() + label[1:] for label in labels)}."
    ticks = (*step.checks, _reading(step.reading, "today's" if count == 1 else "the last", plan.target_N), measured)
    return Part(f"Step {count}: {find(step.job.step.kind).title}", tuple(sentences), ticks=ticks)


def _reading(reading: Reading, before: str, target_N: float | None) -> str:
    enough = "" if target_N is None else f" At {_wanted(target_N)} or less: stop, it is light enough."
    return (
        f"Reading: ______ N. Expected {_share(reading)} {before} reading; as far as the bike is known "
        f"{_at_finger(reading)}. Outside: stop, find out why.{enough}"
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
    }
    for data, step in zip(found["steps"], plan.steps, strict=True):
        data["job"]["step"]["parameters"] = dict(step.job.step.parameters)
        data["change"], data["title"] = str(step.job.step), find(step.job.step.kind).title
    return finite(found)
