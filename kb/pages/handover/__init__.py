"""The report that goes home with a unit: one file that needs nothing else, made from its projection alone.

Nothing in this package reads a record of a shop.
"""

from __future__ import annotations

from kb.pages.handover.document import MARK, problems_of_texts, report_html

__all__ = ["MARK", "problems_of_texts", "report_html"]
