"""What the command line, the pages and the reports call: the only door to the layers below."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import resources
from io import BytesIO
from pathlib import Path

import numpy as np

from clutchwright import bikefile, changes, handfile
from clutchwright.errors import InputError
from clutchwright.files import read_bytes, write_whole
from clutchwright.hand.hand import estimate_hand
from clutchwright.hand.riding import RIDINGS, Riding
from clutchwright.study import catalogue, kept
from clutchwright.study.assessment import Assessment, assess
from clutchwright.study.catalogue import Catalogue
from clutchwright.study.choice import Closer, chosen_of, look_closer
from clutchwright.study.claims import Claim, judge_claim, read_share
from clutchwright.study.doubt import Doubt, find_doubt
from clutchwright.study.hand_assessment import HOUR, SCORES, Rider, lever_place
from clutchwright.study.kept import Kept
from clutchwright.study.lever_position import LeverPosition, find_position
from clutchwright.study.limits import Budget, Limits
from clutchwright.study.mechanism import Mechanism, mechanism
from clutchwright.study.order import job_of
from clutchwright.study.own_list import own_list
from clutchwright.study.patterns import JudgedPattern, judge_patterns
from clutchwright.study.plan import Held, Plan, make_plan
from clutchwright.study.progress import Progress, unheard
from clutchwright.study.search import SearchResult
from clutchwright.study.studying import Reach, reach_of, study
from clutchwright.study.target import require_target
from clutchwright.study.tolerance import Sample, normal_scores, possible_bikes
from clutchwright.tomlfile.kinds import Kind, require_kind

DEMOS = ("six-spring-rack", "four-spring-ramp", "diaphragm-cam")
DEMO_HANDS = ("small-hand", "sore-thumb", "large-hand", "not-measured")
TOWN = RIDINGS["town"]
SAMPLES = 1024  # possible bikes drawn where nobody says how many, so that a chance is the same wherever it is told


def read_bike(path: Path) -> bikefile.MeasuredBike:
    """Read a bike file [path]; raises `InputError` with file, key, value and allowed range."""
    return bikefile.loads(_text(path, "bike"), str(path))


def _text(path: Path, kind: Kind) -> str:
    """Text of a file that is to be of a kind; one that is surely of another is called by its name."""
    content = read_bytes(path)
    require_kind(kind, str(path), content)
    return bikefile.decode(content, str(path))


def read_demo(name: str = DEMOS[0]) -> bikefile.MeasuredBike:
    """Read one of the invented demo bikes by a name of ``DEMOS``."""
    return bikefile.loads(demo_text(name), f"demo {name}")


def demo_text(name: str) -> str:
    """Text of a demo bike's file, by a name of ``DEMOS``."""
    if name not in DEMOS:
        raise InputError("demo", name, f"choose one of {', '.join(DEMOS)}")
    return resources.files("clutchwright").joinpath("demo", f"{name}.toml").read_text(encoding="utf-8")


def read_hand(path: Path) -> handfile.MeasuredHand:
    """Read a hand file [path]; raises `InputError` with file, key, value and allowed range."""
    return handfile.loads(_text(path, "hand"), str(path))


def read_demo_hand(name: str = DEMO_HANDS[0]) -> handfile.MeasuredHand:
    """Read one of the invented demo hands by a name of ``DEMO_HANDS``."""
    return handfile.loads(demo_hand_text(name), f"demo hand {name}")


def demo_hand_text(name: str) -> str:
    """Text of a demo hand's file, by a name of ``DEMO_HANDS``."""
    if name not in DEMO_HANDS:
        allowed = f"choose one of {', '.join(DEMO_HANDS)}"
        raise InputError("demo-hand", name, allowed)
    return resources.files("clutchwright").joinpath("demo", "hands", f"{name}.toml").read_text(encoding="utf-8")


def read_changes(path: Path) -> tuple[changes.Step, ...]:
    """Read a list of changes [path]: TOML with one [[change]] table each."""
    return changes.loads(_text(path, "changes"), str(path))


def rider(
    hand: handfile.MeasuredHand, riding: Riding = TOWN, *, hours: float = 4.0, samples: int = 0, seed: int = 1
) -> Rider:
    """Whose hand pulls, and what for.

    Parameters
    ----------
    hand : MeasuredHand
        The hand as filed.
    riding : Riding
        Kind of riding.
    hours : float
        Riding time wanted, up to 8 [h].
    samples : int
        Possible hands to draw; 0 for none [-].
    seed : int
        Seed of the draw [-].

    Returns
    -------
    Rider
        For `assess_bike`.
    """
    # a stream of its own, so that the bikes drawn are the same with and without a hand
    scores = normal_scores(samples, SCORES, np.random.default_rng((seed, SCORES))) if samples else None
    return Rider(hand, riding, hours * HOUR, scores)


def draw_bikes(bike: bikefile.MeasuredBike, samples: int, seed: int) -> Sample | None:
    """Possible bikes that fit the measurements: so many, from a seed; None for none."""
    return _drawn(bike, samples, seed) if samples else None


def _drawn(bike: bikefile.MeasuredBike, samples: int, seed: int) -> Sample:
    values = possible_bikes(bike, samples, np.random.default_rng(seed))
    return Sample(seed, samples, values)


def assess_bike(
    bike: bikefile.MeasuredBike,
    steps: Sequence[changes.Step] = (),
    *,
    samples: int = 0,
    seed: int = 1,
    rider: Rider | None = None,
    before: Assessment | None = None,
) -> Assessment:
    """Assess a bike with changes.

    Parameters
    ----------
    bike : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        Changes, in order.
    samples : int
        Possible bikes to draw; 0 for none [-].
    seed : int
        Seed of the draw [-].
    rider : Rider | None
        Hand to hold the lever against, with as many possible hands as bikes; None for none.
    before : Assessment | None
        Of the same without the changes, where it has been worked out already.

    Returns
    -------
    Assessment
        See there.
    """
    return assess(bike, steps, draw_bikes(bike, samples, seed), rider, before=before)


def show_mechanism(bike: bikefile.MeasuredBike, steps: Sequence[changes.Step] = ()) -> Mechanism:
    """How the parts of a bike with changes move, from the lever to the pack; raises `Refusal`."""
    return mechanism(changes.apply(bikefile.assemble(bike), steps))


def check_claim(bike: bikefile.MeasuredBike, says: str, by: str, *, samples: int = 0, seed: int = 1) -> Claim:
    """Judge a claim such as ``50%`` off the pull by one of the means; see `judge_claim`."""
    return judge_claim(bike, share=read_share(says), by=by, sample=draw_bikes(bike, samples, seed))


def list_patterns(
    bike: bikefile.MeasuredBike, softer: float, *, samples: int = 0, seed: int = 1
) -> tuple[JudgedPattern, ...]:
    """Every spring pattern of a bike, softer springs at a share of the rate [%]; see `judge_patterns`."""
    if not 40.0 <= softer <= 99.0:
        raise InputError("--softer", softer, "give the softer springs' rate in per cent of the fitted ones', 40 to 99")
    return judge_patterns(bike, rate_share=softer / 100.0, sample=draw_bikes(bike, samples, seed))


def plan_changes(
    bike: bikefile.MeasuredBike,
    steps: Sequence[changes.Step],
    *,
    options: Catalogue | None = None,
    target_N: float | None = None,
    limits: Limits | None = None,
    samples: int = SAMPLES,
    seed: int = 1,
) -> Plan:
    """Put changes in order, each with its reading and checks.

    Parameters
    ----------
    bike : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        The changes.
    options : Catalogue | None
        Whose prices, hours, names and parts count; None for what is typical of each kind of change.
    target_N : float | None
        Pull wanted [N].
    limits : Limits | None
        How often things may go wrong; None for the usual.
    samples : int
        Possible bikes to draw, as many as the limits can be told with [-].
    seed : int
        Seed of the draw [-].

    Returns
    -------
    Plan
        See `make_plan`.
    """
    limits = limits or Limits()
    limits.require_samples(samples)
    jobs = [job_of(step, () if options is None else options.options) for step in steps]
    held, name = Held(limits, _drawn(bike, samples, seed)), "" if options is None else options.name
    return make_plan(bike, jobs, target_N=target_N, held=held, catalogue=name)


def read_catalogue(path: Path, prices: Sequence[str] = ()) -> Catalogue:
    """Read a catalogue [path], with prices of one's own, each as ``name=price``; raises `InputError`."""
    return priced_catalogue(_text(path, "catalogue"), str(path), prices)


def priced_catalogue(text: str, source: str, prices: Sequence[str] = ()) -> Catalogue:
    """Catalogue from the text of a file, with prices of one's own; see `read_catalogue`."""
    found = catalogue.loads(text, source)
    own = {}
    for each in prices:
        name, equals, price = (part.strip() for part in each.rpartition("="))
        try:
            own[name] = float(price)
        except ValueError:
            raise InputError("--price", each, "write the option's name, =, and a number") from None
        if not equals:
            raise InputError("--price", each, "write the option's name, =, and a number")
    return found.priced(own)


def catalogue_for(bike: bikefile.MeasuredBike) -> str:
    """Text of a catalogue from a bike's own lengths, springs and count, its prices invented; see `own_list`."""
    return own_list(bike)


def demo_catalogue_text(name: str = DEMOS[0]) -> str:
    """Text of the invented catalogue for a demo bike; only the first has one."""
    if name != DEMOS[0]:
        raise InputError("demo", name, f"there is a catalogue for {DEMOS[0]} only")
    return resources.files("clutchwright").joinpath("demo", "catalogues", f"{name}.toml").read_text(encoding="utf-8")


def study_bike(
    bike: bikefile.MeasuredBike,
    options: Catalogue,
    *,
    limits: Limits | None = None,
    target_N: float | None = None,
    hand: handfile.MeasuredHand | None = None,
    samples: int = SAMPLES,
    seed: int = 1,
    budget: Budget | None = None,
    closely: bool = False,
    progress: Progress = unheard,
) -> tuple[SearchResult, int | None, Closer | None]:
    """Find the best compromises of a catalogue and choose one.

    Parameters
    ----------
    bike : MeasuredBike
        The bike as filed.
    options : Catalogue
        What could be done.
    limits : Limits | None
        How often things may go wrong; None for the usual.
    target_N : float | None
        Pull wanted [N].
    hand : MeasuredHand | None
        Whose reach counts; None for nobody's.
    samples : int
        Possible bikes to draw, as many as the limits can be told with [-].
    seed : int
        Seed of the draw [-].
    budget : Budget | None
        What may be spent; None for no limit.
    closely : bool
        Whether to look at the chosen setup more closely.
    progress : Progress
        Told how far it is.

    Returns
    -------
    tuple
        What the search found, the place of the choice in its front, and the closer look.
    """
    require_target(target_N)
    limits = limits or Limits()
    limits.require_samples(samples)
    sample = _drawn(bike, samples, seed)
    reach = None if hand is None else _reach(hand, bike)
    result = study(bike, options, sample=sample, limits=limits, reach=reach, budget=budget, progress=progress)
    chosen = chosen_of(result, target_N)
    closer = None
    if closely and chosen is not None:
        closer = look_closer(bike, result, chosen, sample, target_N=target_N)
    return result, chosen, closer


def kept_setups(
    bike: bikefile.MeasuredBike,
    result: SearchResult,
    *,
    hand: handfile.MeasuredHand | None = None,
    progress: Progress = unheard,
) -> Kept:
    """All setups of a search that keep its limits, for the same bike and hand; see `Kept`."""
    reach = None if hand is None else _reach(hand, bike).hand
    return kept.kept_setups(bike, result, hand=reach, progress=progress)


def _reach(hand: handfile.MeasuredHand, bike: bikefile.MeasuredBike) -> Reach:
    """Of a hand on a lever as the bike is."""
    today = bikefile.assemble(bike)
    return reach_of(estimate_hand(handfile.facts(hand, lever_place(today, today))))


def find_doubts(
    bike: bikefile.MeasuredBike, steps: Sequence[changes.Step] = (), *, samples: int = 0, seed: int = 1
) -> Doubt:
    """What to measure next, and what the decision hangs on; see `find_doubt`.

    Parameters
    ----------
    bike : MeasuredBike
        The bike as filed.
    steps : sequence of Step
        Changes made to it, in order.
    samples : int
        Possible bikes for each unknown, taken up to the next power of 2; 0 for shares by first order [-].
    seed : int
        Seed of the draw [-].

    Returns
    -------
    Doubt
        See there.
    """
    size = 1 << (samples - 1).bit_length() if samples else 0
    sample = _drawn(bike, SAMPLES, seed)
    return find_doubt(bike, steps, size=size, rng=np.random.default_rng(seed), sample=sample)


def write_table(path: Path, result: SearchResult) -> None:
    """Write every setup that was worked out as a Parquet file [path]: a row each, a column for each option."""
    import polars as pl

    columns: dict[str, pl.Series] = {}
    for place, option in enumerate(result.options):
        words = pl.Series(["", *map(str, option.choices)])
        columns[f"option: {option.name}"] = words.gather(result.table.choices[:, place])
    numbers = {name: pl.Series(values) for name, values in result.table.columns.items()}
    frame = pl.DataFrame({**columns, **numbers, "reason": result.table.reason})
    buffer = BytesIO()
    frame.write_parquet(buffer)
    write_whole(path, buffer.getvalue())


def lever_position(bike: bikefile.MeasuredBike, rider: Rider) -> LeverPosition:
    """Where the lever costs a hand the least effort while the clutch releases with margin; see `find_position`."""
    return find_position(bike, rider)
