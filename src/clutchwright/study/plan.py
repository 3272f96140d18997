"""A plan: the changes of a setup one by one, with the reading that should follow, what to check and when to stop."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields

import numpy as np

from clutchwright.assess.checks import run_checks
from clutchwright.assess.figures import measure
from clutchwright.assess.verdict import RULES, Word, judge
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import respond
from clutchwright.changes import Step, apply, find
from clutchwright.errors import InputError
from clutchwright.quantity import Array, Quantity
from clutchwright.study.order import Job, best_order, job_of
from clutchwright.study.outcomes import outcomes
from clutchwright.study.target import require_target
from clutchwright.study.tolerance import combined, first_order, one_at_a_time, uncertain

REPEATS = 0.02  # share to which a careful reading with the same scale and hook repeats; own judgement, no source
COVERAGE = 2.0  # standard uncertainties on either side of an expected reading
PEAK = "pull_peak_N"
_RULES = {rule.key: rule for rule in RULES}

# What a change of a stage's field makes worth measuring again, by key of the bike file.
REMEASURED: dict[tuple[str, str], tuple[str, ...]] = {
    ("lever", "finger_radius"): ("lever.finger_radius_mm", "lever.rest_span_mm"),
    ("lever", "rest_span"): ("lever.rest_span_mm",),
    ("lever", "cable_end"): ("lever.cable_radius_mm", "lever.cable_angle_deg"),
    ("lever", "level_angle"): ("lever.level_angle_deg",),
    ("line", "friction"): ("cable.friction", "cable.drag_N"),
    ("line", "bend"): ("cable.bend_deg",),
    ("line", "compliance"): ("cable.compliance_mm_per_N",),
    ("line", "ratio"): ("cable.drag_N",),
    ("arm", "length"): ("arm.length_mm", "arm.cable_angle_deg", "clearance.arm_room_mm"),
    ("springs", "springs"): ("springs.installed_length_mm", "clearance.bolt_to_cover_mm"),
    ("springs", "wire"): ("springs.solid_length_mm",),
    ("pack", "faces"): ("pack.faces", "pack.compression_mm"),
    ("pack", "friction_static"): ("pack.friction_static",),
}
STAGES = ("lever", "line", "arm", "lift", "springs", "pack")


@dataclass(frozen=True, slots=True)
class Reading:
    """What a scale at the finger point should show while pulling in.

    Parameters
    ----------
    pull_N : float
        Expected greatest pull [N].
    tolerance_N : float
        Two standard uncertainties of it, as far as the bike is known [N].
    share : float
        The same over the reading before the change [-].
    share_tolerance : float
        Two standard uncertainties of that share, both readings' own included [-]. Much surer than the pull itself, as
        what is not known about the bike is in both.
    hook_N : float | None
        Expected where the bike file says a scale is hooked [N]; None where it does not say.
    hook_ratio : float | None
        Force where the bike file says a scale is hooked, over that at the finger [-]. A change that moves the
        finger point changes it.
    hook_share : float | None
        Reading there over the reading there before the change [-].
    """

    pull_N: float
    tolerance_N: float
    share: float
    share_tolerance: float
    hook_N: float | None
    hook_ratio: float | None
    hook_share: float | None


@dataclass(frozen=True, slots=True)
class PlanStep:
    """One change of a plan, never two at once.

    Parameters
    ----------
    job : Job
        The change, its price and its work.
    reading : Reading
        After it.
    figures : dict of str to float
        After it, by key of ``FIGURES``, nominal.
    free_play_mm : float
        To be set at the finger after it [mm].
    word : str
        Verdict on the bike as it stands then.
    reasons : tuple of str
        What keeps it from being sound.
    checks : tuple of str
        What the rider can do to see that it went well.
    remeasure : tuple of str
        Keys of the bike file to measure again.
    caution : str
        What to mind.
    enough : bool
        Whether the pull wanted should be reached with it, so that the plan may stop here.
    """

    job: Job
    reading: Reading
    figures: dict[str, float]
    free_play_mm: float
    word: Word
    reasons: tuple[str, ...]
    checks: tuple[str, ...]
    remeasure: tuple[str, ...]
    caution: str
    enough: bool


@dataclass(frozen=True, slots=True)
class Plan:
    """Changes in the order in which to make them.

    Parameters
    ----------
    name : str
        The bike's name.
    target_N : float | None
        Pull wanted [N]; None where the plan is to be gone through.
    first : Reading
        Today, before anything is changed; its share is 1.
    steps : tuple of PlanStep
        In order, see `clutchwright.study.order`.
    """

    name: str
    target_N: float | None
    first: Reading
    steps: tuple[PlanStep, ...]

    @property
    def enough_after(self) -> int | None:
        """Number of steps, from 1, after which the pull wanted should be reached; 0 before any; None never."""
        if self.target_N is None:
            return None
        pulls = (self.first.pull_N, *(step.reading.pull_N for step in self.steps))
        return next((count for count, pull in enumerate(pulls) if pull <= self.target_N), None)


def make_plan(measured: MeasuredBike, jobs: Sequence[Job | Step], *, target_N: float | None = None) -> Plan:
    """Put the changes of a setup in order and say what to check after each.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    jobs : sequence of Job or Step
        Changes; a bare step has the price and hours of its kind.
    target_N : float | None
        Pull wanted [N].

    Returns
    -------
    Plan
        See there.

    Raises
    ------
    InputError
        For a target that is no force, no change, one that is there twice, or too many.
    Refusal
        Where the setup cannot be made.
    """
    require_target(target_N)
    listed = [job if isinstance(job, Job) else job_of(job) for job in jobs]
    _require_changes([job.step for job in listed])
    bike = assemble(measured)
    order = best_order(bike, listed)
    first = before = _state(measured, bike, ())
    steps = []
    for count, place in enumerate(order, 1):
        done = [listed[other].step for other in sorted(order[:count])]
        after = _state(measured, apply(bike, done), done)
        steps.append(_step(listed[place], before, after, measured.quantities, target_N))
        before = after
    return Plan(measured.name, target_N, _reading(first, first, measured.quantities), tuple(steps))


def _require_changes(steps: Sequence[Step]) -> None:
    if not steps:
        raise InputError("--with", None, "name at least one change; see: clutchwright changes")
    done: list[tuple[str, dict[str, object]]] = []
    for step in steps:
        made = step.kind, find(step.kind).values(step.parameters)
        if made in done:
            message = "is there twice; a plan makes each change once, so name it once, as it is to be in the end"
            raise InputError("--with", str(step), message)
        done.append(made)


@dataclass(frozen=True, slots=True)
class State:
    """The bike between two steps: nominal, its figures, and these with one unknown moved at a time."""

    bike: Bike
    figures: dict[str, float]
    moved: dict[str, Array]


def _state(measured: MeasuredBike, bike: Bike, steps: Sequence[Step]) -> State:
    values = one_at_a_time(measured.quantities, measured.correlation)
    moved = outcomes(measured, steps, values, size=2 * len(uncertain(measured.quantities))).figures
    return State(bike, _figures(bike), moved)


def _figures(bike: Bike) -> dict[str, float]:
    return {key: float(value) for key, value in measure(bike, respond(bike)).items()}


def _reading(before: State, after: State, quantities: Mapping[str, Quantity]) -> Reading:
    pull = after.figures[PEAK]
    share = pull / before.figures[PEAK]
    u = combined(first_order(quantities, after.moved[PEAK]))
    share_u = combined(first_order(quantities, after.moved[PEAK] / before.moved[PEAK]))
    hooks = [_hook_ratio(state.bike, quantities.get("lever.hook_radius_mm")) for state in (before, after)]
    return Reading(
        pull_N=pull,
        tolerance_N=COVERAGE * float(np.hypot(u, REPEATS * pull)),
        share=share,
        share_tolerance=COVERAGE * float(np.hypot(share_u, np.sqrt(2.0) * REPEATS * share)),
        hook_N=None if hooks[1] is None else pull * hooks[1],
        hook_ratio=hooks[1],
        hook_share=None if hooks[0] is None or hooks[1] is None else share * hooks[1] / hooks[0],
    )


def _hook_ratio(bike: Bike, hook: Quantity | None) -> float | None:
    """By the lever's own leverage: the moment about its pivot is the same."""
    return None if hook is None else float(bike.lever.finger_radius) * 1e3 / hook.value


def _step(
    job: Job, before: State, after: State, quantities: Mapping[str, Quantity], target_N: float | None
) -> PlanStep:
    u = {rule.key: combined(first_order(quantities, after.moved[rule.key])) for rule in RULES}
    verdict = judge(after.figures, run_checks(after.bike, respond(after.bike)), u)
    changed = changed_fields(before.bike, after.bike)
    return PlanStep(
        job=job,
        reading=_reading(before, after, quantities),
        figures=after.figures,
        free_play_mm=float(after.bike.lever.free_play) * 1e3,
        word=verdict.word,
        reasons=() if verdict.word == "sound" else verdict.reasons[:2],
        checks=tuple(_checks(after.bike, changed, before.figures, after.figures)),
        remeasure=tuple(dict.fromkeys(_remeasured(changed, quantities))),
        caution=find(job.step.kind).caution,
        enough=target_N is not None and after.figures[PEAK] <= target_N,
    )


def changed_fields(before: Bike, after: Bike) -> frozenset[tuple[str, str]]:
    """Stage and field of everything a change touched; all fields of a stage that was replaced by another kind."""
    found = set()
    for stage in STAGES:
        old, new = getattr(before, stage), getattr(after, stage)
        for field in fields(new):
            same_kind = type(old) is type(new)
            if not same_kind or getattr(old, field.name) != getattr(new, field.name):
                found.add((stage, field.name))
    return frozenset(found)


def _remeasured(changed: frozenset[tuple[str, str]], known: Mapping[str, object]) -> Iterator[str]:
    """Keys in the order of the table; free play always, since every reading stands on it."""
    yield "lever.free_play_mm"
    for place, keys in REMEASURED.items():
        if place in changed:
            yield from (key for key in keys if key in known)


def _checks(
    bike: Bike, changed: frozenset[tuple[str, str]], before: Mapping[str, float], after: Mapping[str, float]
) -> Iterator[str]:
    """From the least trouble to the most: lever, free play, release, springs, slip."""
    stages = {stage for stage, _ in changed}
    if stages & {"lever", "line", "arm", "lift", "springs"}:
        yield "Engine off: does the lever come back by itself from everywhere, with the bar at both locks?"
    yield f"Set the free play to {float(bike.lever.free_play) * 1e3:.1f} mm at the finger, then read the pull."
    if stages - {"lever"} or abs(after["release_margin_finger_mm"] - before["release_margin_finger_mm"]) > 0.05:
        yield _release(after)
    if "springs" in stages:
        yield "Does the plate part evenly? Feel the gap on opposite sides with the lever in; each spring sits straight."
    if after["slip_margin_hot"] < before["slip_margin_hot"] * (1.0 - 1e-9):
        yield _slip(after)


def _release(after: Mapping[str, float]) -> str:
    margin = after["release_margin_finger_mm"]
    return (
        "Engine off, in gear, lever in: does the machine roll freely, and from which place of the lever on? Expected "
        f"{margin:.0f} mm before its stop; less than {_RULES['release_margin_finger_mm'].comfort:g} mm: undo the step."
    )


def _slip(after: Mapping[str, float]) -> str:
    return (
        "Warm, in a high gear, full throttle on a closed or legal, empty, dry road: does the engine run away from the "
        f"road speed? Worn and hot the clutch should carry {after['slip_margin_hot']:.2f} times the torque asked; if "
        "it slips, undo the step."
    )
