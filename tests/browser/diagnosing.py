"""A bare page with the diagnosis in it, and cases as the script takes them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

from kb.diagnosis.case import Case, Result, opened_by
from kb.diagnosis.confirming import Confirming, actions_of
from kb.diagnosis.looking_ahead import next_step
from kb.diagnosis.posterior import effects, posterior, ranking, speaking_against, verdict, worth_repeating
from tests.browser.watching import open_file

ASSETS = Path(__file__).parents[2] / "kb" / "pages" / "assets"
POLICY = "default-src 'none'; script-src 'self' file:; base-uri 'none'; form-action 'none'"

ANSWER = """(cases) => cases.map(({ theCase, results, least, aside }) => {
  const D = window.halfsplitDiagnosis;
  const found = D.posterior(theCase, results);
  const held = D.lastOfEach(results);
  const opened = new Set(theCase.checks.filter(each => each.access
    && results.some(result => result.check === each.id && result.outcome !== "not_done"))
    .map(each => each.access));
  const masses = found.probabilities;
  const actions = D.actionsOf(theCase);
  const order = masses && D.orderOf(actions, theCase.opening, masses, opened);
  return {
    probabilities: masses, evidence: found.evidence, verdict: D.verdict(theCase, results),
    against: D.speakingAgainst(theCase, results), repeat: D.worthRepeating(theCase, results),
    ranking: masses && D.ranking(theCase, masses),
    effects: held.map(each => D.effects(theCase, results, each.check)
      .map(({ cause, before, after, logOdds }) => [cause, before, after, logOdds])),
    order: order && order.map(each => each.id),
    minutes: order && D.minutesOf(order, theCase.opening, masses, theCase.leakMinutes, opened),
    step: D.nextStep(theCase, results, least, aside),
  };
})"""


def open_engine(page: Page, folder: Path) -> None:
    """An empty page that may run no script but its own files, with the diagnosis loaded."""
    (folder / "diagnosis.js").write_bytes((ASSETS / "diagnosis.js").read_bytes())
    head = (
        f'<!doctype html><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="{POLICY}">'
    )
    (folder / "bare.html").write_text(
        f'{head}<title>Bare</title><script defer src="diagnosis.js"></script>', "utf-8"
    )
    open_file(page, folder / "bare.html")


def case_json(case: Case) -> dict[str, Any]:
    """A case as the script takes it."""
    return {
        "causes": [
            {"id": each.id, "prior": each.prior, "minutes": each.minutes, "access": each.access,
             "remedy": each.remedy}
            for each in case.causes
        ],
        "checks": [
            {"id": each.id, "minutes": each.minutes, "fails": list(each.fails), "leak": each.leak,
             "access": each.access}
            for each in case.checks
        ],
        "leak": case.leak,
        "leakMinutes": case.leak_minutes,
        "opening": dict(case.opening),
    }  # fmt: skip


def results_json(results: tuple[Result, ...]) -> list[dict[str, Any]]:
    """Results as the script takes them."""
    return [{"check": each.check, "outcome": each.outcome, "confidence": each.confidence} for each in results]


def asked(
    case: Case, results: tuple[Result, ...], least: float = 0.0, aside: tuple[str, ...] = ()
) -> dict[str, Any]:
    """One question to the script."""
    return {
        "theCase": case_json(case),
        "results": results_json(results),
        "least": least,
        "aside": list(aside),
    }


def answer(
    case: Case, results: tuple[Result, ...], least: float = 0.0, aside: tuple[str, ...] = ()
) -> dict[str, Any]:
    """What Python says to the same question."""
    found = posterior(case, results)
    masses, opened = found.probabilities, opened_by(case, results)
    confirming = Confirming(actions_of(case), case.opening)
    order = confirming.order(masses, opened) if masses else None
    held = {each.check: each for each in results}
    return {
        "probabilities": masses, "evidence": found.evidence, "verdict": verdict(case, results),
        "against": speaking_against(case, results), "repeat": worth_repeating(case, results),
        "ranking": ranking(case, masses) if masses else None,
        "effects": [
            [[did.cause, did.before, did.after, did.log_odds] for did in effects(case, results, check)]
            for check in held
        ],
        "order": [each.id for each in order] if order is not None else None,
        "minutes": confirming.minutes_of(order or (), masses, case.leak_minutes, opened) if masses else None,
        "step": _step(case, results, least, aside),
    }  # fmt: skip


def _step(
    case: Case, results: tuple[Result, ...], least: float, aside: tuple[str, ...]
) -> dict[str, Any] | None:
    step = next_step(case, results, least, aside)
    return step and {
        "baseMinutes": step.base_minutes, "check": step.check, "confirm": step.confirm,
        "savesMinutes": step.saves_minutes,
        "proposals": [
            {"check": each.check, "expectedMinutes": each.expected_minutes,
             "savesMinutes": each.saves_minutes, "fails": each.fails}
            for each in step.proposals
        ],
    }  # fmt: skip
