"""Claims of so much off the pull by some means: whether this bike allows it, why not, and what it would cost."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from clutchwright.assess.figures import measure
from clutchwright.bike import Bike
from clutchwright.bikefile import MeasuredBike, assemble
from clutchwright.chain import increasing_root, respond
from clutchwright.changes.limits import RETURN_SHARE
from clutchwright.errors import InputError
from clutchwright.quantity import Array
from clutchwright.study.means import MOST_PUSHED, Means, reduction
from clutchwright.study.one_kind import find_means
from clutchwright.study.tolerance import Sample

ClaimWord = Literal["holds", "doubtful", "useless", "impossible"]
COSTS = (
    "pull_peak_N",
    "hold_N",
    "return_at_release_N",
    "lift_full_mm",
    "release_margin_mm",
    "release_margin_finger_mm",
    "clamp_worn_N",
    "slip_margin_hot",
    "free_play_wear_mm",
)
_BLOCK = 1024  # possible bikes worked out at a time
_SAID = re.compile(r"(?P<number>\d+([.,]\d+)?) ?(%|per ?cent)?( (lighter|less|easier|off)( pull)?)?")
_LOW, _HIGH = 1.0, 99.0  # what a claim may say [%]


@dataclass(frozen=True, slots=True)
class State:
    """The clutch at some point of a means: what it is called, and its figures by key, nominal."""

    label: str
    figures: dict[str, float]


@dataclass(frozen=True, slots=True)
class Odds:
    """What many possible bikes say of a claim.

    Parameters
    ----------
    samples : int
        How many.
    seed : int
        Seed of the draw.
    dependable, utmost : tuple of float
        The 5, 50 and 95 % quantiles of the share that may come off [-].
    comfortable : float
        Share of the bikes on which the claim is within the dependable share [-].
    possible : float
        Share of the bikes on which it is within the utmost share [-].
    """

    samples: int
    seed: int
    dependable: tuple[float, float, float]
    utmost: tuple[float, float, float]
    comfortable: float
    possible: float


@dataclass(frozen=True, slots=True)
class Claim:
    """A claim, judged.

    Parameters
    ----------
    name : str
        The bike's name.
    means : str
        Key of the means, see `find_means`.
    share : float
        Share of the peak pull said to come off [-].
    word : str
        ``holds``: with comfortable margins. ``doubtful``: more than ordinary parts or comfortable
        margins allow, but not more than the means could ever do. ``useless``: the
        lever would be as light, but the clutch would not work. ``impossible``: nothing could.
    reasons : tuple of str
        Why, with numbers.
    dependable, utmost : float
        Share that may come off, see `clutchwright.study.means` [-].
    floor_share : float
        Share that no leverage within today's travel can pass, whatever happens to the clutch [-].
    states : tuple of State
        Today, at the dependable end, at the utmost end, and where the means is taken as far as claimed.
    odds : Odds | None
        None unless asked for.
    """

    name: str
    means: str
    share: float
    word: ClaimWord
    reasons: tuple[str, ...]
    dependable: float
    utmost: float
    floor_share: float
    states: tuple[State, ...]
    odds: Odds | None


def read_share(text: str) -> float:
    """Share [-] from a percentage as typed, such as ``50%`` or ``60 % lighter``.

    Raises `InputError` where it is none from 1 to 99.
    """
    typed = _SAID.fullmatch(text.strip().lower())
    value = float(typed["number"].replace(",", ".")) if typed else np.nan
    if not _LOW <= value <= _HIGH:
        raise InputError("--says", text, f"give a percentage from {_LOW:g} to {_HIGH:g}, such as 50%")
    return value / 100.0


def judge_claim(measured: MeasuredBike, *, share: float, by: str, sample: Sample | None = None) -> Claim:
    """Judge a claim.

    Parameters
    ----------
    measured : MeasuredBike
        The bike as filed.
    share : float
        Share of the peak pull said to come off [-].
    by : str
        Key of ``MEANS``, or a kind of change.
    sample : Sample | None
        Possible bikes for the odds; None for none.

    Returns
    -------
    Claim
        See there.

    Raises
    ------
    InputError
        For means that are not known.
    Refusal
        Where the means cannot be had on this bike.
    """
    means, bike = find_means(by), assemble(measured)
    ends = means.dependable(bike), means.utmost(bike)
    dependable, utmost = (float(_gain(bike, end)[0]) for end in ends)
    states = [
        State(label, _figures(end)) for label, end in zip(("today", "dependable", "utmost"), (bike, *ends), strict=True)
    ]
    amount = _amount_for(bike, means, share)
    if amount is not None and means.pushed is not None:
        states.append(State("as claimed", _figures(means.pushed(bike, amount))))
    floor_share = 1.0 - states[0].figures["floor_N"] / states[0].figures["pull_peak_N"]
    word = _word(means, share, dependable, utmost, floor_share)
    return Claim(
        name=measured.name,
        means=means.key,
        share=share,
        word=word,
        reasons=tuple(_reasons(bike, means, word, share, amount, states)),
        dependable=dependable,
        utmost=utmost,
        floor_share=floor_share,
        states=tuple(states),
        odds=None if sample is None else _odds(measured, means, share, sample),
    )


def _figures(bike: Bike) -> dict[str, float]:
    return {key: float(value) for key, value in measure(bike, respond(bike)).items()}


def _gain(before: Bike, after: Bike) -> Array:
    """Share that comes off; what would make the lever heavier is left alone."""
    return np.maximum(reduction(before, after), 0.0)


def _amount_for(bike: Bike, means: Means, share: float) -> float | None:
    """How far a means must be pushed for a share to come off; as far as it goes where that is not enough."""
    pushed = means.pushed
    if pushed is None:
        return None

    def surplus(amount: Array) -> Array:
        return reduction(bike, pushed(bike, float(amount[0]))) - share

    return float(increasing_root(surplus, np.zeros(1), np.full(1, MOST_PUSHED))[0])


def _word(means: Means, share: float, dependable: float, utmost: float, floor_share: float) -> ClaimWord:
    if share <= dependable:
        return "holds"
    if share <= utmost:
        return "doubtful"
    beyond_all = means.pushed is None or (_kin(means) == "leverage" and not share <= floor_share)
    return "impossible" if beyond_all else "useless"


def _kin(means: Means) -> str:
    return means.family or means.key


# Reasons


def _reasons(
    bike: Bike, means: Means, word: ClaimWord, share: float, amount: float | None, states: list[State]
) -> Iterator[str]:
    today, dependable, utmost = (state.figures for state in states[:3])
    by = _kin(means)
    if word == "impossible" and by == "leverage":
        yield _below_floor(bike, share, today)
    elif word == "impossible":
        left = f"{utmost['pull_peak_N']:.0f} N would be left"
        yield f"{_NOTHING_LEFT[by]}, {left}; the claim asks for {_asked(share, today)}."
    elif word == "useless" and amount is not None:
        yield _BROKEN[by](amount, states[3].figures)
    elif word == "doubtful":
        yield f"Down to {utmost['pull_peak_N']:.0f} N at the utmost: {_EDGE[by]}."
    yield f"{dependable['pull_peak_N']:.0f} N for today's {today['pull_peak_N']:.0f} N: {_DEPENDABLE[by]}."
    built = tuple(_built(bike, means))
    yield from built
    if built:
        yield _IF_MEASURED_RIGHT
    if by == "leverage":
        yield _further_out(bike, share)


def _built(bike: Bike, means: Means) -> Iterator[str]:
    """What the dependable end is made of, as far as it is one length."""
    end = means.dependable(bike)
    arm, lever, radius = (float(each) * 1e3 for each in (bike.arm.length, bike.lever.finger_radius, _cable_end(bike)))
    if means.key == "leverage":
        times = float(end.line.ratio / bike.line.ratio)
        yield (
            f"That is {times:.2f} times the leverage: an arm of {arm * times:.1f} mm for today's {arm:.1f} mm, or a "
            f"lever with a cable radius of {radius / times:.1f} mm for today's {radius:.1f} mm."
        )
    elif means.key == "arm-length":
        yield f"That is an arm of {float(end.arm.length) * 1e3:.1f} mm for today's {arm:.1f} mm."
    elif means.key == "cable-radius":
        yield f"That is a cable radius of {_cable_end(end) * 1e3:.1f} mm for today's {radius:.1f} mm."
    elif means.key == "perch-shift":
        point = float(end.lever.finger_radius) * 1e3
        yield f"That is a finger point {point:.0f} mm from the pivot for today's {lever:.0f} mm."


def _cable_end(bike: Bike) -> float:
    return float(bike.lever.cable_end.radius)


def _asked(share: float, today: dict[str, float]) -> str:
    return f"{(1.0 - share) * today['pull_peak_N']:.0f} N"


def _percent(part: float) -> str:
    return f"{100.0 * part:.0f}\N{NO-BREAK SPACE}%"


def _below_floor(bike: Bike, share: float, today: dict[str, float]) -> str:
    travel = float(bike.lever.full_travel - bike.lever.free_play) * 1e3
    asked, floor = (1.0 - share) * today["pull_peak_N"], today["floor_N"]
    digits = 0 if round(asked) < round(floor) else 1
    return (
        f"The claim asks for {asked:.{digits}f} N, below the floor of {floor:.{digits}f} N: lifting the plate "
        f"takes a certain work, and there are {travel:.0f} mm of finger travel to do it in. No lever, cam or linkage "
        "does work."
    )


def _not_released(amount: float, claimed: dict[str, float]) -> str:
    return (
        f"With {1.0 / (1.0 - amount):.2f} times the leverage the lever would take {claimed['pull_peak_N']:.0f} N, but "
        f"lift only {claimed['lift_full_mm']:.2f} mm of the {claimed['lift_needed_mm']:.2f} mm that a clean release "
        "needs: it would drag with the lever in."
    )


def _slipping(amount: float, claimed: dict[str, float]) -> str:
    return (
        f"With {_percent(1.0 - amount)} of the springs' rate the lever would take {claimed['pull_peak_N']:.0f} N, but "
        f"worn and hot the clutch would carry only {claimed['slip_margin_hot']:.2f} times the torque asked: it would "
        "slip."
    )


def _not_returning(amount: float, claimed: dict[str, float]) -> str:
    return (
        f"The lever would take {claimed['pull_peak_N']:.0f} N, but only {_percent(1.0 - amount)} of the tension that "
        f"brings the arm back would be left (more than {_percent(RETURN_SHARE)} needed): it might stay in."
    )


def _further_out(bike: Bike, share: float) -> str:
    """Leverage that is paid for with travel rather than lift."""
    lever, wider = bike.lever, 1.0 / (1.0 - share)
    ends = "" if lever.blade_length is None else f", where the blade ends at {float(lever.blade_length) * 1e3:.0f} mm"
    return (
        f"Fingers further out on the same lever would need no lift: {_percent(share)} off asks for a finger point "
        f"{float(lever.finger_radius) * wider * 1e3:.0f} mm from the pivot{ends}, and "
        f"{float(lever.full_travel) * wider * 1e3:.0f} mm of finger travel for today's "
        f"{float(lever.full_travel) * 1e3:.0f} mm."
    )


def _off_the_blade(amount: float, claimed: dict[str, float]) -> str:
    return (
        f"With the fingers {1.0 / (1.0 - amount):.2f} times as far from the pivot the lever would take "
        f"{claimed['pull_peak_N']:.0f} N, but there is no blade to pull on out there."
    )


_IF_MEASURED_RIGHT = (
    "Do not build that length: it is right only if every measurement is. What is not known for sure needs more to "
    "spare; an assessment of that very change says how likely it drags, and the study keeps that below a limit."
)
_BROKEN = {
    "leverage": _not_released,
    "springs": _slipping,
    "assist": _not_returning,
    "perch": _off_the_blade,
}
_NOTHING_LEFT = {
    "friction": "Without any friction at all",
    "hydraulic": "With a line that loses nothing",
    "anything": (
        "Without any friction, with springs about to slip, a helper that all but holds the lever in, and leverage "
        "about to drag"
    ),
}
_EDGE = {
    "leverage": "all the leverage that still just releases, nothing to spare",
    "springs": "the softest springs that just do not slip, worn and hot, nothing to spare",
    "friction": "no friction anywhere, which no part reaches",
    "hydraulic": "a line that loses nothing, which no part reaches",
    "assist": "a helper shaped to take its share at each position, which no plain spring does",
    "perch": "the last of the blade",
    "anything": "every means at its utmost at once, nothing to spare anywhere",
}
_DEPENDABLE = {
    "leverage": "leverage that keeps a comfortable release margin",
    "springs": "softer springs that keep a comfortable slip margin, worn and hot",
    "friction": "a cable in good order",
    "hydraulic": "an ordinary hydraulic line",
    "assist": "an ordinary assist spring that leaves the lever a quarter of its return",
    "perch": "the perch moved as far as is usual and the blade allows",
    "anything": "a cable in good order, softer springs, an assist spring and leverage, with comfortable margins",
}


# Odds


def _odds(measured: MeasuredBike, means: Means, share: float, sample: Sample) -> Odds:
    blocks = [_gains(measured, means, sample, start) for start in range(0, sample.size, _BLOCK)]
    dependable, utmost = (np.concatenate(column) for column in zip(*blocks, strict=True))
    return Odds(
        samples=sample.size,
        seed=sample.seed,
        dependable=_quantiles(dependable),
        utmost=_quantiles(utmost),
        comfortable=float(np.mean(dependable >= share)),
        possible=float(np.mean(utmost >= share)),
    )


def _gains(measured: MeasuredBike, means: Means, sample: Sample, start: int) -> tuple[Array, Array]:
    """Share that may come off at either end, for one block of possible bikes; shape (block,)."""
    bike = assemble(measured, {key: values[start : start + _BLOCK] for key, values in sample.values.items()})
    size = (min(_BLOCK, sample.size - start), 1)
    dependable, utmost = (
        np.broadcast_to(_gain(bike, end(bike)), size)[:, 0] for end in (means.dependable, means.utmost)
    )
    return dependable, utmost


def _quantiles(values: Array) -> tuple[float, float, float]:
    low, middle, high = np.quantile(values, (0.05, 0.5, 0.95)).tolist()
    return low, middle, high
