"""Limits as an owner reads them."""

from __future__ import annotations

from kb.records import Reading


def limits(good: Reading) -> str:
    """What is good as it was written, signs in words: not everybody reads "<=" as at most."""
    sign, words = {"<": ("<=", "at most"), ">": (">=", "at least")}.get(good.text[:1], ("", ""))
    if good.span is None or not sign or not good.text.startswith(sign):
        return good.text
    return f"{words} {good.text.removeprefix(sign).strip()}"
