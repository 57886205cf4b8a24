"""A server on a free port for one test, and requests to it as a browser or somebody worse would send them."""

from __future__ import annotations

import http.client
import json
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from kb.serving.server import Server


@dataclass(frozen=True)
class Answered:
    """What came back."""

    status: int
    headers: Mapping[str, str]
    data: bytes

    @property
    def text(self) -> str:
        return self.data.decode()

    @property
    def json(self) -> Any:
        return json.loads(self.data)


@contextmanager
def running(server: Server) -> Iterator[Server]:
    """The server while it answers."""
    with server:
        threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
        yield server
        server.shutdown()


def get(server: Server, path: str, headers: Mapping[str, str] | None = None) -> Answered:
    """A request that reads; `Host` is the server's own unless another is given."""
    return send(server, "GET", path, headers or {})


def send(
    server: Server, method: str, path: str, headers: Mapping[str, str | None], body: bytes | None = None
) -> Answered:
    """Any request at all: a header that is None is left out."""
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=30)
    every = {"Host": f"127.0.0.1:{server.server_port}", **headers}
    try:
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in every.items():
            if value is not None:
                connection.putheader(name, value)
        connection.endheaders(body)
        answer = connection.getresponse()
        return Answered(answer.status, dict(answer.getheaders()), answer.read())
    finally:
        connection.close()
