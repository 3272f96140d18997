"""What a lever asks of a hand, in sentences, tables and data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from clutchwright.hand.day import DAY_ASSUMPTION, MEDICAL_CAUTION
from clutchwright.hand.estimate import Basis, Estimate
from clutchwright.hand.fingers import FINGERS
from clutchwright.hand.hand import CAPACITY_ASSUMPTION
from clutchwright.hand.strain import STRAIN_INDEX_LIMIT
from clutchwright.handfile import LAYOUT, MeasuredHand
from clutchwright.numbers import decimal_text, estimate_text, quantity_text, with_unit
from clutchwright.plain import printable
from clutchwright.report.table import Column, Row, Table
from clutchwright.report.words import counted, drawn, share
from clutchwright.study.assessment import Assessment
from clutchwright.study.hand_assessment import LONGEST_H, HandAssessment, PostureEffort
from clutchwright.tomlfile.layout import entry_of

_BASES: dict[Basis, str] = {
    "found": "published",
    "memory": "published, from memory",
    "derived": "worked out from published numbers",
    "assumed": "assumed",
    "measured": "measured or told by the rider",
}
# parts of the capacity: name, and the key whose ending gives the unit it is shown in
_PARTS: dict[str, tuple[str, str, float]] = {
    "strength": ("Grip at its best span", "_N", 1.0),
    "optimum_span": ("Best span", "_mm", 1e3),
    "span_slope": ("Lost for each centimetre beyond it", "", 1e-2),
    "fingers": ("Left by the pulling fingers", "", 1.0),
    "wrist": ("Left by the wrist's angle", "", 1.0),
    "forearm": ("Left by the palm turned down", "", 1.0),
    "side": ("Left by this hand against the better one", "", 1.0),
    "glove": ("Left by the glove", "", 1.0),
    "condition": ("Left by the condition", "", 1.0),
    "reach": ("Comfortable reach", "_mm", 1e3),
    "finger_thickness": ("Depth of a finger on the grip", "_mm", 1e3),
}


_WHERE = {"seated": "in the saddle", "standing": "standing on the footrests"}
_CANNOT = "cannot be pulled"
_SEATED_ONLY = ("Span at that peak", "Holding", "Holding without friction's help")


@dataclass(frozen=True, slots=True)
class HandText:
    """All there is to read about a lever in a hand.

    Parameters
    ----------
    name : str
        The hand's name.
    light : bool
        Whether it is light enough for the time wanted.
    answer : str
        One sentence or two: share, hours, the pull that would do.
    points : tuple of str
        Reach, release, standing.
    effort, opinions, parts : Table
        The effort; what other models say; what the hand's capacity is made of.
    cautions : tuple of str
        What is assumed, and the medical caution.
    """

    name: str
    light: bool
    answer: str
    points: tuple[str, ...]
    effort: Table
    opinions: Table
    parts: Table
    cautions: tuple[str, ...]


def hand_text(assessment: Assessment) -> HandText | None:
    """What to read about the hand of an assessment; None without one."""
    hand = assessment.hand
    if hand is None:
        return None
    before = assessment.before.hand if assessment.before else None
    return HandText(
        name=printable(hand.told.name),
        light=hand.light_enough,
        answer=_answer(hand),
        points=(
            *_beyond(hand),
            *_standing(hand),
            *_reach(hand),
            *_certainty(hand, assessment.sampled.samples if assessment.sampled else 0),
        ),
        effort=_effort_table(hand, before),
        opinions=_opinions_table(hand, before),
        parts=_parts_table(hand),
        cautions=(f"Assumed: {CAPACITY_ASSUMPTION}.", f"Assumed: {DAY_ASSUMPTION}.", MEDICAL_CAUTION),
    )


def hours_text(hours: float) -> str:
    """Riding time in words; the models end at eight hours."""
    if hours >= LONGEST_H:
        return f"{LONGEST_H:g}\N{NO-BREAK SPACE}h or more"
    if hours < 0.1:
        return "no time" if hours < 1.0 / 60.0 else f"{hours * 60.0:.0f}\N{NO-BREAK SPACE}min"
    return f"{decimal_text(hours, 1)}\N{NO-BREAK SPACE}h"


def riding_text(hand: HandAssessment) -> str:
    """The kind of riding in words."""
    named = hand.riding.key.replace("_", " ")
    return "riding as you counted it" if named == "own" else f"{named} riding"


def fingers_text(hand: HandAssessment) -> str:
    """The pulling fingers in words."""
    *first, last = hand.pulling
    if hand.pulling == FINGERS:
        return "all four fingers"
    return f"{', '.join(first)} and {last} finger" if first else f"the {last} finger alone"


def effort_text(posture: PostureEffort) -> str:
    """The peak effort, such as ``97 %``, rounded as in the table of it."""
    peak = 100.0 * posture.effort_peak
    return with_unit(estimate_text(peak, peak * posture.spread), "%")


def _answer(hand: HandAssessment) -> str:
    worst = max(hand.counting, key=lambda posture: posture.effort_peak)
    where = f"{_WHERE[worst.posture]}, {fingers_text(hand)}"
    asks = f"At its peak it takes {effort_text(worst)} of what this hand can do {where}"
    if worst.effort_peak >= 1.0:
        lasts = "more than it has"
    else:
        ten = hours_text(worst.hours_p10)
        lasts = f"light enough for {hours_text(worst.hours_p50)} of {riding_text(hand)} (nine in ten such hands: {ten})"
    return f"{asks}: {lasts}. {_target(hand, worst)}"


def _target(hand: HandAssessment, worst: PostureEffort) -> str:
    hours = f"{hand.hours:g}\N{NO-BREAK SPACE}h"
    once, short, most, ten = (
        with_unit(decimal_text(pull, 0), "N")
        for pull in (worst.once_pull_N, worst.short_pull_N, worst.target_pull_N, worst.target_pull_p10_N)
    )
    can = f"This hand can just pull {once} once; for half an hour the peak pull should be at most {short}"
    if worst.target_pull_N <= 0.0:
        return f"{can}, and none is light enough for {hours}."
    tenth = f"; {ten} would do for nine in ten such hands" if worst.target_pull_p10_N > 0.0 else ""
    return f"{can}, for {hours} at most {most}{tenth}."


def _beyond(hand: HandAssessment) -> tuple[str, ...]:
    """Why the second opinions are silent."""
    if hand.seated.day.pulled:
        return ()
    held = share(hand.seated.effort_hold)
    return (
        f"In the saddle this hand cannot pull the lever in; once in, holding would take {held}, with friction's help.",
    )


def _standing(hand: HandAssessment) -> tuple[str, ...]:
    """What standing would take, where it does not count."""
    if hand.standing is None or hand.riding.standing:
        return ()
    name, takes = riding_text(hand), effort_text(hand.standing)
    return (f"{name.capitalize()} counts in the saddle alone; standing on the footrests it takes {takes}.",)


def _reach(hand: HandAssessment) -> tuple[str, ...]:
    found = hand.reach
    reach = quantity_text("_mm", found.reach_mm, found.reach_u_mm)
    rest = with_unit(decimal_text(found.rest_span_mm, 0), "mm")
    side = "within" if found.reaches else "beyond"
    points = [f"The lever at rest, {rest} from the grip, is {side} the comfortable reach of {reach}."]
    if found.to_release_mm != found.to_release_mm:
        points.append("It never gets to a clean release.")
    elif found.to_release_mm < 0.0:
        points.append("Even where the clutch releases the lever is beyond the reach.")
    if found.finger_mm > 0.0 and found.after_release_mm < 0.0:
        room = with_unit(decimal_text(found.after_release_mm + found.finger_mm, 0), "mm")
        finger = with_unit(decimal_text(found.finger_mm, 0), "mm")
        points.append(
            f"Fingers left on the grip are {finger} deep, and between clean release and stop there are {room}: "
            "unless the stop was measured with them there, the lever squeezes them before the clutch releases."
        )
    elif found.after_release_mm < 0.0:
        points.append("The lever meets its stop before the clutch releases.")
    return tuple(points)


def _certainty(hand: HandAssessment, samples: int) -> tuple[str, ...]:
    points = []
    tires = hand.seated.tires
    if tires is not None:
        hours = f"{hand.hours:g}\N{NO-BREAK SPACE}h"
        lot = drawn(samples, "hands and bikes")
        points.append(f"{lot}, {counted(tires, samples)} tire before {hours} in the saddle.")
    if hand.assumed:
        points.append(f"Assumed, since nobody measured or told it: {'; '.join(_assumed(hand))}.")
    if hand.riding.assumed:
        rate = hand.riding.rate * 3600.0
        points.append(f"Nobody counted the pulls of this riding: {rate:.0f} an hour of {hand.riding.hold:g} s assumed.")
    return tuple(points)


def _assumed(hand: HandAssessment) -> Iterator[str]:
    """What is assumed, each in words and with what it is taken for; how a thing is measured is no assumption."""
    told = hand.told
    for key in hand.assumed:
        section, _, name = key.partition(".")
        if key in _PARTS:
            yield _PARTS[key][0].lower()
        elif name != LAYOUT.form_keys.get(section):
            entry = entry_of(LAYOUT.form_of(section, told.choices), name)
            label = entry.label if entry else key
            yield f"{label[0].lower()}{label[1:]} ({_taken(told, key)})"


def _taken(told: MeasuredHand, key: str) -> str:
    if key in told.quantities:
        quantity = told.quantities[key]
        return quantity_text(key, quantity.value, quantity.u)
    word = told.choices[key]
    return ("yes" if word else "no") if isinstance(word, bool) else str(word).replace("_", " ")


def _columns(before: HandAssessment | None, first: str) -> tuple[Column, ...]:
    now = Column("Now" if before else "Value", number=True)
    return (Column(first), *((Column("Before", number=True),) if before else ()), now)


def _effort_table(hand: HandAssessment, before: HandAssessment | None) -> Table:
    """All of it in the saddle, and what decides of it on the footrests."""
    rows = []
    for place, posture in enumerate(hand.postures):
        was = _effort_cells(before.postures[place], hand) if before else None
        for label, (cell, note) in _effort_cells(posture, hand).items():
            standing = posture is hand.standing
            cells = (*((was[label][0],) if was else ()), cell)
            if not standing:
                rows.append(Row((label, *cells), note=note))
            elif label not in _SEATED_ONLY:
                rows.append(Row((f"{label}, standing", *cells)))
    return Table("Effort", _columns(before, "Figure"), tuple(rows))


def _effort_cells(posture: PostureEffort, hand: HandAssessment) -> dict[str, tuple[str, str]]:
    peak = quantity_text("", 100.0 * posture.effort_peak, 100.0 * posture.effort_peak * posture.spread)
    target, ten = (decimal_text(pull, 0) for pull in (posture.target_pull_N, posture.target_pull_p10_N))
    return {
        "Peak effort": (with_unit(peak, "%"), "greatest share of what the hand can do, while pulling"),
        "Span at that peak": (with_unit(decimal_text(posture.peak_span_mm, 0), "mm"), "grip to lever"),
        "Holding": (share(posture.effort_hold), "at the stop, friction helping: by the return"),
        "Holding without friction's help": (share(posture.effort_hold_unhelped), "at the stop: by the pull"),
        "Light enough for": (hours_text(posture.hours_p50), "half of such hands last longer"),
        "Nine in ten last": (hours_text(posture.hours_p10), "one in ten tires before"),
        f"Pull for {hand.hours:g} h": (with_unit(target, "N"), "peak pull that half of such hands last with"),
        f"Pull for {hand.hours:g} h, nine in ten": (with_unit(ten, "N"), "peak pull that nine in ten last with"),
    }


def _opinions_table(hand: HandAssessment, before: HandAssessment | None) -> Table:
    was = _opinion_cells(before) if before else None
    rows = [
        Row((label, *((was[label][0],) if was else ()), cell), note=note)
        for label, (cell, note) in _opinion_cells(hand).items()
    ]
    return Table("Second opinions, in the saddle", _columns(before, "Figure"), tuple(rows))


def _opinion_cells(hand: HandAssessment) -> dict[str, tuple[str, str]]:
    day, hours = hand.seated.day, f"{hand.hours:g}\N{NO-BREAK SPACE}h"
    left, mean = day.remaining_capacity, day.mean_effort_share
    index = "beyond its scale" if day.strain_index is None else decimal_text(day.strain_index, 1)
    return {
        f"Strength left after {hours}": (
            _CANNOT if left is None else share(left),
            "by a model of muscle that is at rest, at work or tired; lever held, rested after the last pull",
        ),
        "One pull can be held": (
            _CANNOT if day.holding_times is None else _holding(day.holding_times),
            "shortest and longest of the rival models of endurance",
        ),
        "Mean effort over its limit": (
            _CANNOT if mean is None else decimal_text(mean, 2),
            "above 1 is too much: 17 % of the strength on average over the ride",
        ),
        "Revised strain index": (index, f"above {STRAIN_INDEX_LIMIT:g} is too much; made for work in factories"),
        "Peak force over a limit for hands at work": (
            decimal_text(day.peak_force_index, 2),
            "above 1 is too much; made for work in factories, and for busier hands",
        ),
    }


def _holding(times: tuple[float, float, float]) -> str:
    shortest, _, longest = (f"{time:.0f}" if time < 3600.0 else "over 3600" for time in times)
    return f"{shortest} to {longest}\N{NO-BREAK SPACE}s"


def _parts_table(hand: HandAssessment) -> Table:
    rows = tuple(
        Row((_PARTS[name][0], _part_text(name, part)), note=_source(name, part))
        for name, part in hand.seated.parts.items()
        if (part.value, part.u) != (1.0, 0.0)
    )
    return Table("What this hand can do is made of", (Column("Part"), Column("Value", number=True)), rows)


def _part_text(name: str, part: Estimate) -> str:
    _, unit, factor = _PARTS[name]
    return quantity_text(unit, part.value * factor, part.u * factor)


def _source(name: str, part: Estimate) -> str:
    factor = _PARTS[name][2]
    known = "" if part.basis in part.source else f" ({_BASES[part.basis]})"
    span = ""
    if part.low is not None and part.high is not None:
        span = f"; range {part.low * factor:g} to {part.high * factor:g}"
    return f"{part.source}{known}{span}"


def hand_data(hand: HandAssessment) -> dict[str, Any]:
    """A hand's part of an assessment as data.

    Parameters
    ----------
    hand : HandAssessment
        What was found.

    Returns
    -------
    dict
        The seated posture's figures at the top, the standing one's under ``standing``, which is None without it. What
        holding costs is None where the hand cannot pull the lever in.
    """
    riding = hand.riding
    return {
        "name": hand.told.name,
        "fingers": list(hand.pulling),
        "hours": hand.hours,
        "light_enough": hand.light_enough,
        **_posture_data(hand.seated),
        "standing": _posture_data(hand.standing) if hand.standing else None,
        "reach": asdict(hand.reach) | {"reaches": hand.reach.reaches, "releases": hand.reach.releases},
        "riding": {
            "key": riding.key,
            "pulls_per_hour": riding.rate * 3600.0,
            "hold_s": riding.hold,
            "duty": riding.duty,
            "standing": riding.standing,
            "basis": riding.basis,
            "source": riding.source,
        },
        "remaining_capacity": hand.seated.day.remaining_capacity,
        "ride": {"hours": list(hand.ride_hours), "remaining": list(hand.remaining)},
        "assumed": list(hand.assumed),
        "assumptions": [CAPACITY_ASSUMPTION, DAY_ASSUMPTION],
        "caution": MEDICAL_CAUTION,
    }


def _posture_data(posture: PostureEffort) -> dict[str, Any]:
    day = posture.day
    return {
        "wrist_extension_deg": posture.wrist_extension_deg,
        "capacity_N": list(posture.capacity_N),
        "effort_share": list(posture.effort_share),
        "hold_share": list(posture.hold_share),
        "effort_peak": posture.effort_peak,
        "effort_spread": posture.spread,
        "peak_span_mm": posture.peak_span_mm,
        "effort_hold": posture.effort_hold,
        "effort_hold_unhelped": posture.effort_hold_unhelped,
        "hours_p50": posture.hours_p50,
        "hours_p10": posture.hours_p10,
        "hours_most": LONGEST_H,
        "target_pull_N": posture.target_pull_N,
        "target_pull_p10_N": posture.target_pull_p10_N,
        "once_pull_N": posture.once_pull_N,
        "short_pull_N": posture.short_pull_N,
        "tires": posture.tires,
        "acceptable_effort": day.acceptable_effort,
        "holding_time_s": None if day.holding_times is None else list(day.holding_times),
        "mean_effort_over_limit": day.mean_effort_share,
        "revised_strain_index": day.strain_index,
        "peak_force_over_limit": day.peak_force_index,
        "parts": {name: asdict(part) for name, part in posture.parts.items()},
    }
