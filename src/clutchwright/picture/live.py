"""The three pictures that follow a slider: their definitions once, then only their rows."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import TypedDict

from clutchwright.picture import force, pull, travel
from clutchwright.picture.look import CONFIG, KEPT, Rows, themed
from clutchwright.study.assessment import Assessment

CHARTS = {"pull": pull, "force": force, "travel": travel}  # modules, each with KEYS, key, definition and rows
WIDTHS = range(200, 1601)  # widths that can be asked for [px]


class LiveChart(TypedDict):
    """Which definition shows an assessment, and the rows to put into it."""

    key: str
    data: Rows


def live_charts(assessment: Assessment) -> dict[str, LiveChart]:
    """What of the charts changes from one assessment to the next.

    Parameters
    ----------
    assessment : Assessment
        What to show.

    Returns
    -------
    dict of str to LiveChart
        By name of ``CHARTS``; ready for JSON, whatever the width of the charts.
    """
    return {name: {"key": chart.key(assessment), "data": chart.rows(assessment)} for name, chart in CHARTS.items()}


@lru_cache(KEPT)
def definition_json(name: str, key: str, *, width: int) -> str:
    """All else of a chart: a Vega specification with our looks and without rows, its colours variables of the page.

    Parameters
    ----------
    name : str
        One of ``CHARTS``.
    key : str
        From ``live_charts``.
    width : int
        Whole width [px], one of ``WIDTHS``.

    Returns
    -------
    str
        JSON.

    Raises
    ------
    ValueError
        Where there is no such chart, key or width.
    """
    if name not in CHARTS or key not in CHARTS[name].KEYS or width not in WIDTHS:
        message = (
            f"chart {name!r}, key {key!r}, width {width} px: must be one of {', '.join(CHARTS)}, one of its keys, and "
            f"{WIDTHS[0]} to {WIDTHS[-1]} px"
        )
        raise ValueError(message)
    import vl_convert

    # all rows are finite, so no filter looks for others; the page says of each chart as a whole what it shows
    config = {**CONFIG, "mark": {"invalid": "show", "aria": False}, "aria": False}
    return themed(json.dumps(vl_convert.vegalite_to_vega({**CHARTS[name].definition(key, width), "config": config})))
