"""The signal-flow drawing of an instrument: a block graph in, an SVG element as text out.

A page takes both variants, the wide one and the compact one for a phone, and shows one by its style
sheet.
"""

from __future__ import annotations

import hashlib

from kb.drawings.blocks import OPEN, Flow, FlowBlock, FlowLink
from kb.drawings.describe import describe_flow
from kb.drawings.fitting import fitted
from kb.drawings.svg import Inscription, drawing

__all__ = ["OPEN", "Flow", "FlowBlock", "FlowLink", "describe_flow", "draw_flow"]


def draw_flow(flow: Flow, *, compact: bool = False) -> str:
    """The flow as inline SVG: left to right for about 1100 pixels, or `compact`, top to bottom for a phone.

    The same flow gives the same bytes. Ids inside begin with a hash of the content and the variant, so that
    both may stand on one page.
    """
    variant = "compact" if compact else "wide"
    digest = hashlib.sha256(repr((flow, variant)).encode("utf-8", "backslashreplace")).hexdigest()[:12]
    inscription = Inscription(f"hs-flow-{digest}", variant, flow.title, describe_flow(flow))
    return drawing(flow, fitted(flow, compact=compact), inscription)
