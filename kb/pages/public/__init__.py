"""The customers' site: pages and frame made from the public projection alone, without a site generator.

Nothing in this package reads a record of a shop. What it shows, it was handed in the types of
`kb.audience.public`.
"""

from __future__ import annotations

from kb.pages.public.site import MARK, Published, inspect_public, public_site

__all__ = ["MARK", "Published", "inspect_public", "public_site"]
