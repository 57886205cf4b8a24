"""From a job to the report that goes home with its unit.

Records are read through `handover_values` alone, and of other records only what the job names. A report
that would say more than the readings bear, or tell of somebody else, is not made.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from kb.audience.attaching import Attachments, Refused
from kb.audience.handover import (
    BeforeAndAfter,
    EarlierRepair,
    FinalCheck,
    FittedPart,
    Handover,
    Instrument,
    Measured,
    Photograph,
    Repair,
    ShopLines,
)
from kb.audience.handover_changes import adjustments, changed_values, trims_made
from kb.audience.handover_fields import handover_values
from kb.audience.handover_words import limits
from kb.audience.mentions import Mentions
from kb.audience.projecting import public_text
from kb.audience.public import PublicText
from kb.audience.telling import tells_of_others
from kb.diagnosis.judging import is_good
from kb.problems import Problem, Problems
from kb.reading import Located
from kb.reading.located import Step
from kb.records import Job, Reading
from kb.shop import Shop

_MEDIA = {".jpg": "image/jpeg", ".png": "image/png", ".svg": "image/svg+xml"}


def hand_over(
    shop: Shop, identifier: str, pictures: Attachments | None = None, mentions: Mentions | None = None
) -> tuple[Handover | None, tuple[Problem, ...]]:
    """The report on the job of that id, or None with all that keeps it from being made; KeyError if none.

    `pictures` are the files it may show, those of the shop folder if left out; `mentions` spare time where
    many reports of one shop are made.
    """
    job = shop.jobs[identifier]
    work = _Projecting(shop, job, pictures or Attachments(shop.root, shop.data_files))
    report = work.report()
    work.problems.extend(tells_of_others(shop, job, mentions))
    return (None, tuple(work.problems)) if len(work.problems) else (report, ())


class _Projecting:
    """One job while its report is put together."""

    def __init__(self, shop: Shop, job: Located[Job], pictures: Attachments) -> None:
        self.problems = Problems()
        self._pictures = pictures
        self._shop = shop
        self._job = job
        self._said = handover_values(job.record)
        self._findings = [handover_values(each) for each in self._said["findings"]]
        self._tests = [handover_values(each) for each in self._said["final_tests"]]
        self._model = handover_values(shop.models[self._said["model"]].record)
        self._trims = list(trims_made(self._said, self._model))

    def report(self) -> Handover:
        """Everything that goes home with the unit."""
        said, card = self._said, handover_values(self._shop.card.record)
        model = self._model
        results = [self._measured(test, ("final_tests", at)) for at, test in enumerate(self._tests)]
        return Handover(
            self._job.id, ShopLines(card["name"], card["place"], card["local_code"]),
            Instrument(model["maker"], model["name"], model["kind"], said["serial"]),
            said["customer"], said["received"], said["returned"], said["complaint"],
            self._text(("arrival",), said["arrival"]),
            tuple(EarlierRepair(**handover_values(each)) for each in said["earlier_work"]),
            tuple(self._repair(at, each) for at, each in enumerate(self._findings)),
            tuple(self._readings(results)), tuple(changed_values(self._findings, self._fault)),
            tuple(adjustments(self._trims)), tuple(self._parts()),
            tuple(
                FinalCheck(*self._named(test), result)
                for test, result in zip(self._tests, results, strict=True)
            ),
            tuple(self._photographs()), tuple(dict.fromkeys(self._hazards())), said["cautions"],
            self._text(("advice",), said["advice"]),
        )  # fmt: skip

    def _text(self, path: tuple[Step, ...], text: str | None) -> PublicText | None:
        return public_text(self._job, path, text) if text else None

    def _repair(self, number: int, finding: dict[str, Any]) -> Repair:
        title = finding["told"] or self._fault(finding)["title"]
        done = self._text(("findings", number, "done"), finding["done"])
        return Repair(title, done, finding["before"], finding["after"])

    def _fault(self, finding: dict[str, Any]) -> dict[str, Any]:
        return handover_values(self._shop.faults[finding["fault"]].record)

    # Readings

    def _check(self, identifier: str) -> dict[str, Any]:
        return _by_id(self._model["checks"], identifier)

    def _named(self, made: dict[str, Any]) -> tuple[str, str]:
        """What a check is called, and its limits."""
        check = self._check(made["check"])
        return check["called"] or check["do"].rstrip("."), limits(check["good"])

    def _readings(self, results: list[Measured]) -> Iterator[BeforeAndAfter]:
        """The checks made on the way, each with the last of the final tests that repeats it."""
        after = {test["check"]: result for test, result in zip(self._tests, results, strict=True)}
        for number, finding in enumerate(self._findings):
            for at, each in enumerate(finding["checks"]):
                made = handover_values(each)
                before = self._measured(made, ("findings", number, "checks", at))
                yield BeforeAndAfter(*self._named(made), before, after.get(made["check"]))

    def _measured(self, made: dict[str, Any], path: tuple[Step, ...]) -> Measured:
        """A reading with its verdict; what lies outside its limits is never said to hold.

        "bad" said of a figure within them stands: a check may ask for more than its figure tells.
        """
        reading: Reading | None = made["reading"]
        text = reading.text if reading else None
        if made["outcome"] == "not_done":
            return Measured(text, "not_done")
        good: Reading = self._check(made["check"])["good"]
        found = is_good(reading, good) if reading else None
        if made["outcome"] == "good" and found is False:
            what = f'"good" is said of {text}, which lies outside {good.text}'
            self.problems.add(self._job.problem((*path, "outcome"), what, "correct one of them"))
        if made["outcome"] == "bad" or found is False:
            return Measured(text, "fails")
        return Measured(text, "holds" if found or made["outcome"] == "good" else "not_judged")

    # Parts, pictures, hazards

    def _parts(self) -> Iterator[FittedPart]:
        for each in self._said["parts"]:
            used = handover_values(each)
            name = handover_values(self._shop.parts[used["part"]].record)["name"]
            yield FittedPart(name, used["value"], used["where"], used["quantity"])

    def _photographs(self) -> Iterator[Photograph]:
        for number, each in enumerate(self._said["photos"]):
            picture = handover_values(each)
            found = self._pictures.picture(f"photos/{picture['file']}")
            if isinstance(found, Refused):
                self.problems.add(self._job.problem(("photos", number, "file"), found.what, found.advice))
                continue
            media = _MEDIA[found.path[found.path.rindex(".") :]]
            yield Photograph(media, found.content, picture["shows"])

    def _hazards(self) -> Iterator[str]:
        """Every hazard that the instrument, its checks and trims, the faults and the parts fitted declare."""
        yield from self._model["hazards"]
        if self._model["supply"]:
            supply = handover_values(self._model["supply"])
            yield from ("mains",) if supply["mains"] else ()
            yield from ("stored-energy",) if supply["reservoirs"] else ()
        for finding in self._findings:
            fault = self._fault(finding)
            yield from (*fault["hazards"], *self._hazards_of_block(fault["block"]))
        made = [*self._tests, *(handover_values(each) for one in self._findings for each in one["checks"])]
        for check in (self._check(each["check"]) for each in made):
            yield from (*check["hazards"], *self._hazards_of_block(check["block"]))
        for trim, _ in self._trims:
            yield from (*trim["hazards"], *self._hazards_of_block(trim["block"]))
        for each in self._said["parts"]:
            yield from handover_values(self._shop.parts[handover_values(each)["part"]].record)["hazards"]

    def _hazards_of_block(self, identifier: str) -> tuple[str, ...]:
        hazards: tuple[str, ...] = _by_id(self._model["blocks"], identifier)["hazards"]
        return hazards


def _by_id(items: Iterable[Any], identifier: str) -> dict[str, Any]:
    """The block or check of that id; the shop was checked, so there is one."""
    return next(each for each in map(handover_values, items) if each["id"] == identifier)
