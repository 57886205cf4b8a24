"""Drawings of an instrument as SVG text. Pure functions of plain values: no files, no records, no pages."""

from __future__ import annotations

from kb.drawings.flow import OPEN, Flow, FlowBlock, FlowLink, describe_flow, draw_flow

__all__ = ["OPEN", "Flow", "FlowBlock", "FlowLink", "describe_flow", "draw_flow"]
