"""Figures: what a picture shows as plain data, drawn as SVG text and kept by content.

Importing this package must not import matplotlib; only drawing does.
"""

from __future__ import annotations

from kb.figures.cache import figure_svg
from kb.figures.spec import Axis, FigureSpec, Mark, Series

__all__ = ["Axis", "FigureSpec", "Mark", "Series", "figure_svg"]
