"""`halfsplit`: the commands put together.

Exit code 0 is success, 1 means that records have problems, 2 that the command was given wrong, 130 or 143
that it was stopped.
"""

from __future__ import annotations

import importlib

import click

from kb.cli.stopping import stoppable


class Commands(click.Group):
    """The commands, each loaded only when it is called: `--help` must not wait for numpy."""

    modules = {  # noqa: RUF012 - it never changes
        "start": "kb.cli.start",
        "new": "kb.cli.new",
        "check": "kb.cli.check",
        "build": "kb.cli.build",
        "serve": "kb.serving.command",
        "publish": "kb.cli.publish",
        "handover": "kb.cli.handover",
        "find": "kb.cli.find",
        "rank": "kb.cli.rank",
        "calc": "kb.cli.calc",
        "measure": "kb.cli.measure",
        "dump": "kb.cli.dump",
        "load": "kb.cli.load",
        "upgrade": "kb.cli.upgrade",
        "schema": "kb.cli.schema",
    }

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All commands in the order a shop meets them."""
        del ctx
        return list(self.modules)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One command, imported now."""
        del ctx
        if cmd_name not in self.modules:
            return None
        module = importlib.import_module(self.modules[cmd_name])
        command: click.Command = getattr(module, cmd_name)
        return command

    def invoke(self, ctx: click.Context) -> object:
        """Run the command so that it can be stopped at any moment."""
        with stoppable():
            return super().invoke(ctx)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="halfsplit", message="%(package)s %(version)s")
def main() -> None:
    """Turn a repair shop's records into a knowledge base it can use at the bench."""
