"""Records to pages: everything a site shows, made without any site generator."""

from __future__ import annotations

from kb.pages.pageset import Asset, Heading, Page, PageSet, Section, relative
from kb.pages.site import build_site, inspect

__all__ = ["Asset", "Heading", "Page", "PageSet", "Section", "build_site", "inspect", "relative"]
