"""The workbench as tests call it: within this process, and by a real server on a port of its own."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from clutchwright import usecases, usecases_bench
from clutchwright.web.app import create_app
from clutchwright.web.lines import server
from clutchwright.workspace import Workspace

if TYPE_CHECKING:
    from starlette.testclient import TestClient

HERE, PHONE = "127.0.0.1", "192.0.2.7"


def filled(folder: Path) -> Path:
    """A folder with the three demo bikes, two hands, a catalogue and readings of the first."""
    for name in usecases.DEMOS:
        (folder / f"{name}.toml").write_text(usecases.demo_text(name), encoding="utf-8")
    for name in usecases.DEMO_HANDS[:2]:
        (folder / f"hand-{name}.toml").write_text(usecases.demo_hand_text(name), encoding="utf-8")
    (folder / "readings.csv").write_bytes(usecases_bench.demo_readings())
    (folder / "catalogue.toml").write_text(usecases.demo_catalogue_text(), encoding="utf-8")
    return folder


def client(folder: Path, *, at: str = HERE, app: Any = None, **options: Any) -> TestClient:
    """A client at an address, of the workbench on a folder; faults of the program come out as they are."""
    from starlette.testclient import TestClient  # needs more than the pages' examples do, which use `served` alone

    return TestClient(
        app or create_app(Workspace(folder), **options),
        base_url="http://localhost:8471",
        client=(at, 50_000),
        follow_redirects=False,
    )


@contextmanager
def served(app: Any) -> Iterator[int]:
    """An application served on a free port of this machine, which is given."""
    listening = socket.create_server(("127.0.0.1", 0))
    serving = server(app)
    thread = threading.Thread(target=serving.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    try:
        yield listening.getsockname()[1]
    finally:
        serving.should_exit = True
        thread.join()
        listening.close()


def sent(port: int, *parts: bytes, pause: float = 0.0, source: str = HERE) -> tuple[int, dict[str, str], bytes]:
    """Status, headers and body of the answer to raw bytes, sent part by part with a pause between them [s]."""
    stop = threading.Event()
    with socket.create_connection(("127.0.0.1", port), timeout=20.0, source_address=(source, 0)) as line:

        def send() -> None:
            for part in parts:
                try:
                    line.sendall(part)
                except OSError:  # the answer came before the end of the question
                    return
                if pause and stop.wait(pause):
                    return

        sending = threading.Thread(target=send, daemon=True)
        sending.start()
        received = b""
        try:
            while more := line.recv(65536):
                received += more
        except ConnectionResetError:  # the end of what was still being sent
            pass
        stop.set()
        sending.join()
    head, _, rest = received.partition(b"\r\n\r\n")
    first, *lines = head.decode("latin-1").split("\r\n")
    headers = dict(line.lower().split(": ", 1) for line in lines)
    return int(first.split()[1]), headers, rest
