"""What a shop writes down: one frozen type for each kind of record, and nothing that reads files."""

from __future__ import annotations

from kb.records.calculator import OwnCalculator
from kb.records.capture import NamedCapture
from kb.records.fault import ChangedValue, Fault, FaultCheck, FaultPart
from kb.records.fields import CalculationText, Reading, Written
from kb.records.guide import Guide, GuideHead
from kb.records.hazards import HAZARD_IDS, HazardId
from kb.records.job import Finding, Job
from kb.records.model import (
    Block,
    Check,
    Difference,
    Feed,
    Model,
    PitchConverter,
    Port,
    PulseMaker,
    Rail,
    Reservoir,
    Revision,
    Supply,
)
from kb.records.part import Part, Rating, Substitute
from kb.records.shop import ShopCard
from kb.records.synonyms import Synonyms

__all__ = [
    "HAZARD_IDS", "Block", "CalculationText", "ChangedValue", "Check", "Difference", "Fault", "FaultCheck",
    "FaultPart", "Feed", "Finding", "Guide", "GuideHead", "HazardId", "Job", "Model",
    "NamedCapture", "OwnCalculator",
    "Part", "PitchConverter", "Port", "PulseMaker", "Rail", "Rating", "Reading", "Reservoir", "Revision",
    "ShopCard", "Substitute", "Supply", "Synonyms", "Written",
]  # fmt: skip
