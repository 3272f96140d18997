"""A study whose bike misses the limits or the hand's reach as it stands: said first, with ways on; and its budget."""

from __future__ import annotations

from clutchwright.numbers import decimal_text, with_unit
from clutchwright.report.chances import faults
from clutchwright.report.words import share
from clutchwright.study.limits import Budget, Limits
from clutchwright.study.search import SearchResult, Setup

_LIMIT = {"slips": "on slipping", "does_not_release": "on the release", "touches": "on touching"}


def missed_today(result: SearchResult, asked: Limits) -> str:
    """That the bike as it is misses the limits, and that no combination mends it."""
    broken = asked.broken(result.today.probability, result.samples)
    told = "; ".join(faults(broken, result.today.probability, result.samples, asked))
    return f'Your bike as it stands {told}, and no combination in "{result.catalogue}" mends that.'


def loosened(setup: Setup, result: SearchResult, asked: Limits) -> str:
    """How far the limits would have to be loosened for a setup that makes nothing worse."""
    broken = asked.broken(setup.probability, result.samples)
    needs = " and ".join(f"the limit {_LIMIT[event]} loosened to {share(setup.probability[event])}" for event in broken)
    return f"Of those that make nothing worse, this one needs the least: {needs}"


def ways_on(result: SearchResult) -> tuple[str, ...]:
    """What to do next where the limits or the reach are missed."""
    found = []
    if result.asked is not None:
        found.append(
            "How often it goes wrong is part doubt, part the bike itself: what to measure first to be surer, the "
            'question "What should I measure next?" says (on the command line: measure).'
        )
    has_screw = any(option.choices[0].kind == "reach-screw" for option in result.options)
    if result.reach_mm is not None and result.today.rest_span_mm > result.reach_mm and not has_screw:
        found.append(
            f"The lever is {_mm(result.today.rest_span_mm)} away, the hand reaches {reach_text(result)}: a reach screw "
            f"costs nothing and is not in this list; add it, turned to {_mm(result.reach_mm)}."
        )
    return tuple(found)


def refusals(result: SearchResult) -> tuple[str, ...]:
    """Why changes are refused: a line for each kind that is refused, whatever its values."""
    alike: dict[tuple[str, ...] | str, list[str]] = {}
    for refused in result.refused:
        kinds = tuple(step.kind for step in refused.steps)
        alike.setdefault(kinds or refused.reason, []).append(refused.reason)
    return tuple(
        f"{reasons[0]} ({len(reasons)} values of it are refused)" if len(reasons) > 1 else reasons[0]
        for reasons in alike.values()
    )


def out_of_reach(result: SearchResult, setup: Setup) -> bool:
    """Whether a lever is further away than the hand reaches, its doubt included."""
    if result.reach_mm is None:
        return False
    return setup.rest_span_mm > result.reach_mm + (result.reach_u_mm or 0.0)


def reach_text(result: SearchResult) -> str:
    """Reach of the hand with its doubt, such as ``78 \u00b1 12 mm``."""
    reach, u = (decimal_text(each or 0.0, 0) for each in (result.reach_mm, result.reach_u_mm))
    return with_unit(reach if u == "0" else f"{reach}\N{NO-BREAK SPACE}\N{PLUS-MINUS SIGN}\N{NO-BREAK SPACE}{u}", "mm")


def spent_at_most(budget: Budget) -> str:
    """What the setups may cost, to end a sentence with; empty without a limit."""
    amounts = (
        *((f"{budget.money:g} of money",) if budget.money is not None else ()),
        *((f"{budget.hours:g} h of work",) if budget.hours is not None else ()),
    )
    return f", and only setups for at most {' and '.join(amounts)} count" if amounts else ""


def _mm(length: float) -> str:
    return with_unit(decimal_text(length, 0), "mm")
