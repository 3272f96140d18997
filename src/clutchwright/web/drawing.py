"""What the browser draws charts with: the script bundle that the renderer carries, and our charts' definitions."""

from __future__ import annotations

import gzip
import threading
from contextlib import suppress
from functools import cache
from importlib.metadata import version
from typing import Annotated

from fastapi import APIRouter, Query, Response

from clutchwright.errors import InputError
from clutchwright.files import read_bytes, write_whole
from clutchwright.picture.live import WIDTHS, definition_json
from clutchwright.web.asking import Folder
from clutchwright.workspace import Workspace

router = APIRouter()
_MAKING = threading.Lock()
_KEPT = {"Cache-Control": "max-age=600"}


def bundle(folder: Workspace) -> bytes:
    """The renderer's own script bundle as a module, compressed.

    Making it takes a second or two, so it is made once for each release of the renderer and kept in the folder.
    """
    with _MAKING, suppress(InputError, OSError):  # a folder that nothing can be written in does without
        kept = folder.store("charts") / f"vega-{version('vl-convert-python')}.js.gz"
        if not kept.exists():
            write_whole(kept, made_bundle())
        return read_bytes(kept)
    return made_bundle()


@cache
def made_bundle() -> bytes:
    """The same, made anew."""
    import vl_convert

    return gzip.compress(vl_convert.javascript_bundle("export { vegaEmbed };").encode(), 6, mtime=0)


@router.get("/vega.js", include_in_schema=False)
def vega(folder: Folder) -> Response:
    """The bundle, only asked for by pages with charts that follow a slider."""
    return Response(bundle(folder), media_type="text/javascript", headers={"Content-Encoding": "gzip", **_KEPT})


@router.get("/api/charts/{name}/{key}", tags=["charts"])
def definition(
    name: str, key: str, width: Annotated[int, Query(ge=WIDTHS[0], le=WIDTHS[-1], description="Whole width, px.")]
) -> Response:
    """A chart without its rows, which `live` gives: a Vega specification."""
    try:
        found = definition_json(name, key, width=width)
    except ValueError:
        raise InputError("chart", f"{name}/{key}", "is none of ours; name and key come from `live`") from None
    return Response(found, media_type="application/json", headers=_KEPT)
