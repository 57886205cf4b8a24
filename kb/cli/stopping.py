"""What happens when somebody stops a command: it cleans up, says so in one line, and ends with 130 or 143."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import NoReturn

import click

BY_KEYBOARD = 128 + signal.SIGINT
BY_SIGNAL = 128 + signal.SIGTERM


@contextmanager
def stoppable() -> Iterator[None]:
    """Let Ctrl-C and a request to end unwind what runs inside, so that half-written folders go."""
    # Only the main thread may say what a signal does; elsewhere the signal never arrives.
    is_main = threading.current_thread() is threading.main_thread()
    before = signal.signal(signal.SIGTERM, _end) if is_main else None
    try:
        yield
    except KeyboardInterrupt:
        _say_so()
        raise SystemExit(BY_KEYBOARD) from None
    except _Ended:
        _say_so()
        raise
    finally:
        if is_main:
            signal.signal(signal.SIGTERM, before if before is not None else signal.SIG_DFL)


class _Ended(SystemExit):
    """Somebody asked the process to end; of its own kind, so that no other way out is told as a stop."""


def _end(number: int, frame: FrameType | None) -> NoReturn:
    del number, frame
    raise _Ended(BY_SIGNAL)


def _say_so() -> None:
    # Whoever ends a command may have closed its terminal already.
    with suppress(OSError):
        click.echo("stopped", err=True)
