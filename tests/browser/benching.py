"""A bench page to work at: presses, readings and looks, as somebody at the bench does them."""

from __future__ import annotations

from playwright.sync_api import Page

BENCH = "models/sixteenfold/bench.html"
COMPLAINT = "Some notes do not sound, the envelope does not start"

ANSWER = """() => {
  const { found, data } = window.halfsplitBench.page, D = window.halfsplitDiagnosis;
  const id = place => found.theCase.causes[place]?.id ?? "leak";
  const isProposed = Boolean(found.step) && found.current === found.step.check;
  const lead = branch => branch && isProposed ? [id(branch.place), branch.share] : null;
  return {
    ifBad: lead(found.branches?.bad), ifGood: lead(found.branches?.good),
    revisions: found.unit.revisions, verdict: found.verdict, message: found.message, repeat: found.repeat,
    causes: found.order.map(place => [id(place), found.probabilities ? found.probabilities[place] : null]),
    checks: (found.step?.proposals ?? [])
      .map(each => [each.check, each.expectedMinutes, each.savesMinutes, each.fails]),
    next: found.step?.check ?? null, confirm: found.step?.confirm ?? null,
    counts: found.theCase.causes.map(each => [each.id, each.count, each.n]).sort(),
    outcomes: found.held.map(each => [each.check, each.outcome === "not_done" || !found.probabilities ? []
      : D.effects(found.theCase, found.held, each.check).map(did => [did.before, did.after])]),
  };
}"""
"""What the page has reckoned, in the words of `halfsplit rank`."""

SET = """(state) => {
  const { page } = window.halfsplitBench;
  const empty = { serial: "", revision: "", symptoms: [], entries: [], taken: null, found: null };
  page.keeper.now = { ...empty, ...state };
  page.show();
}"""


def settle(page: Page) -> None:
    """Let the time pass in which the page takes a second press for a slip."""
    page.evaluate("window.halfsplitBench.page.pressed = -Infinity")


def now(page: Page) -> str:
    """The check that the page is at."""
    return page.locator("#now").inner_text().rpartition(": ")[2]


def is_confirming(page: Page) -> bool:
    """Whether no check pays any more and a cause is to be looked at."""
    return page.locator("#now").inner_text().startswith("Confirm: ")


def press(page: Page, name: str) -> None:
    """Press a button of that name."""
    settle(page)
    page.get_by_role("button", name=name, exact=True).click()


def read(page: Page, text: str) -> None:
    """Enter a reading and have it judged."""
    settle(page)
    page.get_by_label("Reading", exact=True).fill(text)
    page.get_by_role("button", name="Judge").click()


def take(page: Page, check: str) -> None:
    """Choose a check that is not the proposed one; that stands open already."""
    if now(page) != check:
        page.locator("[data-rest]").evaluate("each => { each.open = true; }")
        page.get_by_role("button", name=f"Take this one: {check}", exact=True).click()
    assert now(page) == check


def rule_out(page: Page) -> str:
    """Say of the cause to be confirmed that it is not it; gives its title."""
    title = now(page)
    press(page, "✗ Not this")
    return title


def log(page: Page) -> list[list[str]]:
    """The rows of what was done so far, cell by cell."""
    return page.locator("[data-slot=log]").evaluate(
        "body => Array.from(body.rows, row => Array.from(row.cells, cell => cell.innerText))"
    )  # type: ignore[no-any-return]
