"""What the browser draws charts with: the script bundle that the renderer carries, and our charts' definitions."""

from __future__ import annotations

import gzip
from functools import cache
from typing import Annotated

from fastapi import APIRouter, Query, Response

from clutchwright.errors import InputError
from clutchwright.picture.live import WIDTHS, definition_json

router = APIRouter()
_DAY = {"Cache-Control": "max-age=86400"}


@cache
def bundle() -> bytes:
    """The renderer's own script bundle as a module, compressed; made once, which takes a second or two."""
    import vl_convert

    return gzip.compress(vl_convert.javascript_bundle("export { vegaEmbed };").encode(), 6, mtime=0)


@router.get("/vega.js", include_in_schema=False)
def vega() -> Response:
    """The bundle, only asked for by pages with charts that follow a slider."""
    return Response(bundle(), media_type="text/javascript", headers={"Content-Encoding": "gzip", **_DAY})


@router.get("/api/charts/{name}/{key}", tags=["charts"])
def definition(
    name: str, key: str, width: Annotated[int, Query(ge=WIDTHS[0], le=WIDTHS[-1], description="Whole width, px.")]
) -> Response:
    """A chart without its rows, which `live` gives: a Vega specification."""
    try:
        found = definition_json(name, key, width=width)
    except ValueError:
        raise InputError("chart", f"{name}/{key}", "is none of ours; name and key come from `live`") from None
    return Response(found, media_type="application/json", headers=_DAY)
