"""The one place where values become HTML: an autoescaping Jinja environment of our own.

Text from records reaches a page only through these templates, so it is text there and never markup.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from kb.pages.compiled_templates import BesideTemplates
from kb.quantities import show


@cache
def environment() -> Environment:
    """The templates of `kb/pages/templates`."""
    found = Environment(
        loader=PackageLoader("kb.pages", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        # What a filter makes of a constant must not outlive the filter in code that is kept.
        optimized=False,
        bytecode_cache=BesideTemplates(),
    )
    found.filters["show"] = show
    found.filters["percent"] = percent
    return found


def render(template: str, **values: Any) -> Markup:
    """The HTML of one template; every value that isn't Markup is escaped."""
    return Markup(environment().get_template(template).render(values))  # noqa: S704 - it was autoescaped


def percent(fraction: float) -> str:
    """A signed difference in percent: +0.9 %, -12 %, 0 %; or words for an endless one."""
    value = fraction * 100
    if math.isinf(value):
        return "more than any percentage"
    if abs(value) < 0.05:
        return "0\u00a0%"
    return f"{value:+.1f}\u00a0%" if abs(value) < 10 else f"{value:+.0f}\u00a0%"
