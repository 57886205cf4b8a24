"""What a command that reads a whole shop and then ends does with memory: it gives nothing back.

Python looks through everything that is alive again and again, to find what nobody needs any more. Of a shop's
records and pages everything is needed until the end: looking costs a third of a build and finds nothing.
"""

from __future__ import annotations

import gc

import click


def keep_everything() -> None:
    """Stop looking for what could be given back, until the command that is running has done its work."""
    gc.disable()
    click.get_current_context().call_on_close(gc.enable)


def look_seldom() -> None:
    """Look seldom, for a command that builds again and again: what one build leaves, a later one finds."""
    gc.set_threshold(200_000, 20, 20)
