"""What the search needs to know of each variant of each part, as columns: worked out by the chain's own stages."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from clutchwright.assess.figures import worn_hot_margin
from clutchwright.assess.gaps import measured_gaps
from clutchwright.bike import Bike
from clutchwright.chain import shaft_moment
from clutchwright.physics import PULL
from clutchwright.physics.arm import Arm
from clutchwright.quantity import Array, Number
from clutchwright.study.stacking import Stack, beside, form
from clutchwright.study.task import LATE, Levers, Places
from clutchwright.study.variants import PARTS, Case, Menu, Taken, Variant

ANGLES = 96  # of the arm, for the bound of the peak pull
STROKE = 201  # places of the lever at which an assist spring's help is looked at
HEAD = 6  # possible bikes, for each that may fail to release, by which a lever is refused at a glance
SAFE = 1.0 + 1e-12  # for the rounding of a quotient
SHORT = 1.0 - 1e-9  # a bike's arm is taken to turn up to this share of its dead point, as in `chain.full_angle`


def column(number: Number, size: int) -> Array:
    """A number of a sampled bike, shape (samples, 1), or one that all share, as an array of shape (samples,)."""
    array = np.asarray(number, dtype=np.float64)
    return np.broadcast_to(array[..., 0] if array.ndim else array, (size,))


@dataclass(frozen=True, slots=True)
class Column:
    """All variants of one part.

    Parameters
    ----------
    variants : list of Variant
        In the order of every array here.
    price, hours : Array
        In whole thousandths.
    stack : Stack
        The part's own stage of each.
    """

    variants: list[Variant]
    price: Places
    hours: Places
    stack: Stack


def _column(part: str, variants: list[Variant]) -> Column:
    stages = [getattr(variant.nominal, PARTS[part][0]) for variant in variants] if len(PARTS[part]) == 1 else []
    price, hours = (np.array([getattr(each, name) for each in variants], dtype=np.intp) for name in ("price", "hours"))
    return Column(variants, price, hours, Stack(stages))


@dataclass(frozen=True)
class Components:
    """All variants of all parts, and the cases in which they go together.

    Parameters
    ----------
    menu : Menu
        Where they come from.
    columns : dict of str to Column
        By part.
    cases : list of Case
        See there.
    draw : Array
        Cable drawn beyond the free play [m], shape (levers, samples).
    ratio, give : Array
        Of the lines [-, m/N], shape (lines, samples).
    arms : list of Arm
        Sampled.
    grip : Array
        Slip margin of each clutch, worn and hot, nominal [-].
    slips : Array
        How many possible bikes slip with each clutch.
    """

    menu: Menu
    columns: dict[str, Column]
    cases: list[Case]
    draw: Array
    ratio: Array
    give: Array
    arms: list[Arm]
    grip: Array
    slips: Places

    @cached_property
    def longest(self) -> float:
        """Movement at the arm that no lever and line exceed [m]."""
        return float(np.max(self.draw) / np.min(self.ratio))

    @property
    def samples(self) -> int:
        """Possible bikes."""
        return self.draw.shape[1]


def components(menu: Menu, samples: int) -> Components:
    """Work out all variants.

    Parameters
    ----------
    menu : Menu
        A bike and a catalogue.
    samples : int
        Possible bikes in the sampled bike.

    Returns
    -------
    Components
        See there.
    """

    def draw(bike: Bike) -> Array:
        return column(bike.lever.full_draw - bike.lever.free_draw, samples)

    def line(bike: Bike) -> Array:
        give = bike.line.stretch(1.0, PULL)
        return np.stack([column(bike.line.ratio, samples), column(give, samples)])

    def slips(bike: Bike) -> int:
        return int(np.count_nonzero(~(column(worn_hot_margin(bike), samples) >= 1.0)))

    levers, draws, no_levers = _worked_out(menu, "lever", draw)
    lines, gives, no_lines = _worked_out(menu, "line", line)
    arms, arm_stages, no_arms = _worked_out(menu, "arm", lambda bike: bike.arm)
    clutches, slipping, no_clutches = _worked_out(menu, "clutch", slips)
    order = sorted(range(len(levers)), key=lambda place: _reach(levers[place].nominal))
    levers, draws = [levers[place] for place in order], [draws[place] for place in order]
    variants = {"lever": levers, "line": lines, "arm": arms, "clutch": clutches}
    refused = {"lever": no_levers, "line": no_lines, "arm": no_arms, "clutch": no_clutches}
    taken = {part: [variant.taken for variant in found] for part, found in variants.items()}
    by_line = np.array(gives).reshape(len(lines), 2, samples)
    return Components(
        menu=menu,
        columns={part: _column(part, found) for part, found in variants.items()},
        cases=menu.cases(taken, refused),
        draw=np.array(draws).reshape(len(levers), samples),
        ratio=np.ascontiguousarray(by_line[:, 0]),
        give=np.ascontiguousarray(by_line[:, 1]),
        arms=arm_stages,
        grip=np.array([float(worn_hot_margin(variant.nominal)) for variant in clutches]),
        slips=np.array(slipping, dtype=np.intp),
    )


def _reach(nominal: Bike) -> float:
    return float(nominal.lever.full_draw - nominal.lever.free_draw)


def _worked_out(menu: Menu, part: str, measure: Callable[[Bike], Any]) -> tuple[list[Variant], list[Any], list[Taken]]:
    """Variants of a part, what is measured on each sampled bike, and the options of those refused."""
    variants, measured, refused = [], [], []
    for taken, bikes in menu.variants(part):
        if bikes is None:
            refused.append(taken)
            continue
        variants.append(Variant(taken, *menu.cost(part, taken), bikes[0]))
        measured.append(measure(bikes[1]))
    return variants, measured, refused


def levers_of(found: Components, places: Sequence[int], release: int) -> tuple[Levers, Places]:
    """Some levers as the inner loop takes them.

    Parameters
    ----------
    found : Components
        All variants.
    places : sequence of int
        Which levers.
    release : int
        Possible bikes that may fail to release.

    Returns
    -------
    tuple of Levers and Places
        And price and hours of each of their kinds of cost [thousandths].
    """
    column, row = found.columns["lever"], np.array(places, dtype=np.intp)
    reach = np.array([_reach(column.variants[place].nominal) for place in places])
    least, late, helps = [], [], []
    for place, draw in zip(places, reach, strict=True):
        fitted = column.variants[place].nominal.lever
        lever = replace(fitted, assist=None)
        ends = (lever.free_play, lever.travel(lever.free_draw + LATE * draw), lever.full_travel)
        start, near, end = (lever.finger_force(1.0, travel, PULL) for travel in ends)
        least.append(np.fmin(start, end))
        late.append(np.fmin(near, end))
        helps.append(np.max(fitted.help(fitted.full_travel * np.linspace(0.0, 1.0, STROKE))))
    costs, kind = np.unique(np.stack([column.price[row], column.hours[row]], axis=1), axis=0, return_inverse=True)
    glance = _glance(found.draw, row, release)
    return Levers(
        found.draw, row, reach, np.array(least), np.array(late), np.array(helps), kind.reshape(-1), *glance
    ), costs


def _glance(draw: Array, row: Places, release: int) -> tuple[Array, Array]:
    """``one`` and ``widest`` of `Levers`; no lever is refused by them where too few possible bikes are looked at."""
    head = min(HEAD * (release + 1), draw.shape[1])
    one = np.ascontiguousarray(draw[row[0], :head]) if len(row) else np.ones(head)
    if head <= release or not len(row) or np.min(one) <= 0.0:
        return one, np.full(len(row), np.inf)
    widest = np.array([np.max(draw[place, :head] / one) for place in row]) * SAFE
    return one, np.maximum.accumulate(widest)


def margins(bike: Bike, samples: int) -> dict[str, Array]:
    """What is left before each thing goes wrong in each possible bike.

    Parameters
    ----------
    bike : Bike
        Sampled.
    samples : int
        Possible bikes.

    Returns
    -------
    dict of str to Array
        ``slips``: slip margin less 1 [-]; ``does_not_release``, ``touches``: cable left to draw [m], the second to
        where parts touch, infinite where no gap was measured. Below 0 it goes wrong.
    """
    ratio, give = column(bike.line.ratio, samples), column(bike.line.stretch(1.0, PULL), samples)
    draw = column(bike.lever.full_draw - bike.lever.free_draw, samples)

    def needed(columns: tuple[Array, Array]) -> Array:
        (move,), (pull,) = columns
        return ratio * (move + give * pull)

    touches = np.full(samples, np.inf)
    if has_gaps(bike):
        touches = needed(touch_columns(bike, [bike.arm], samples)) - draw
    return {
        "slips": column(worn_hot_margin(bike), samples) - 1.0,
        "does_not_release": draw - needed(release_columns(bike, [bike.arm], samples)),
        "touches": touches,
    }


def has_gaps(bike: Bike) -> bool:
    """Whether any gap between parts was measured."""
    return bool(measured_gaps(bike, full_lift=0.0, full_angle=0.0))


def release_angle(bike: Bike) -> Number:
    """Angle of the arm where every face has its gap [rad]; NaN where the lift does not go so far."""
    return bike.lift.rotation(bike.pack.release_lift(bike.engaged_clamp) * bike.springs.bearing_ratio)


def touch_angle(bike: Bike) -> Number:
    """Angle of the arm where parts first touch.

    Parameters
    ----------
    bike : Bike
        Nominal or sampled; some gap of it was measured.

    Returns
    -------
    Number
        Rotation [rad], minus infinity where they touch at rest, NaN where they never do. Every gap closes evenly, with
        the lift or with the arm.
    """
    rest, lifted, turned = (
        measured_gaps(bike, full_lift=lift, full_angle=angle) for lift, angle in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))
    )
    # an angle below 0 would stand for a lift that the mechanism may not know
    by_lift = [
        np.where(lift < 0.0, lift, bike.lift.rotation(np.maximum(lift, 0.0) * bike.springs.bearing_ratio))
        for lift in _closing(rest, lifted)
    ]
    return np.fmin.reduce(np.broadcast_arrays(*by_lift, *_closing(rest, turned)))


def _closing(rest: Mapping[str, Any], moved: Mapping[str, Any]) -> list[Array]:
    """How far plate or arm goes until each gap is closed, from the gaps at rest and with it moved by 1.

    Minus infinity where one is closed at rest, NaN where it does not close that way.
    """
    found = []
    for name, room in rest.items():
        gap, closes = np.asarray(room), np.asarray(room - moved[name])
        at = np.where(closes > 0.0, gap / np.where(closes > 0.0, closes, 1.0), np.nan)
        found.append(np.where(gap < 0.0, -np.inf, at))
    return found


def release_columns(bike: Bike, arms: Sequence[Arm], samples: int) -> tuple[Array, Array]:
    """Cable moved [m] and pull [N] where the clutch is released.

    Parameters
    ----------
    bike : Bike
        Sampled, with the clutch in question.
    arms : sequence of Arm
        Sampled arms.
    samples : int
        Possible bikes.

    Returns
    -------
    tuple of Array
        Each of shape (arms, samples). The movement is infinite where the arm or the lift never gets there.
    """
    return _columns(bike, arms, samples, release_angle)


def touch_columns(bike: Bike, arms: Sequence[Arm], samples: int) -> tuple[Array, Array]:
    """Cable moved [m] and pull [N] where parts first touch.

    Parameters
    ----------
    bike : Bike
        Sampled, with the clutch in question; some gap of it was measured.
    arms : sequence of Arm
        Sampled arms.
    samples : int
        Possible bikes.

    Returns
    -------
    tuple of Array
        Each of shape (arms, samples). The movement is infinite where they never touch, minus infinite where they do so
        at rest.
    """
    return _columns(bike, arms, samples, touch_angle)


def _columns(bike: Bike, arms: Sequence[Arm], samples: int, where: Callable[[Bike], Number]) -> tuple[Array, Array]:
    move, pull = np.empty((2, len(arms), samples))
    groups: dict[Hashable, list[int]] = {}
    for place, arm in enumerate(arms):
        groups.setdefault(form(arm), []).append(place)
    for places in groups.values():
        fitted = replace(bike, arm=beside([arms[place] for place in places]))
        move[places], pull[places] = _moved(fitted, where(fitted), (samples, len(places)))
    return move, pull


def _moved(bike: Bike, angle: Number, shape: tuple[int, int]) -> tuple[Array, Array]:
    """Cable moved [m] and pull [N] at each of some arms, at an angle [rad], shape (arms, samples)."""
    dead = np.minimum(bike.arm.dead_rotation, bike.lift.dead_rotation) * SHORT
    never, always = ~(np.asarray(angle) <= dead), np.isneginf(angle)
    there = np.where(np.isinf(angle), np.nan, angle)
    moved = np.where(never, np.inf, np.where(always, -np.inf, bike.arm.movement(there)))
    pulled = np.maximum(bike.arm.tension(shaft_moment(bike, there, PULL), there), 0.0)
    pulled = np.where(never | always, 0.0, pulled)
    return np.broadcast_to(moved, shape).T, np.broadcast_to(pulled, shape).T


def bound_columns(found: Components, bike: Bike, arms: Sequence[int], lines: Sequence[int]) -> tuple[Array, Array]:
    """Cable drawn [m] and tension [N] at the lever for rising angles of the arm, for the bound of the peak pull.

    Parameters
    ----------
    found : Components
        All variants.
    bike : Bike
        Nominal, with the clutch in question.
    arms, lines : sequence of int
        Places of variants.

    Returns
    -------
    tuple of Array
        Each of shape (arms x lines, angles), see `Lines`. The angles begin where the pack is off the plate.
    """
    stages = [found.columns["arm"].variants[place].nominal.arm for place in arms]
    dead = [float(np.minimum(arm.dead_rotation, bike.lift.dead_rotation)) * SHORT for arm in stages]
    top = max(float(np.fmin(arm.rotation(found.longest), end)) for arm, end in zip(stages, dead, strict=True))
    band = float(bike.lift.rotation(bike.pack.squash(bike.engaged_clamp) * bike.springs.bearing_ratio))
    angles = np.linspace(band if band < top else 0.0, top, ANGLES)
    moment = shaft_moment(bike, angles, PULL)
    turned = [angles <= end for end in dead]
    move = np.array([np.where(fine, arm.movement(angles), np.inf) for fine, arm in zip(turned, stages, strict=True)])
    pull = np.array(
        [
            np.where(fine, np.maximum(arm.tension(moment, angles), 0.0), 0.0)
            for fine, arm in zip(turned, stages, strict=True)
        ]
    )
    drawn, tension = np.empty((2, len(arms), len(lines), ANGLES))
    stack, wanted = found.columns["line"].stack, np.array(lines, dtype=np.intp)
    for kind in np.unique(stack.forms[wanted]):
        same = np.flatnonzero(stack.forms[wanted] == kind)
        line = stack.take(wanted[same])
        drawn[:, same] = line.drawn(move[:, np.newaxis], pull[:, np.newaxis], PULL)
        tension[:, same] = line.lever_tension(pull[:, np.newaxis], PULL)
    return np.maximum.accumulate(drawn, axis=-1).reshape(-1, ANGLES), tension.reshape(-1, ANGLES)
