"""The entry form over HTTP: what it writes, and that nobody else can make it write."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from kb.entry.questions import questions
from kb.serving.form_page import form_page
from kb.serving.guard import LARGEST_BODY
from kb.serving.server import Server
from kb.serving.showing import Showing
from tests.adapters.making import files_of
from tests.benches import copied
from tests.serving.asking import Answered, get, running, send

FAULT = {
    "title": "NO: it stops at 1:30", "models": ["pacer"], "block": "clock", "symptoms": ["0100", ""],
    "cause": "A crack.\n\nSeen under light.", "fix": ["Solder it."], "minutes": "35",
    "recorded": "2024-03-14",
    "confirmed": "", "checks": [], "parts": [],
}  # fmt: skip


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return copied(tmp_path / "shop")


@pytest.fixture
def server(shop: Path) -> Iterator[Server]:
    with running(Server(0, Showing(), form_page, questions(shop))) as made:
        yield made


def headers(server: Server, **changed: str | None) -> dict[str, str | None]:
    own = {
        "Origin": f"http://127.0.0.1:{server.server_port}", "Content-Type": "application/json",
        "X-Halfsplit-Token": server.guard.token, "Sec-Fetch-Site": "same-origin",
    }  # fmt: skip
    return {**own, **{name.replace("_", "-"): value for name, value in changed.items()}}


def post(server: Server, question: str, body: bytes, **changed: str | None) -> Answered:
    length = {"Content-Length": str(len(body)), **headers(server, **changed)}
    return send(server, "POST", f"/_serve/entry/{question}", length, body)


def ask(server: Server, question: str, **sent: Any) -> dict[str, Any]:
    found = post(server, question, json.dumps(sent).encode())
    assert found.status == 200, found.text
    answer: dict[str, Any] = found.json
    return answer


def new_fault(
    values: Mapping[str, Any] = FAULT, identifier: str = "cracked-joint", **more: str
) -> dict[str, Any]:
    return {"kind": "fault", "id": identifier, "state": "", "values": dict(values), **more}


def test_a_new_record_is_shown_and_then_written_as_it_was_shown(server: Server, shop: Path) -> None:
    found = ask(server, "show", **new_fault())
    assert (found["problems"], found["file"], found["isNew"]) == ([], "faults/cracked-joint.yml", True)
    assert "title: 'NO: it stops at 1:30'\n" in found["text"]
    assert "symptoms:\n  - '0100'\n" in found["text"]
    assert "minutes: 35\n" in found["text"]
    assert "recorded: 2024-03-14\n" in found["text"]
    assert not (shop / "faults" / "cracked-joint.yml").exists()
    written = ask(server, "write", **new_fault(shown=found["shown"]))
    assert (written["written"], written["page"]) == (found["file"], "faults/cracked-joint.html")
    path = shop / "faults" / "cracked-joint.yml"
    assert path.read_text(encoding="utf-8") == found["text"]
    again = ask(server, "open", kind="fault", id="cracked-joint")
    kept = {name: value for name, value in FAULT.items() if value} | {"symptoms": ["0100"]}
    assert again["values"] == kept
    assert [each.name for each in path.parent.iterdir() if each.name.startswith(".")] == []


def test_an_old_record_changes_only_where_it_was_changed(server: Server, shop: Path) -> None:
    path = shop / "faults" / "pacer-short-pulse.yml"
    before = f"# from the first unit\n{path.read_text(encoding='utf-8')}"
    path.write_text(before, encoding="utf-8")
    opened = ask(server, "open", kind="fault", id="pacer-short-pulse")
    values = {**opened["values"], "minutes": "95"}
    asked = {"kind": "fault", "id": "pacer-short-pulse", "state": opened["state"], "values": values}
    found = ask(server, "show", **asked)
    assert found["problems"] == []
    assert [line for line in found["text"].splitlines()[2:] if line.startswith("+")] == ["+minutes: 95"]
    assert "written" in ask(server, "write", **asked, shown=found["shown"])
    after = path.read_text(encoding="utf-8").splitlines()
    assert [line for line in after if line != "minutes: 95"] == [
        line for line in before.splitlines() if not line.startswith("minutes:")
    ]


@pytest.mark.parametrize(
    ("changed", "field", "what"),
    [
        ({"block": ""}, "block", '"block" is missing'),
        ({"block": "nowhere"}, "block", 'pacer has no block "nowhere"'),
        ({"minutes": "half"}, "minutes", '"half" is not a whole number'),
        ({"models": ["pacr"]}, "models.0", 'there is no model "pacr"; did you mean "pacer"?'),
        ({"checks": [{"check": "rate", "reads": "5"}]}, "checks.0.reads", '"5" has no unit'),
        ({"parts": [{"part": "none-such"}]}, "parts.0.part", 'there is no part "none-such"'),
        ({"cause": "See [that](fault:none-such)."}, "cause", "none-such"),
        ({"calculations": [{"name": "tempo", "about": "", "inputs": [{"name": "bpm", "value": "fast"}],
                            "sweep": []}]}, "calculations.0.tempo.bpm", "fast"),
    ],
)  # fmt: skip
def test_what_check_would_say_is_said_beside_the_field(
    server: Server, shop: Path, changed: dict[str, Any], field: str, what: str
) -> None:
    before = files_of(shop)
    asked = new_fault({**FAULT, **changed})
    found = ask(server, "show", **asked)
    assert found["problems"][0]["field"] == field
    assert what in found["problems"][0]["what"]
    assert found["problems"][0]["line"].startswith("faults/cracked-joint.yml:")
    assert "written" not in ask(server, "write", **asked, shown=found["shown"])
    assert files_of(shop) == before


def test_a_form_that_nobody_filled_in_is_told_what_it_needs(server: Server) -> None:
    found = ask(server, "check", **new_fault({"title": " ", "models": [""], "checks": [{"check": ""}]}))
    assert [each["field"] for each in found["problems"]] == [
        "title", "models", "block", "symptoms", "cause", "fix",
    ]  # fmt: skip


def test_what_a_change_breaks_elsewhere_is_told_and_may_be_written_all_the_same(server: Server) -> None:
    opened = ask(server, "open", kind="model", id="pacer")
    checks = [
        {**each, "id": "width"} if each["id"] == "pulse" else each for each in opened["values"]["checks"]
    ]
    asked = {"kind": "model", "id": "pacer", "state": opened["state"],
             "values": {**opened["values"], "checks": checks}}  # fmt: skip
    found = ask(server, "show", **asked)
    assert found["problems"] == []
    told = [each["line"] for each in found["disagreements"]]
    assert any(
        line.startswith("faults/pacer-short-pulse.yml:9:12: ") and '"pulse"' in line for line in told
    ), told
    assert "written" in ask(server, "write", **asked, shown=found["shown"])


def test_nothing_is_written_that_was_not_shown(server: Server, shop: Path) -> None:
    before = files_of(shop)
    found = ask(server, "show", **new_fault())
    other = new_fault({**FAULT, "minutes": "36"}, shown=found["shown"])
    for asked in (new_fault(), new_fault(shown=""), other):
        assert ask(server, "write", **asked)["refused"] == "this is not what was shown; look at it again"
    assert files_of(shop) == before


def test_a_file_that_was_changed_meanwhile_is_left_alone(server: Server, shop: Path) -> None:
    path = shop / "faults" / "pacer-short-pulse.yml"
    opened = ask(server, "open", kind="fault", id="pacer-short-pulse")
    asked = {"kind": "fault", "id": "pacer-short-pulse", "state": opened["state"],
             "values": {**opened["values"], "minutes": "95"}}  # fmt: skip
    shown = ask(server, "show", **asked)["shown"]
    path.write_text(f"{path.read_text(encoding='utf-8')}# a colleague\n", encoding="utf-8")
    before = files_of(shop)
    assert "was changed meanwhile" in ask(server, "write", **asked, shown=shown)["refused"]
    assert "already" in ask(server, "write", **{**asked, "state": ""}, shown=shown)["refused"]
    assert files_of(shop) == before


@pytest.mark.parametrize(
    "identifier",
    [
        "../shop",
        "..",
        "",
        "a/b",
        "a\\b",
        "/etc/passwd",
        "C:x",
        "Upper",
        "a.yml",
        "a\x00",
        "-a",
        "x" * 81,
        "%2e%2e",
    ],
)
@pytest.mark.parametrize("question", ["open", "show", "write"])
def test_an_id_leads_nowhere_else(server: Server, shop: Path, question: str, identifier: str) -> None:
    before = files_of(shop.parent)
    for state in ("", "0" * 64):
        found = ask(server, question, **{**new_fault(identifier=identifier, shown=""), "state": state})
        if identifier or question != "open":
            assert "refused" in found
    assert files_of(shop.parent) == before


def test_a_link_in_the_shop_is_not_written_through(server: Server, shop: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    moved = outside / "own.yml"
    (shop / "faults" / "pacer-short-pulse.yml").rename(moved)
    (shop / "faults" / "pacer-short-pulse.yml").symlink_to(moved)
    assert "is a link" in ask(server, "open", kind="fault", id="pacer-short-pulse")["refused"]
    (shop / "faults" / "pacer").symlink_to(outside, target_is_directory=True)
    assert "is a link" in ask(server, "show", **new_fault())["refused"]
    assert [path.name for path in outside.iterdir()] == ["own.yml"]


@pytest.mark.parametrize(
    ("changed", "status"),
    [
        ({"Origin": None}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": "http://shop.example"}, 403),
        ({"Origin": "http://127.0.0.1"}, 403),
        ({"Origin": "https://127.0.0.1:{port}"}, 403),
        ({"Origin": "http://localhost:{port}"}, 403),
        ({"Host": "shop.example:{port}", "Origin": "http://shop.example:{port}"}, 421),
        ({"Host": None}, 400),
        ({"X-Halfsplit-Token": None}, 403),
        ({"X-Halfsplit-Token": ""}, 403),
        ({"X-Halfsplit-Token": "x" * 43}, 403),
        ({"X-Halfsplit-Token": "ü"}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Sec-Fetch-Site": "none"}, 403),
        ({"Content-Type": "text/plain"}, 415),
        ({"Content-Type": "application/x-www-form-urlencoded"}, 415),
        ({"Content-Type": "multipart/form-data; boundary=x"}, 415),
        ({"Content-Type": None}, 415),
        ({"Content-Length": None}, 411),
        ({"Content-Length": "-1"}, 411),
        ({"Content-Length": str(LARGEST_BODY + 1)}, 413),
        ({"Transfer-Encoding": "chunked"}, 411),
    ],
)
def test_a_page_of_somebody_else_writes_nothing(
    server: Server, shop: Path, changed: dict[str, str | None], status: int
) -> None:
    shown = ask(server, "show", **new_fault())["shown"]
    body = json.dumps(new_fault(shown=shown)).encode()
    before = files_of(shop)
    given = {name: value and value.format(port=server.server_port) for name, value in changed.items()}
    sent = {"Content-Length": str(len(body)), **headers(server), **given}
    assert send(server, "POST", "/_serve/entry/write", sent, body).status == status
    assert files_of(shop) == before


def test_a_token_of_an_earlier_start_is_of_no_use(server: Server, shop: Path) -> None:
    old = Server(0, Showing(), form_page, questions(shop))
    old.server_close()
    found = post(server, "show", b"{}", X_Halfsplit_Token=old.guard.token)
    assert (found.status, "load this page again" in found.text) == (403, True)


@pytest.mark.parametrize("body", [b"", b"[]", b"{", b"\xff", b"[" * 100_000, b'"x"'])
def test_what_the_form_does_not_send_is_refused(server: Server, body: bytes) -> None:
    assert post(server, "show", body).status == 400


@pytest.mark.parametrize(
    "sent",
    [{}, {"kind": "shop"}, {"kind": ["fault"]}, {"kind": "fault", "id": 7},
     {"kind": "fault", "id": "a", "values": 3},
     {"kind": "fault", "id": "a", "values": {"checks": {"a": 1}, "title": ["x"], "parts": [[1], None]}}],
)  # fmt: skip
def test_odd_questions_get_an_answer(server: Server, shop: Path, sent: dict[str, Any]) -> None:
    before = files_of(shop)
    found = ask(server, "write", **sent)
    assert "refused" in found or found["problems"]
    assert files_of(shop) == before


def test_no_question_is_asked_by_a_link(server: Server) -> None:
    assert get(server, "/_serve/entry/write", headers(server)).status == 404
    assert send(server, "PUT", "/_serve/entry/write", headers(server)).status == 501
    assert post(server, "nothing", b"{}").status == 404


def test_the_form_cannot_be_framed_and_runs_only_its_own(server: Server) -> None:
    found = get(server, "/_serve/entry.html")
    policy = found.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert found.headers["X-Frame-Options"] == "DENY"
    assert found.text.count(server.guard.token) == 1
    assert "Set-Cookie" not in found.headers
