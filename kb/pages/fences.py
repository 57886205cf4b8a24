"""Where the calculation fences of a Markdown text stand.

Superfences decides what is a fence and runs it, but does not say in which line. Here each opening line
of a `calc` fence is given its number as an option, and the fence hands it back when it is run.
"""

from __future__ import annotations

import re

_FENCE = re.compile(r"^(?P<lead>[\s>]*(?:(?:[-*+]|[0-9]+[.)])\s+)*)(?P<fence>`{3,}|~{3,})(?P<info>.*)$")


def number_calculations(text: str) -> str:
    """`text` with ` line="N"` (from 0) behind the opening of each calc fence that is not inside another."""
    numbered = []
    open_fence = ""
    for number, line in enumerate(text.split("\n")):
        match = _FENCE.match(line)
        if match and not open_fence:
            open_fence = match["fence"]
            if match["info"].strip() == "calc":
                numbered.append(f'{line.rstrip()} line="{number}"')
                continue
        elif match and _closes(match, open_fence):
            open_fence = ""
        numbered.append(line)
    return "\n".join(numbered)


def _closes(match: re.Match[str], open_fence: str) -> bool:
    fence = match["fence"]
    return fence[0] == open_fence[0] and len(fence) >= len(open_fence) and not match["info"].strip()
