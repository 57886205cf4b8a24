"""A model's block graph as a signal-flow drawing on a page."""

from __future__ import annotations

from markupsafe import Markup

from kb.drawings import OPEN, Flow, FlowBlock, FlowLink, describe_flow, draw_flow
from kb.pages.addresses import address
from kb.pages.rendering import render
from kb.pages.sheet import Sheet
from kb.shop import ModelFacts

LONGEST_LABEL = 12
"""A longer one would be cut to nothing on an arrow; the block's page and the words below have it whole."""


def flow_html(
    sheet: Sheet,
    facts: ModelFacts,
    *,
    revision: str | None = None,
    here: str | None = None,
    is_open: bool = False,
) -> Markup:
    """The drawing of a model, or of one revision of it, with the block `here` marked.

    With `is_open` every block can be shown in every state, for a page that tells it while it is used.
    """
    flow = flow_of(sheet, facts, revision, here, is_open=is_open)
    if not sheet.desk.draws:
        return Markup("")
    return render(
        "flow.html",
        wide=Markup(draw_flow(flow)),  # noqa: S704 - our own drawing, its texts are escaped
        compact=Markup(draw_flow(flow, compact=True)),  # noqa: S704
        words=describe_flow(flow),
    )


def flow_of(
    sheet: Sheet, facts: ModelFacts, revision: str | None, here: str | None, *, is_open: bool = False
) -> Flow:
    """The blocks and arrows that `revision` has, or those of any revision."""
    wanted = set(facts.revision_ids) if revision is None else {revision}
    present = [block for block in facts.model.blocks if wanted & set(facts.revisions_of(block.revisions))]
    ids = {block.id for block in present}
    blocks = tuple(
        FlowBlock(
            block.id,
            block.name,
            sheet.link(address("block", f"{facts.id}/{block.id}")),
            (block.test_point or "").partition(",")[0],
            OPEN if is_open else "here" if block.id == here else "",
        )
        for block in present
    )
    links = tuple(
        FlowLink(
            block.id, feed.to, feed.carries if feed.carries and len(feed.carries) <= LONGEST_LABEL else ""
        )
        for block in present
        for feed in block.feeds
        if feed.to in ids and wanted & set(facts.revisions_of(feed.revisions))
    )
    name = facts.model.name + (f", revision {revision.upper()}" if revision else "")
    return Flow(blocks, links, f"Signal flow of the {name}")
