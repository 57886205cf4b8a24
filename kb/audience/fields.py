"""Which fields of the records may leave the shop: one table, read by everything that publishes.

A public field may be shown to customers or decide what is shown; a private one has no influence at all on
what is published. A field that is not listed counts as private, and a test asks for its line here.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Literal

from kb.records import (
    Block,
    CalculationText,
    ChangedValue,
    Check,
    Difference,
    Fault,
    FaultCheck,
    FaultPart,
    Feed,
    Finding,
    Guide,
    GuideHead,
    Job,
    Model,
    NamedCapture,
    OwnCalculator,
    Part,
    PitchConverter,
    Port,
    PulseMaker,
    Rail,
    Rating,
    Reading,
    Reservoir,
    Revision,
    ShopCard,
    Substitute,
    Supply,
    Synonyms,
    Written,
)
from kb.records.calculator import OwnInput, OwnResult, OwnWarning
from kb.records.job import CheckOutcome, EarlierWork, FinalTest, Picture, UsedPart
from kb.records.shop import Mains
from kb.records.trim import Calibration, Trim, TrimResult

Seen = Literal["public", "private"]


def _split(public: str, private: str) -> Mapping[str, Seen]:
    seen: dict[str, Seen] = dict.fromkeys(public.split(), "public")
    return MappingProxyType({**seen, **dict.fromkeys(private.split(), "private")})


FIELDS: Mapping[type[Written], Mapping[str, Seen]] = MappingProxyType({
    ShopCard: _split("name place local_code", "format mains safe_voltage currency welcome"),
    Mains: _split("", "voltage frequency"),
    Guide: _split("head body", ""),
    GuideHead: _split("title summary models faults parts hazards sources order", "lessons recorded audience"),
    # The block of a fault is never shown; it is where the hazards of the work are declared.
    Fault: _split(
        "title models block symptoms cause fix confirmed hazards related",
        "revisions checks values calculations parts minutes photos captures sources recorded audience "
        "private_note",
    ),
    FaultCheck: _split("", "check reads means"),
    ChangedValue: _split("", "what was now calculation stands_for within accepted_because"),
    FaultPart: _split("", "part where quantity note"),
    NamedCapture: _split("", "file about channel needs"),
    Model: _split(
        "name maker kind years blocks",
        "summary hazards supply revisions checks calibration ports calculations photos sources recorded "
        "audience private_note",
    ),
    Block: _split("id hazards", "name role does feeds test_point expect revisions parts"),
    Feed: _split("", "to carries revisions"),
    Supply: _split("", "mains frequency fuse lead reservoirs rails note"),
    Reservoir: _split("", "name capacitor voltage bleeder revisions"),
    Rail: _split("", "id name limits ripple test_point revisions"),
    Revision: _split("", "id name years serials by_sight shares_serials_with differences note"),
    Difference: _split("", "block what was now why"),
    Check: _split("", "id called block do good minutes hazards revisions note"),
    Port: _split(
        "",
        "id name direction carries block style high low duration one_shot standard converter "
        "pulses_per_quarter connector revisions",
    ),
    PulseMaker: _split("", "device where resistor capacitor"),
    PitchConverter: _split("", "bits full_scale"),
    Part: _split(
        "name kind summary hazards",
        "package markings ratings substitutes obsolete calculations sources photos recorded kept_in price "
        "audience private_note",
    ),
    Rating: _split("", "what value condition"),
    Substitute: _split("", "part type condition"),
    Job: _split(
        "",
        "model serial revision seen outside_because received returned customer complaint arrival "
        "earlier_work findings parts trims calculations final_tests photos cautions captures advice note",
    ),
    Finding: _split("", "fault checks before after values values_of_fault minutes told done held note"),
    CheckOutcome: _split("", "check outcome reading"),
    EarlierWork: _split("", "found decision why"),
    UsedPart: _split("", "part where value quantity"),
    Picture: _split("", "file shows"),
    FinalTest: _split("", "check reading outcome"),
    Calibration: _split("", "before trims"),
    Trim: _split(
        "", "id name trimmer block set_up do good tracks disturbs go_back_to minutes hazards revisions"
    ),
    TrimResult: _split("", "trim before after note"),
    OwnCalculator: _split("", "title summary inputs results warnings limits sources private_note"),
    OwnInput: _split("", "id symbol label dimension example default help"),
    OwnResult: _split("", "id symbol label dimension formula series"),
    OwnWarning: _split("", "when say"),
    Synonyms: _split("", "groups"),
    CalculationText: _split("", "name inputs about sweep"),
    Reading: _split("", "text span"),
})  # fmt: skip
"""Every record type with every field of it."""


def is_public(kind: type[Written], field: str) -> bool:
    """Whether a field may be shown; one that the table does not know may not."""
    return FIELDS.get(kind, {}).get(field) == "public"


def public_values(record: Written) -> dict[str, Any]:
    """The public fields of a record by name, and nothing else of it."""
    kind = type(record)
    return {name: getattr(record, name) for name in kind.model_fields if is_public(kind, name)}


def may_leave(record: Written) -> bool:
    """Whether a record says that customers may see it; what has no audience never may."""
    head = record.head if isinstance(record, Guide) else record
    return getattr(head, "audience", "shop") == "customer"
