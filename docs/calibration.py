"""Does the study's advice fail as seldom as it says? Synthetic bikes with a hidden truth, measured with error.

    python -m docs.calibration          draw page and picture from the counts in docs/study/calibration.csv
    python -m docs.calibration 200      count anew, with so many bikes (some ten minutes on two cores)

A bike is drawn around an invented one: that is the truth. Its owner measures it with the instruments' uncertainty and
files it. The study recommends a setup from the file alone, which is then worked out on the truth.
"""

from __future__ import annotations

import csv
import math
import multiprocessing
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np
from scipy.stats import binomtest

from clutchwright import bikefile, usecases
from clutchwright.bikefile import MeasuredBike
from clutchwright.errors import InputError, Refusal
from clutchwright.quantity import Quantity, unit_of
from clutchwright.study import catalogue
from clutchwright.study.catalogue import Catalogue
from clutchwright.study.limits import Limits
from clutchwright.study.outcomes import outcomes
from clutchwright.study.refine import refine
from clutchwright.study.search import Setup, search
from clutchwright.study.tolerance import Sample, random_values
from docs.drawing.sheet import Sheet

COUNTS = Path(__file__).parent / "study" / "calibration.csv"
PAGE = Path(__file__).parent / "study" / "calibration.md"
PICTURE = Path(__file__).parent / "pictures" / "calibration.svg"
LIMITS = (0.01, 0.03, 0.1, 0.3)
EVENTS = ("slips", "does_not_release", "touches")
SAMPLES, SEED = 1024, 20
CATALOGUE = """schema = 1
name = "Close to every limit (invented)"

[[option]]
name = "Softer springs"
change = "springs-softer"
rate_share = { values = [0.72, 0.76, 0.8, 0.84, 0.88, 0.92, 0.96] }

[[option]]
name = "Longer release arm"
change = "arm-length"
length_mm = { range = [33, 42] }

[[option]]
name = "Grippier plates"
change = "plates"
friction_share = 1.15
"""
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class Owners:
    """How far bikes differ, and how well their owners know them.

    Parameters
    ----------
    spread : float
        How far bikes lie from the invented one, in standard uncertainties of a measurement [-].
    relative : bool
        Whether errors grow with the value, as the study takes them (lognormal), or keep their size (normal).
    error : float
        True error of a measurement over the uncertainty that is filed [-]; 1 for an honest file.
    """

    spread: float
    relative: bool
    error: float = 1.0

    def measured(self, key: str, usual: Quantity, truth: float, score: float) -> Quantity:
        """What the owner files of a true value, for a standard normal score."""
        if not self.relative or usual.value <= 0.0 or unit_of(key) == "°":
            return replace(usual, value=truth + self.error * usual.u * score)
        share = usual.u / usual.value
        spread = math.sqrt(math.log1p(share**2))
        # the filed value stands for the mean, which lies above the middle of a lognormal distribution
        value = truth * math.exp(self.error * spread * score + 0.5 * spread**2)
        return replace(usual, value=value, u=share * value)


OWNERS = {"in proportion": Owners(2.0, relative=True), "of one size": Owners(2.0, relative=False)}


@dataclass(frozen=True, slots=True)
class Advice:
    """What became of the advice for one bike at one limit.

    Parameters
    ----------
    given : bool
        Whether any setup keeps the limits.
    possible : bool
        Whether the true bike allows its changes.
    stated, rechecked : tuple of float
        Probability of each of ``EVENTS`` by the study, and by other possible bikes of the same file [-].
    failed : tuple of bool
        Whether each happens to the true bike.
    """

    given: bool
    possible: bool = False
    stated: tuple[float, ...] = ()
    rechecked: tuple[float, ...] = ()
    failed: tuple[bool, ...] = ()


def true_bike(bike: MeasuredBike, owners: Owners, rng: np.random.Generator) -> MeasuredBike:
    """A bike that might stand in a garage; what nobody measured is drawn as it is assumed."""
    wide = {
        key: each if each.assumed else replace(each, u=owners.spread * each.u) for key, each in bike.quantities.items()
    }
    while True:
        drawn = random_values(wide, 1, rng)
        values = {key: float(drawn[key].item()) if key in drawn else each.value for key, each in wide.items()}
        truth = _filed(replace(bike, quantities={key: Quantity(value, 0.0, "manual") for key, value in values.items()}))
        if truth is not None:
            return truth


def filed_bike(bike: MeasuredBike, truth: MeasuredBike, owners: Owners, rng: np.random.Generator) -> MeasuredBike:
    """The bike as its owner files it; measured again where no file would take the values."""
    while True:
        scores = dict(zip(bike.quantities, rng.standard_normal(len(bike.quantities)).tolist(), strict=True))
        filed = {
            key: each if each.assumed else owners.measured(key, each, truth.quantities[key].value, scores[key])
            for key, each in bike.quantities.items()
        }
        found = _filed(replace(bike, quantities=filed))
        if found is not None:
            return found


def _filed(bike: MeasuredBike) -> MeasuredBike | None:
    """The bike as it comes back from its file; None where no file would take it."""
    try:
        return bikefile.loads(bikefile.dumps(bike), "filed")
    except InputError:
        return None


def recommended(filed: MeasuredBike, options: Catalogue, limit: float, sample: Sample) -> Setup | None:
    """The lightest setup that keeps the limits, its free values refined; None where none keeps them."""
    found = search(filed, options, sample=sample, limits=Limits(limit, limit))
    if not found.front:
        return None
    return refine(filed, replace(found, front=found.front[:1]), sample=sample).front[0]


def advice(filed: MeasuredBike, truth: MeasuredBike, options: Catalogue, limit: float, sample: Sample) -> Advice:
    """What the study recommends, and how it turns out."""
    setup = recommended(filed, options, limit, sample)
    if setup is None:
        return Advice(given=False)
    try:
        events = outcomes(truth, setup.steps, {}, size=1).events
    except Refusal:
        return Advice(given=True)
    values = random_values(filed.quantities, sample.size, np.random.default_rng((sample.seed, sample.size)))
    again = outcomes(filed, setup.steps, values, size=sample.size).events
    return Advice(
        given=True,
        possible=True,
        stated=tuple(setup.probability[event] for event in EVENTS),
        rechecked=tuple(float(np.mean(again[event])) for event in EVENTS),
        failed=tuple(bool(events[event][0]) for event in EVENTS),
    )


def trial(
    number: int,
    bike: MeasuredBike,
    options: Catalogue,
    owners: Owners,
    limits: Sequence[float] = LIMITS,
    samples: int = SAMPLES,
) -> list[Advice]:
    """One synthetic bike: the advice at each limit."""
    rng = np.random.default_rng((SEED, number))
    truth = true_bike(bike, owners, rng)
    filed = filed_bike(bike, truth, owners, rng)
    sample = Sample(number, samples, random_values(filed.quantities, samples, np.random.default_rng(number)))
    return [advice(filed, truth, options, limit, sample) for limit in limits]


@dataclass(frozen=True, slots=True)
class Count:
    """How the advice turned out over all bikes, for one kind of owners, limit and event."""

    owners: str
    limit: float
    event: str
    bikes: int
    given: int
    possible: int
    stated: float
    rechecked: float
    failed: int

    @property
    def interval(self) -> tuple[float, float]:
        """Where the true share of failures lies, with the stated confidence (Clopper and Pearson 1934, exact)."""
        low, high = binomtest(self.failed, self.possible).proportion_ci(CONFIDENCE, "exact")
        return float(low), float(high)

    @property
    def chance(self) -> float:
        """Chance of so many failures or more if each piece of advice failed with the limit's probability."""
        return float(binomtest(self.failed, self.possible, self.limit, alternative="greater").pvalue)


def counted(owners: str, limits: Sequence[float], rows: Sequence[Sequence[Advice]]) -> list[Count]:
    """Add up the advice, a row for each bike and in it one for each limit."""
    found = []
    for limit, column in zip(limits, zip(*rows, strict=True), strict=True):
        done = [each for each in column if each.possible]
        given = sum(each.given for each in column)
        for place, event in enumerate(EVENTS):
            stated, again, failed = (
                [getattr(each, name)[place] for each in done] for name in ("stated", "rechecked", "failed")
            )
            means = (round(float(np.mean(part)), 6) if done else 0.0 for part in (stated, again))
            found.append(Count(owners, limit, event, len(column), given, len(done), *means, sum(failed)))
    return found


def count_anew(bikes: int) -> list[Count]:
    """Go through so many synthetic bikes on all cores."""
    bike = usecases.read_demo()
    options = catalogue.loads(CATALOGUE, "calibration")
    found = []
    with ProcessPoolExecutor(mp_context=multiprocessing.get_context("spawn")) as pool:
        for name, owners in OWNERS.items():
            one = partial(trial, bike=bike, options=options, owners=owners)
            found += counted(name, LIMITS, list(pool.map(one, range(bikes))))
    return found


def read_counts() -> list[Count]:
    """The counts in docs/study/calibration.csv."""
    with COUNTS.open(encoding="utf-8", newline="") as file:
        kinds = {"owners": str, "event": str, "limit": float, "stated": float, "rechecked": float}
        return [
            Count(**{key: kinds.get(key, int)(value) for key, value in row.items()}) for row in csv.DictReader(file)
        ]


def write_counts(counts: Sequence[Count]) -> None:
    """Write the counts to docs/study/calibration.csv."""
    with COUNTS.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(asdict(counts[0])), lineterminator="\n")
        writer.writeheader()
        writer.writerows(asdict(count) for count in counts)


# Picture and page

WORDS = {"slips": "Slips, worn and hot", "does_not_release": "Does not release"}
LOOKS = {"in proportion": "travel", "of one size": "force"}
TICKS = (0.0, 0.01, 0.03, 0.1, 0.2, 0.3)
TOP = 0.32


def picture(counts: Sequence[Count]) -> Sheet:
    """Stated limit against the share that failed, with the interval of each; the line is as stated."""
    sheet = Sheet(860, 470, "How often the recommended setup truly fails, against how often it may")
    for place, event in enumerate(WORDS):
        _panel(sheet, 70.0 + 410.0 * place, event, [count for count in counts if count.event == event])
    for place, (owners, look) in enumerate(LOOKS.items()):
        sheet.circle((80, 436 + 19 * place - 5), 4.5, f"{look}-fill")
        sheet.text((92, 436 + 19 * place), f"errors {owners}; upright: where the true share lies", f"{look} small")
    sheet.text((560, 436), "hollow: probability stated, on average", "grey small")
    sheet.text((560, 455), "dashed: failing just as often as may be", "grey small")
    return sheet


def _panel(sheet: Sheet, left: float, event: str, counts: Sequence[Count]) -> None:
    """One event: both axes by the square root, so that small shares have room and 0 a place."""

    def spot(limit: float, share: float) -> tuple[float, float]:
        across, up = ((part / TOP) ** 0.5 for part in (limit, min(share, TOP)))
        return left + 330.0 * across, 380.0 - 310.0 * up

    for tick in TICKS:
        sheet.line(spot(0.0, tick), spot(TOP, tick), "grid w1")
        sheet.text((left - 7, spot(0.0, tick)[1] + 4.5), f"{tick * 100:g}", "grey small", "end")
        sheet.text((spot(tick, 0.0)[0], 399), f"{tick * 100:g}", "grey small", "middle")
    sheet.text((left - 30, 30), WORDS[event], "ink bold")
    sheet.text((left - 30, 54), "failed, %", "grey small")
    sheet.text((left + 330, 416), "may fail at most, %", "grey small", "end")
    sheet.line(spot(0.0, 0.0), spot(TOP, TOP), "grey w1 dash")
    for count in counts:
        x, y = spot(count.limit, count.failed / count.possible)
        look = LOOKS[count.owners]
        x += -5.0 if look == "force" else 5.0
        low, high = (spot(count.limit, end)[1] for end in count.interval)
        sheet.line((x, low), (x, high), f"{look} w2")
        sheet.circle((x, y), 4.5, f"{look}-fill")
        sheet.circle((x, spot(count.limit, count.stated)[1]), 4.5, f"{look} w1")


TEXT = """@@"""


def page(counts: Sequence[Count]) -> str:
    """The page, in Markdown."""
    shown = [count for count in counts if count.event in WORDS]
    touching = sum(count.failed for count in counts if count.event == "touches")
    return TEXT.format(
        bikes=counts[0].bikes,
        spread=OWNERS[counts[0].owners].spread,
        samples=SAMPLES,
        confidence=CONFIDENCE,
        table=_table(shown),
        touching=touching or "none",
        impossible=max(count.given - count.possible for count in counts),
        **{f"{_SHORT[owners]}": _usual(owners, shown) for owners in OWNERS},
    )


_VERBS = {"slips": "slip", "does_not_release": "do not release"}
_SHORT = {"in proportion": "proportion", "of one size": "one_size"}


def _usual(owners: str, counts: Sequence[Count]) -> str:
    """What became of the advice at the usual limit."""
    rows = [count for count in counts if count.owners == owners and count.limit == LIMITS[0]]
    return " and ".join(
        f"{count.failed} of {count.possible} {_VERBS[count.event]} ({_span(count)}, stated {count.stated:.1%})"
        for count in rows
    )


def _span(count: Count) -> str:
    return " to ".join(f"{end:.1%}" for end in count.interval)


def _table(counts: Sequence[Count]) -> str:
    head = ("errors", "may fail", "what", "advised", "stated", "other draws", "failed", "interval", "chance")
    rows = [
        (
            count.owners,
            f"{count.limit:.0%}",
            _VERBS[count.event],
            f"{count.possible} of {count.bikes}",
            f"{count.stated:.1%}",
            f"{count.rechecked:.1%}",
            f"{count.failed} ({count.failed / count.possible:.1%})",
            _span(count),
            f"{count.chance:.2f}",
        )
        for count in counts
    ]
    return "\n".join(f"| {' | '.join(row)} |" for row in (head, ("---",) * len(head), *rows))


if __name__ == "__main__":
    if len(sys.argv) > 1:
        write_counts(count_anew(int(sys.argv[1])))
    found = read_counts()
    PAGE.write_text(page(found), "utf-8", newline="\n")
    PICTURE.write_text(picture(found).svg(), "utf-8", newline="\n")
