"""The server over HTTP: whole sites, the state of the records, and nobody but this machine's own browser."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from kb.serving.server import Server
from kb.serving.showing import Showing
from tests.serving.asking import get, running, send

PAGE = "<html><head>{}</head><body><p>{}</p></body></html>"
STRICT = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'self'\">"


@pytest.fixture
def showing(tmp_path: Path) -> Showing:
    site = tmp_path / "site"
    (site / "faults").mkdir(parents=True)
    (site / "index.html").write_text(PAGE.format(STRICT, "Bench"), encoding="utf-8")
    (site / "faults" / "short.html").write_text(PAGE.format("", "Short"), encoding="utf-8")
    (site / "site.css").write_text("p {}", encoding="utf-8")
    (tmp_path / "secret.html").write_text("outside", encoding="utf-8")
    (site / "way-out.html").symlink_to(tmp_path / "secret.html")
    made = Showing()
    made.succeed(site)
    return made


@pytest.fixture
def server(showing: Showing) -> Iterator[Server]:
    with running(Server(0, showing)) as made:
        yield made


def test_pages_are_served_with_the_script_that_reloads_them(server: Server) -> None:
    for path in ("/", "/index.html?q=pulse", "/faults/short.html"):
        found = get(server, path)
        assert found.status == 200
        assert found.text.count('<script src="/_serve/live.js"') == 1
        assert server.showing.view.version in found.text
        assert found.headers["Content-Security-Policy"] == "frame-ancestors 'none'"
        assert found.headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "script-src 'self'; connect-src 'self'\">" in get(server, "/").text
    assert get(server, "/site.css").data == b"p {}"
    assert "dataset.version" in get(server, "/_serve/live.js").text


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.html", "/faults/../../secret.html", "/%2e%2e/secret.html", "/..%2fsecret.html",
        "/faults//short.html", "/way-out.html", "//secret.html", "/C:/secret.html", "/%00", "/faults",
        "/_serve/../secret.html", "/_serve/entry.html", "/_serve/server.py", "/nothing.html", "secret.html",
    ],
)  # fmt: skip
def test_nothing_but_the_site_is_served(server: Server, path: str) -> None:
    found = get(server, path)
    assert found.status == 404
    assert "outside" not in found.text


def test_the_state_tells_problems_above_the_last_good_site(server: Server) -> None:
    version = server.showing.view.version
    assert get(server, "/_serve/state").json == {"version": version, "problems": [], "building": False}
    server.showing.fail(('faults/a.yml:3:1: "blok" is not a key here',))
    state = get(server, "/_serve/state").json
    assert state["version"] == version
    assert state["problems"] == ['faults/a.yml:3:1: "blok" is not a key here']
    assert "Short" in get(server, "/faults/short.html").text


def test_before_the_first_site_every_page_waits() -> None:
    with running(Server(0, Showing())) as server:
        server.showing.fail(("shop.yml:1:1: shop.yml is missing",))
        for path in ("/", "/faults/short.html"):
            found = get(server, path)
            assert found.status == 503
            assert "The records have problems" in found.text
            assert "/_serve/live.js" in found.text
        assert get(server, "/site.css").status == 404


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Host": "localhost:{port}"}, 200),
        ({"Host": "127.0.0.1"}, 421),
        ({"Host": "127.0.0.1:1"}, 421),
        ({"Host": "shop.example:{port}"}, 421),
        ({"Host": "127.0.0.1.shop.example:{port}"}, 421),
        ({"Host": None}, 400),
        ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}, 200),
        ({"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}, 403),
        ({"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "cors"}, 403),
        ({"Sec-Fetch-Site": "same-origin", "Sec-Fetch-Mode": "cors"}, 200),
        ({"Sec-Fetch-Site": "none"}, 200),
    ],
)
def test_a_page_of_somebody_else_reads_nothing(
    server: Server, headers: dict[str, str | None], status: int
) -> None:
    given = {name: value and value.format(port=server.server_port) for name, value in headers.items()}
    found = send(server, "GET", "/", given)
    assert found.status == status
    assert "Access-Control-Allow-Origin" not in found.headers
    assert ("Bench" in found.text) == (status == 200)


def test_only_this_machine_is_listened_to(server: Server) -> None:
    assert server.server_address[0] == "127.0.0.1"
    with socket.socket() as other:
        other.settimeout(5)
        # Any address of the loopback net but the one it is bound to stands for another interface.
        assert other.connect_ex(("127.0.0.2", server.server_port)) != 0
