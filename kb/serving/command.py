"""`halfsplit serve`: starts the server at once, then builds, and ends cleanly when it is told to."""

from __future__ import annotations

import os
import signal
import sys
import tempfile
import threading
from pathlib import Path
from typing import NoReturn

import click

from kb.adapters import Adapter
from kb.cli.build import need_folder, need_room_for_work, with_option
from kb.cli.loading import shop_argument
from kb.cli.memory import look_seldom
from kb.entry.questions import questions
from kb.serving.form_page import form_page
from kb.serving.rebuilding import Rebuilding
from kb.serving.server import Server
from kb.serving.showing import Showing


@click.command()
@shop_argument
@click.option("--port", default=8123, show_default=True, help="The port to listen on.")
@with_option
def serve(folder: Path, port: int, adapter: Adapter) -> None:
    """Show the site of the shop in DIR on this machine; edits show up by themselves.

    It stays up whatever is wrong in the records: problems are told here and in the pages, above the last
    good site. Nobody but this machine can reach it. Ctrl-C ends it.
    """
    need_folder(folder)
    need_room_for_work()
    look_seldom()
    showing = Showing()
    try:
        server = Server(port, showing, form_page, questions(folder.resolve()))
    except OSError as error:
        raise click.UsageError(
            f"port {port} cannot be used ({error.strerror}); give another with --port"
        ) from None
    with server, tempfile.TemporaryDirectory(prefix="halfsplit-serve-", ignore_cleanup_errors=True) as work:
        threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True).start()
        click.echo(f"{server.address} shows the shop in {folder}; Ctrl-C ends it")
        # Set for Ctrl-C too: a shell lets what it starts in the background ignore it.
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, _stop)
        try:
            Rebuilding(folder.resolve(), adapter, showing, Path(work)).run()
        except KeyboardInterrupt:
            click.echo("ended")
        finally:
            server.shutdown()
    # Taking apart what a whole site left in memory takes seconds, and nobody needs them.
    sys.stdout.flush()
    os._exit(0)


def _stop(number: int, frame: object) -> NoReturn:
    """Somebody ended the process: leave as after Ctrl-C, so that nothing is left behind."""
    del number, frame
    raise KeyboardInterrupt
