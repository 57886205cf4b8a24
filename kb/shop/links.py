"""Who belongs to whom: the cross-links of a shop, computed once and read by the pages.

Everything comes back as ids in an order that depends on the records alone.
"""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from kb.records import Fault, Job
from kb.shop.shop import Shop
from kb.shop.sight import revisions_of_unit
from kb.shop.symptoms import Words, alike, words_of
from kb.shop.units import Return, Unit, returned, units_of


@dataclass(frozen=True)
class PartUse:
    """One fault that needs a part, or one block that contains it."""

    model: str
    block: str
    fault: str | None
    where: str | None = None


@dataclass(frozen=True)
class Sighting:
    """One job in which a fault was found, however many of its findings tell of it.

    The cure did not hold if any of them says so, or if the same unit soon had the fault again: a second try
    that held does not make the first one good.
    """

    job: str
    model: str
    revisions: tuple[str, ...]
    received: datetime.date
    held: bool | None


@dataclass(frozen=True)
class SameSymptom:
    """Another fault that is told by the same symptom."""

    fault: str
    symptom: str
    other_symptom: str


@dataclass(frozen=True)
class Links:
    """The cross-links of one shop."""

    shop: Shop

    def faults_of(
        self, model: str, *, revision: str | None = None, block: str | None = None
    ) -> tuple[str, ...]:
        """The faults on a model, narrowed to a revision, a block, or both."""
        found = self._by_model.get(model, ()) if block is None else self._by_block.get((model, block), ())
        return tuple(
            identifier
            for identifier in found
            if revision is None or revision in self._revisions[identifier, model]
        )

    def revisions(self, fault: str, model: str) -> tuple[str, ...]:
        """The revisions of `model` a fault is on."""
        return self._revisions[fault, model]

    def related(self, fault: str) -> tuple[str, ...]:
        """The faults that this one names as related, or that name it."""
        return tuple(sorted(self._related[fault]))

    def part_uses(self, part: str) -> tuple[PartUse, ...]:
        """Where a part is used: in blocks, and in the cure of faults."""
        return tuple(self._part_uses[part])

    def stands_in_for(self, part: str) -> tuple[str, ...]:
        """The parts that name this one as a substitute."""
        return tuple(
            identifier
            for identifier, located in self.shop.parts.items()
            if any(substitute.part == part for substitute in located.record.substitutes)
        )

    def same_role(self, model: str, block: str) -> tuple[tuple[str, str], ...]:
        """The blocks of other models that do the same job, as (model, block)."""
        role = self.shop.facts[model].block(block).shared_role
        return tuple(each for each in self._roles[role] if each[0] != model)

    def guides_about(self, kind: str, identifier: str) -> tuple[str, ...]:
        """The guides whose head names a record; `kind` is models, faults or parts."""
        return tuple(
            guide
            for guide, located in self.shop.guides.items()
            if identifier in getattr(located.record.head, kind)
        )

    def same_symptom_elsewhere(self, fault: str) -> tuple[SameSymptom, ...]:
        """Faults of the same model that share a symptom but sit on other revisions only.

        It is the trap this whole site exists for: the sibling's cure does not help here.
        """
        candidates = {
            other
            for model in self.shop.faults[fault].record.models
            for revisions, others in self._by_revisions[model].items()
            if revisions.isdisjoint(self._revisions[fault, model])
            for other in others
        }
        return tuple(
            match
            for other in sorted(candidates)
            if self._never_together(fault, other) and (match := self._shared_symptom(fault, other))
        )

    def sightings(self, fault: str) -> tuple[Sighting, ...]:
        """The jobs in which a fault was found, newest first."""
        return tuple(self._sightings[fault])

    @cached_property
    def units(self) -> Mapping[str, Unit]:
        """Every unit that was on the bench, by its id."""
        return units_of(self.shop)

    def unit_of(self, job: str) -> Unit:
        """The unit of a job."""
        return self._unit_of[job]

    def returned(self, job: str, fault: str) -> Return | None:
        """The later job in which the unit of `job` soon had `fault` again."""
        jobs = [(each, self.shop.jobs[each].record) for each in self._unit_of[job].jobs]
        return returned(jobs, job, fault)

    @cached_property
    def newest_faults(self) -> tuple[str, ...]:
        """All faults, the latest recorded first; those without a date come last."""

        def key(identifier: str) -> tuple[int, str]:
            recorded = self.shop.faults[identifier].record.recorded
            return (-(recorded.toordinal() if recorded else 0), identifier)

        return tuple(sorted(self.shop.faults, key=key))

    def _never_together(self, fault: str, other: str) -> bool:
        models = set(self.shop.faults[fault].record.models) & set(self.shop.faults[other].record.models)
        return not any(
            set(self._revisions[fault, model]) & set(self._revisions[other, model]) for model in models
        )

    def _shared_symptom(self, fault: str, other: str) -> SameSymptom | None:
        for symptom, words in self._symptom_words[fault]:
            for other_symptom, other_words in self._symptom_words[other]:
                if alike(words, other_words):
                    return SameSymptom(other, symptom, other_symptom)
        return None

    @cached_property
    def _symptom_words(self) -> Mapping[str, tuple[tuple[str, Words], ...]]:
        return {
            identifier: tuple((symptom, words_of(symptom)) for symptom in located.record.symptoms)
            for identifier, located in self.shop.faults.items()
        }

    @cached_property
    def _by_model(self) -> Mapping[str, list[str]]:
        found: dict[str, list[str]] = defaultdict(list)
        for identifier in sorted(self.shop.faults, key=self._title):
            for model in dict.fromkeys(self.shop.faults[identifier].record.models):
                found[model].append(identifier)
        return found

    @cached_property
    def _by_block(self) -> Mapping[tuple[str, str], list[str]]:
        found: dict[tuple[str, str], list[str]] = defaultdict(list)
        for model, faults in self._by_model.items():
            for fault in faults:
                found[model, self.shop.faults[fault].record.block].append(fault)
        return found

    @cached_property
    def _by_revisions(self) -> Mapping[str, Mapping[frozenset[str], list[str]]]:
        """The faults of each model by the set of revisions that they are on."""
        found: dict[str, dict[frozenset[str], list[str]]] = defaultdict(lambda: defaultdict(list))
        for (fault, model), revisions in self._revisions.items():
            found[model][frozenset(revisions)].append(fault)
        return found

    def _title(self, fault: str) -> tuple[str, str]:
        return self.shop.faults[fault].record.title.lower(), fault

    @cached_property
    def _revisions(self) -> Mapping[tuple[str, str], tuple[str, ...]]:
        def of(fault: Fault, model: str) -> tuple[str, ...]:
            return self.shop.revisions_of_fault(fault, model)

        return {
            (identifier, model): of(located.record, model)
            for identifier, located in self.shop.faults.items()
            for model in located.record.models
        }

    @cached_property
    def _related(self) -> Mapping[str, set[str]]:
        found: dict[str, set[str]] = defaultdict(set)
        for identifier, located in self.shop.faults.items():
            for other in located.record.related:
                found[identifier].add(other)
                found[other].add(identifier)
        return found

    @cached_property
    def _part_uses(self) -> Mapping[str, list[PartUse]]:
        found: dict[str, list[PartUse]] = defaultdict(list)
        for identifier, facts in self.shop.facts.items():
            for block in facts.model.blocks:
                for part in block.parts:
                    found[part].append(PartUse(identifier, block.id, None))
        for identifier, located in self.shop.faults.items():
            for needed in located.record.parts:
                for model in located.record.models:
                    found[needed.part].append(PartUse(model, located.record.block, identifier, needed.where))
        return found

    @cached_property
    def _roles(self) -> Mapping[str, list[tuple[str, str]]]:
        found: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for identifier, facts in self.shop.facts.items():
            for block in facts.model.blocks:
                found[block.shared_role].append((identifier, block.id))
        return found

    @cached_property
    def _unit_of(self) -> Mapping[str, Unit]:
        return {job: unit for unit in self.units.values() for job in unit.jobs}

    @cached_property
    def _sightings(self) -> Mapping[str, list[Sighting]]:
        found: dict[str, list[Sighting]] = defaultdict(list)
        for identifier, located in self.shop.jobs.items():
            for fault in dict.fromkeys(finding.fault for finding in located.record.findings):
                found[fault].append(self._sighting(identifier, located.record, fault))
        for sightings in found.values():
            sightings.sort(key=lambda each: (-each.received.toordinal(), each.job))
        return found

    def _sighting(self, identifier: str, job: Job, fault: str) -> Sighting:
        found = revisions_of_unit(self.shop.facts[job.model], job)
        told = [each.held for each in job.findings if each.fault == fault and each.held is not None]
        held = all(told) if told else None
        if self.returned(identifier, fault):
            held = False
        return Sighting(identifier, job.model, found, job.received, held)
