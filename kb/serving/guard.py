"""Which requests are answered: those of this machine's own browser, sent by our own pages.

A page of somebody else, open in the same browser, can send requests here too. It must neither read what is
private nor write anything; a name that is made to lead here must not help it.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from email.message import Message
from http import HTTPStatus

LARGEST_BODY = 2_000_000
TOKEN_HEADER = "X-Halfsplit-Token"  # noqa: S105 - the name of a header


@dataclass(frozen=True)
class Refusal:
    """Why a request is not answered."""

    status: HTTPStatus
    why: str


@dataclass(frozen=True)
class Guard:
    """What one run of the server accepts; the token is new at every start."""

    port: int
    token: str = field(default_factory=lambda: secrets.token_urlsafe(32), repr=False)

    @property
    def hosts(self) -> tuple[str, ...]:
        """The names by which this server may be called."""
        names = ("127.0.0.1", "localhost")
        return (*(f"{name}:{self.port}" for name in names), *(names if self.port == 80 else ()))

    def of_reading(self, headers: Message) -> Refusal | None:
        """What speaks against answering a request that only reads."""
        if headers.get_all("Host") is None or len(headers.get_all("Host") or ()) != 1:
            return Refusal(HTTPStatus.BAD_REQUEST, "one Host header is needed")
        if headers["Host"].lower() not in self.hosts:
            return Refusal(HTTPStatus.MISDIRECTED_REQUEST, "this server is called 127.0.0.1 or localhost")
        # A link from elsewhere may lead here; a page from elsewhere may not take in what is here.
        from_elsewhere = headers.get("Sec-Fetch-Site", "none") not in ("same-origin", "none")
        if from_elsewhere and headers.get("Sec-Fetch-Mode") != "navigate":
            return Refusal(HTTPStatus.FORBIDDEN, "the request comes from another site")
        return None

    def of_asking(self, headers: Message) -> Refusal | None:
        """What speaks against a request of the entry form."""
        refusal = self.of_reading(headers)
        if refusal is not None:
            return refusal
        if headers.get("Origin", "").lower() != f"http://{headers['Host'].lower()}":
            return Refusal(HTTPStatus.FORBIDDEN, "the request does not come from a page of this server")
        if headers.get("Sec-Fetch-Site", "same-origin") != "same-origin":
            return Refusal(HTTPStatus.FORBIDDEN, "the request comes from another site")
        given = headers.get(TOKEN_HEADER, "").encode("utf-8", "replace")
        if not secrets.compare_digest(given, self.token.encode()):
            return Refusal(HTTPStatus.FORBIDDEN, "halfsplit serve was started again; load this page again")
        if headers.get("Content-Type", "").strip().lower() not in (
            "application/json", "application/json; charset=utf-8", "application/json;charset=utf-8",
        ):  # fmt: skip
            return Refusal(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "only application/json is read")
        return self._of_length(headers)

    @staticmethod
    def _of_length(headers: Message) -> Refusal | None:
        lengths = headers.get_all("Content-Length") or []
        if "Transfer-Encoding" in headers or len(lengths) != 1 or not _is_number(lengths[0]):
            return Refusal(HTTPStatus.LENGTH_REQUIRED, "one Content-Length is needed")
        if int(lengths[0]) > LARGEST_BODY:
            return Refusal(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, f"more than {LARGEST_BODY:,} bytes")
        return None


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) < 12
