"""The server itself: reads requests, asks the guard, sends what the site or the entry form answers.

It listens on this machine's own address and on no other. No request that only reads changes anything.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import urlsplit

from kb.serving.files import OWN, Content, own_asset, site_file, waiting_page
from kb.serving.guard import Guard, Refusal
from kb.serving.showing import Showing

LOOPBACK = "127.0.0.1"

Answer = Callable[[Mapping[str, Any]], Mapping[str, Any]]
"""One question of the entry form: JSON in, JSON out."""

_ALWAYS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Referrer-Policy": "same-origin",
}
_FRAMED_BY_NONE = {"X-Frame-Options": "DENY", "Content-Security-Policy": "frame-ancestors 'none'"}
_OWN_PAGE = {
    "X-Frame-Options": "DENY",
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
}


class Server(ThreadingHTTPServer):
    """Serves what `showing` shows; `questions` are what the entry form may ask, by name."""

    daemon_threads = True

    def __init__(
        self,
        port: int,
        showing: Showing,
        form: Callable[[str], bytes] | None = None,
        questions: Mapping[str, Answer] | None = None,
    ) -> None:
        super().__init__((LOOPBACK, port), Handler)
        self.showing = showing
        self.guard = Guard(self.server_port)
        self.form = form
        self.questions = questions or {}

    @property
    def address(self) -> str:
        """What to type into the browser."""
        return f"http://{LOOPBACK}:{self.server_port}/"

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that hangs up in the middle of an answer is no news; a mistake of ours is."""
        if not isinstance(sys.exception(), OSError):
            super().handle_error(request, client_address)


class Handler(BaseHTTPRequestHandler):
    """One connection."""

    server: Server
    protocol_version = "HTTP/1.1"
    server_version = "halfsplit"
    sys_version = ""
    timeout = 30

    def do_GET(self) -> None:
        """A page, an asset, or what the server's own script asks."""
        refusal = self.server.guard.of_reading(self.headers)
        if refusal is not None:
            self._refuse(refusal)
            return
        path = urlsplit(self.path).path
        if path.startswith(OWN):
            self._own(path.removeprefix(OWN))
            return
        view = self.server.showing.view
        content = site_file(view, self.path)
        if content is not None:
            self._send(HTTPStatus.OK, content, _FRAMED_BY_NONE)
        elif view.folder is None and path.endswith((".html", "/")):
            self._send(HTTPStatus.SERVICE_UNAVAILABLE, waiting_page(view), _OWN_PAGE)
        else:
            self._refuse(Refusal(HTTPStatus.NOT_FOUND, "there is nothing here"))

    do_HEAD = do_GET  # noqa: N815 - as above

    def do_POST(self) -> None:
        """A question of the entry form."""
        refusal = self.server.guard.of_asking(self.headers)
        question = self.server.questions.get(urlsplit(self.path).path.removeprefix(OWN))
        if refusal is None and (question is None or not self.path.startswith(OWN)):
            refusal = Refusal(HTTPStatus.NOT_FOUND, "there is nothing here")
        if refusal is not None or question is None:
            self._refuse(refusal or Refusal(HTTPStatus.NOT_FOUND, ""))
            return
        try:
            asked = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
        except (ValueError, RecursionError):
            asked = None
        if not isinstance(asked, dict):
            self._refuse(Refusal(HTTPStatus.BAD_REQUEST, "this is not what the form sends"))
            return
        self._send_json(question(asked))

    def _own(self, name: str) -> None:
        view = self.server.showing.view
        asset = own_asset(name)
        if name == "state":
            state = {"version": view.version, "problems": view.problems, "building": view.is_building}
            self._send_json(state)
        elif name == "entry.html" and self.server.form is not None:
            self._send(
                HTTPStatus.OK,
                Content("text/html; charset=utf-8", self.server.form(self.server.guard.token)),
                _OWN_PAGE,
            )
        elif asset is not None:
            self._send(HTTPStatus.OK, asset)
        else:
            self._refuse(Refusal(HTTPStatus.NOT_FOUND, "there is nothing here"))

    def _send_json(self, said: Mapping[str, Any]) -> None:
        data = json.dumps(said, ensure_ascii=False).encode("utf-8", "replace")
        self._send(HTTPStatus.OK, Content("application/json", data))

    def _refuse(self, refusal: Refusal) -> None:
        # What was sent along is not read, so nothing else may follow on this connection.
        self.close_connection = True
        data = f"{refusal.why}\n".encode()
        self._send(refusal.status, Content("text/plain; charset=utf-8", data), {"Connection": "close"})

    def _send(self, status: HTTPStatus, content: Content, more: Mapping[str, str] | None = None) -> None:
        self.send_response(status)
        self.send_header("Content-Type", content.kind)
        self.send_header("Content-Length", str(len(content.data)))
        for name, value in {**_ALWAYS, **(more or {})}.items():
            self.send_header(name, value)
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content.data)

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - the base class names it so
        """Say nothing: the terminal is for problems."""
