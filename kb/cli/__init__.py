"""The command `halfsplit`. Each command lives in a file of its own."""

from __future__ import annotations

from kb.cli.main import main

__all__ = ["main"]
