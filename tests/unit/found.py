"""What a search might have found, written by hand: five best setups of three options, and some that fell."""

from __future__ import annotations

import numpy as np

from clutchwright.changes import Step
from clutchwright.study.catalogue import Option
from clutchwright.study.limits import Limits
from clutchwright.study.search import SearchResult, Setup, Table
from clutchwright.study.variants import Refused

OIL = Option("Oil the cable", (Step("cable-service"),), 4.0, 0.5, True, ("oil",))
ARM = Option("Longer arm", tuple(Step("arm-length", {"length_mm": float(mm)}) for mm in (34, 36)), 55.0, 1.5, True)
SOFT = Option("Softer springs", (Step("springs-softer", {"rate_share": 0.9}),), 40.0, 1.0, False, ("springs", "gasket"))


def setup(pull: float, slip: float, *taken: tuple[Option, int]) -> Setup:
    options = [option for option, _ in taken]
    return Setup(
        options=tuple(option.name for option in options),
        steps=tuple(option.choices[choice] for option, choice in taken),
        pull_peak_N=pull,
        price=sum(option.price for option in options),
        hours=sum(option.hours for option in options),
        slip_margin_hot=slip,
        probability={"slips": 0.004, "does_not_release": 0.001, "touches": 0.0},
        rest_span_mm=78.0,
        reversible=all(option.reversible for option in options),
        parts=tuple(part for option in options for part in option.parts),
    )


FRONT = (
    setup(70.0, 1.15, (OIL, 0), (ARM, 1), (SOFT, 0)),
    setup(78.0, 1.35, (OIL, 0), (ARM, 1)),
    setup(90.0, 1.15, (ARM, 0), (SOFT, 0)),
    setup(95.0, 1.35, (OIL, 0)),
    setup(107.0, 1.35),
)


def search_result(front: tuple[Setup, ...] = FRONT) -> SearchResult:
    """Twelve combinations: the best, and three that fell, one of them before its pull was known."""
    pulls = [each.pull_peak_N for each in front] + [60.0, 85.0, np.nan]
    prices = [each.price for each in front] + [20.0, 120.0, 10.0]
    columns = {"pull_peak_N": np.array(pulls), "price": np.array(prices)}
    reasons = [""] * len(front) + ["slips", "beaten", "does not release"]
    return SearchResult(
        name="Paper clutch (invented)",
        catalogue="Paper catalogue",
        samples=1000,
        seed=1,
        limits=Limits(),
        reach_mm=None,
        reach_u_mm=None,
        today=FRONT[-1],
        front=front,
        counts={"best": len(front), "slips": 1, "beaten": 1, "does not release": 5 + 5 - len(front), "touches": 0},
        refused=(Refused((Step("washers", {"thickness_mm": 3.0}),), "washers: too thick"),),
        options=(OIL, ARM, SOFT),
        table=Table(np.zeros((len(pulls), 3), dtype=np.int32), columns, reasons),
    )
