"""Serve built folders to the browser on this machine, for what pages may only do over HTTP."""

from __future__ import annotations

import functools
import threading
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from types import TracebackType
from typing import Any


class QuietHandler(SimpleHTTPRequestHandler):
    """Serves files without a line per request on the terminal."""

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - the base class names it so
        """Say nothing."""


class QuietServer(ThreadingHTTPServer):
    """Takes it in silence when a browser hangs up in the middle of an answer."""

    daemon_threads = True

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Report nothing: a page that misses something complains by itself, and the watch hears it."""


class SiteServers:
    """One server for each folder asked for; calling it gives the folder's address, with a final slash."""

    def __init__(self) -> None:
        self._servers: dict[Path, QuietServer] = {}

    def __enter__(self) -> SiteServers:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        for server in self._servers.values():
            server.shutdown()
            server.server_close()

    def __call__(self, folder: Path) -> str:
        folder = folder.resolve()
        if folder not in self._servers:
            self._servers[folder] = self._start(folder)
        return f"http://127.0.0.1:{self._servers[folder].server_port}/"

    def origins(self) -> tuple[str, ...]:
        """The origins served so far."""
        return tuple(f"http://127.0.0.1:{server.server_port}" for server in self._servers.values())

    @staticmethod
    def _start(folder: Path) -> QuietServer:
        server = QuietServer(("127.0.0.1", 0), functools.partial(QuietHandler, directory=str(folder)))
        threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True).start()
        return server
