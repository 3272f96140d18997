"""Command that opens the workbench: open."""

from __future__ import annotations

import http.client
import json
import os
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from clutchwright.errors import InputError

if TYPE_CHECKING:
    from clutchwright.web.crew import Crew
    from clutchwright.workspace import Workspace

PORTS = range(8471, 8481)
MOST_PROCESSES = 4  # that answer sliders; each takes some 150 MB
ALL = "0.0.0.0"  # noqa: S104  # only with --share, and behind the pairing code


def open_workbench(
    folder: Annotated[Path, typer.Argument(help="Folder with your files; made where it is not there.")] = Path(
        "clutchwright-files"
    ),
    port: Annotated[
        int | None,
        typer.Option("--port", min=1024, max=65_535, help="Port to listen on; the first free one from 8471 on."),
    ] = None,
    share: Annotated[
        bool, typer.Option("--share", help="Also let phones on this network in, each after a one-time code.")
    ] = False,
    browser: Annotated[bool, typer.Option(help="Show it in the browser at once.")] = True,
) -> None:
    """Open the workbench in the browser: a page for each question, all of it on this machine.

    Where one runs already on the same folder, that one is shown.
    """
    from clutchwright import usecases
    from clutchwright.web.app import LOCAL_HOSTS, create_app
    from clutchwright.web.crew import Crew
    from clutchwright.web.guard import Pairing
    from clutchwright.web.lines import server

    port, listening = _seat(PORTS if port is None else (port,), folder, share=share)
    if listening is None:
        _show(port, browser=browser)
        return
    fresh = not folder.exists()
    workspace = _workspace(folder)
    typer.echo(f"Workbench: {_address(port)} (Ctrl-C ends it; all is saved)\nFolder: {workspace.folder}")
    addresses = _own_addresses() if share else ()
    pairing = Pairing(_code_teller(f"{addresses[0]}:{port}")) if share else None
    crew = Crew(min(os.cpu_count() or 1, MOST_PROCESSES))
    app = create_app(workspace, hosts=(*LOCAL_HOSTS, *addresses), pairing=pairing, crew=crew)
    threading.Thread(target=_prepare, args=(workspace, crew), daemon=True).start()
    if browser:
        # the socket listens already, so the browser waits for the first answer
        address = f"{_address(port)}bikes/{usecases.DEMOS[0]}.toml/heavy" if fresh else _address(port)
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
    server(app).run(sockets=[listening])


def _seat(ports: Sequence[int], folder: Path, *, share: bool) -> tuple[int, socket.socket | None]:
    """A port whose workbench runs on this folder already; or else the first that is free, with its socket.

    Raises `InputError` where each is in use for something else.
    """
    free: dict[int, socket.socket] = {}
    refusals: list[InputError] = []
    for port in ports:
        try:
            free[port] = _listen(port, share=share)
        except InputError:
            try:
                _require_same(port, folder, share=share)
            except InputError as error:
                if error.key == "--share":
                    raise
                refusals.append(error)
            else:
                _close(free.values())
                return port, None
    if not free:
        raise refusals[0]
    (port, listening), *rest = free.items()
    _close(other for _, other in rest)
    return port, listening


def _close(listening: Iterable[socket.socket]) -> None:
    for each in listening:
        each.close()


def _address(port: int) -> str:
    return f"http://localhost:{port}/"


def _require_same(port: int, folder: Path, *, share: bool) -> None:
    """Raise `InputError` unless the workbench that has the port is one on this folder, as open as is wanted."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=3.0)
    try:
        line.request("GET", "/api/folder")
        told = json.loads(line.getresponse().read(10_000))
        other, shared = Path(told["folder"]), bool(told["shared"])
    except (OSError, http.client.HTTPException, ValueError, KeyError, TypeError):
        raise InputError("--port", port, "is in use by another program; choose another") from None
    finally:
        line.close()
    if other != folder.resolve():
        raise InputError("--port", port, f"is in use by the workbench on {other}; choose another for this folder")
    if share and not shared:
        raise InputError("--share", None, f"the workbench on {other} runs already without it; end that one first")


def _show(port: int, *, browser: bool) -> None:
    """Say where the workbench is that runs already, and show it."""
    typer.echo(f"Workbench: {_address(port)} (it runs already on this folder)")
    if browser:
        webbrowser.open(_address(port))


def _prepare(workspace: Workspace, crew: Crew) -> None:
    """What the first pages need soon, in the background: the script bundle, then those who answer sliders."""
    from clutchwright.web.drawing import bundle

    bundle(workspace)
    crew.start()


def _workspace(folder: Path) -> Workspace:
    """The folder; a new one gets an invented bike to begin with. Raises `InputError` where it cannot be made."""
    from clutchwright import usecases
    from clutchwright.workspace import Workspace

    fresh = not folder.exists()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError("folder", str(folder), f"cannot be made ({error.strerror}); choose another") from error
    workspace = Workspace(folder)
    if fresh:
        workspace.put_demo(usecases.DEMOS[0])
    return workspace


def _listen(port: int, *, share: bool) -> socket.socket:
    """A socket on this machine's own address, or on all; raises `InputError` where the port is taken."""
    # named as TCP, as asyncio lets small answers go at once only where the socket says so
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    if sys.platform != "win32":
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((ALL if share else "127.0.0.1", port))
    except OSError as error:
        listening.close()
        raise InputError("--port", port, f"cannot be used ({error.strerror}); choose another") from error
    listening.listen(128)
    return listening


def _own_addresses() -> tuple[str, ...]:
    """Addresses of this machine in its networks, and its names there."""
    name = socket.gethostname().lower()
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # nothing is sent: it only chooses the network; RFC 5737
            own = [probe.getsockname()[0]]
        except OSError:
            own = []
    with suppress(OSError):
        own += socket.gethostbyname_ex(name)[2]
    return tuple(
        dict.fromkeys([*(address for address in own if not address.startswith("127.")), name, f"{name}.local"])
    )


def _code_teller(address: str) -> Callable[[str], None]:
    """What shows a pairing code: the digits, and a picture that a phone's camera opens."""

    def tell(code: str) -> None:
        import segno

        link = f"http://{address}/pair?code={code}"
        typer.echo(f"\nOn the phone open http://{address}/ and type the code {code}, or point its camera here:\n")
        segno.make(link, error="m").terminal(compact=True)
        typer.echo("The code is good for one device; then there is a new one.")

    return tell
