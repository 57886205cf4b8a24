"""What happens where an option is missing or wrong: at a terminal it is asked for, elsewhere refused.

A refusal is one line on standard error and exit code 2.
"""

from __future__ import annotations

import datetime
import sys
from collections.abc import Callable, Sequence
from typing import NoReturn, TypeVar

import click
from pydantic import TypeAdapter, ValidationError

from kb.reading.tree import UnreadableYaml, decode
from kb.records.fields import Date, Identifier, Line, Prose

Value = TypeVar("Value")

_LINE: TypeAdapter[str] = TypeAdapter(Line)
_PROSE: TypeAdapter[str] = TypeAdapter(Prose)
_IDENTIFIER: TypeAdapter[str] = TypeAdapter(Identifier)
_DATE: TypeAdapter[datetime.date] = TypeAdapter(Date)
_TAKEN = "kb.cli.asking.taken"


def refuse(what: str, advice: str = "") -> NoReturn:
    """Say what is wrong and what would be right, and end with 2."""
    click.echo(f"{what}; {advice}" if advice else what, err=True)
    raise SystemExit(2)


def is_terminal() -> bool:
    """Whether somebody sits at the keyboard who could answer."""
    return sys.stdin.isatty()


def line_text(text: str) -> str:
    """`text` as one line of a record: line breaks become spaces; raises `click.BadParameter`."""
    return _accepted(_LINE, " ".join(text.replace("\r", "\n").split("\n")))


def prose_text(text: str) -> str:
    """`text` as prose of a record; raises `click.BadParameter`."""
    return _accepted(_PROSE, text.replace("\r\n", "\n").replace("\r", "\n"))


def id_text(text: str) -> str:
    """`text` as an id; raises `click.BadParameter`."""
    return _accepted(_IDENTIFIER, text)


def date_text(text: str) -> str:
    """`text` as year-month-day; raises `click.BadParameter`."""
    return _accepted(_DATE, text).isoformat()


def cleaned(clean: Callable[[str], str]) -> Callable[..., str | tuple[str, ...] | None]:
    """A callback for an option or an argument: its text, or each of its texts, cleaned or refused."""

    def callback(
        context: click.Context, parameter: click.Parameter, given: str | tuple[str, ...] | None
    ) -> str | tuple[str, ...] | None:
        del context
        try:
            if given is None:
                return None
            return clean(given) if isinstance(given, str) else tuple(clean(each) for each in given)
        except click.BadParameter as error:
            refuse(f"{parameter.get_error_hint(None)}: {error.message}".replace("'", ""))

    return callback


def ask(question: str, default: str | None = None, choices: Sequence[str] = ()) -> str:
    """An answer from the terminal, asked again until it is one that a record may hold."""
    if choices:
        answer: str = click.prompt(question, default=default, type=click.Choice(choices))
        return answer
    return str(click.prompt(question, default=default, value_proc=line_text))


def ask_or_take(option: str, default: str, choices: Sequence[str] = ()) -> str:
    """The missing `option`: asked for at a terminal, otherwise `default`, which `taken` then tells."""
    if is_terminal():
        return ask(option.removeprefix("--").capitalize(), default, choices)
    click.get_current_context().meta.setdefault(_TAKEN, {})[option] = default
    return default


def taken() -> dict[str, str]:
    """The options of this command that nobody gave, with what was taken for them."""
    return dict(click.get_current_context().meta.get(_TAKEN, {}))


def _accepted(kind: TypeAdapter[Value], text: str) -> Value:
    try:
        # The point keeps an invisible mark at the beginning from being taken for the mark of a file.
        decode(b"." + text.encode("utf-8", "surrogateescape"), "")
        return kind.validate_python(text)
    except UnreadableYaml as error:
        what, advice = error.problem.what, error.problem.advice
    except ValidationError as error:
        context = error.errors(include_url=False)[0].get("ctx", {})
        what, advice = str(context["what"]), str(context["advice"])
    raise click.BadParameter(f"{what}; {advice}" if advice else what)
