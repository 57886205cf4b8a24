"""One-shots as their data sheets describe them: factors, limits, spreads, and who says so.

Facts only, each with its source and how far it was confirmed. Where makers disagree every one of them is
kept; nothing here may be averaged. "From memory" means exactly that: look it up before relying on it.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators.one_shot_timing import (
    OFFSET,
    PLAIN,
    RETRIGGER_HC,
    RETRIGGER_TTL,
    SUPPLY_LOG,
    TRANSFER,
    TWO_THIRDS,
    Retrigger,
    Timing,
    fixed,
)

SEEN = "seen in source"
SECONDARY = "seen in secondary source"
MEMORY = "from memory"


@dataclass(frozen=True)
class Sheet:
    """What one maker publishes; `with_diode` is its formula with a switching diode at the timing pin."""

    maker: str
    document: str
    status: str
    timing: Timing
    with_diode: Timing | None = None
    diode_status: str = ""


@dataclass(frozen=True)
class Spread:
    """How far the circuit itself may be off the formula at `supply_v` (0: any), as factors."""

    low: float
    high: float
    text: str
    supply_v: float = 0.0


@dataclass(frozen=True)
class Range:
    """What the resistor or capacitor may be; `status` says how that was confirmed."""

    low: float | None
    high: float | None
    status: str


@dataclass(frozen=True)
class Device:
    """A one-shot; the first of its sheets is the one used when no maker is named.

    `kin` are devices that are taken for this one and time differently. `electrolytic` is what to say when
    the capacitor is large enough to be polarised. `ceilings` are (supply, most ohms) where it matters.
    """

    name: str
    sheets: tuple[Sheet, ...]
    supply_v: tuple[float, float]
    resistor_ohm: Range
    capacitor_f: Range
    aliases: tuple[str, ...] = ()
    kin: tuple[str, ...] = ()
    spreads: tuple[Spread, ...] = ()
    is_retriggerable: bool = True
    electrolytic: str = ""
    wants_diode: bool = False
    retrigger: Retrigger | None = None
    turn_off_a: float | None = None
    ceilings: tuple[tuple[float, float], ...] = ()
    remarks: tuple[str, ...] = ()


_TTL_V, _HC_V, _CMOS_V = (4.75, 5.25), (2.0, 6.0), (3.0, 15.0)
_REVERSED = "a polarised capacitor is reversed at each trigger: fit the switching diode, choose diode: yes"
_REVERSED_LS = "sources differ on whether a polarised capacitor needs the switching diode here"
_CLAMP = "with a large capacitor and a supply that falls fast, a clamp diode saves the timing pin"
_NO_SERIES = "no protection resistor is needed in series with the timing pin"
_DUTY = "not retriggerable: keep it idle between pulses long enough to recover"

_LS123_SHEETS = (
    Sheet("TI", "TI SN74LS123: 0.45 R C", "0.45 seen in a lab note", fixed(0.45)),
    Sheet("Motorola", "Motorola/ON SN74LS122/D Rev 6", "limits seen, 0.45 seen in a lab note", fixed(0.45)),
    Sheet("Fairchild", "Fairchild DM74LS123 (DS006386): 0.37 R C", MEMORY, fixed(0.37)),
    Sheet("National", "National DM74LS123: 0.37 R C", MEMORY, fixed(0.37)),
)

DEVICES: tuple[Device, ...] = (
    Device(
        "74121",
        (
            Sheet("Signetics", "Signetics N74121: 0.7 R C", SEEN, fixed(0.7)),
            Sheet("Fairchild", "Fairchild DM74121: 0.7 R C", SEEN, fixed(0.7)),
        ),
        _TTL_V,
        Range(2e3, 40e3, "seen in source"),
        Range(10e-12, 10e-6, "seen in source"),
        is_retriggerable=False,
        remarks=(
            "the pulse may fill 67 % of the repeat time at 2 kΩ (partly from memory), 90 % at 40 kΩ",
            "the internal resistor is 2 kΩ; pulses from 30 ns to 28 s are published",
        ),
    ),
    Device(
        "74122",
        (
            Sheet(
                "textbook", "74122: 0.32 R C (1 + 0.7/R), in T. Floyd, Digital Fundamentals", SEEN,
                fixed(0.32, OFFSET, 700.0), fixed(0.28, OFFSET, 700.0), MEMORY,
            ),
        ),
        _TTL_V,
        Range(5e3, 50e3, MEMORY),
        Range(1000e-12, None, SECONDARY),
        electrolytic=_REVERSED,
        wants_diode=True,
        remarks=("the internal resistor is 10 kΩ",),
    ),
    Device(
        "74123",
        (
            Sheet(
                "TI", "TI SDLS043 (74123), as used in a public emulator", SECONDARY,
                fixed(0.28, OFFSET, 700.0), fixed(0.25, OFFSET, 700.0), SECONDARY,
            ),
        ),
        _TTL_V,
        Range(5e3, 50e3, MEMORY),
        Range(1000e-12, None, SECONDARY),
        aliases=("74130",),
        kin=("74LS123",),
        electrolytic=_REVERSED,
        wants_diode=True,
        retrigger=RETRIGGER_TTL,
        remarks=("with the Cext pin grounded the same source gives K R C, with K from 0.32 to 0.33",),
    ),
    *(
        Device(
            name,
            _LS123_SHEETS,
            _TTL_V,
            Range(5e3, 260e3, "Motorola/ON SN74LS122/D Rev 6, seen"),
            Range(1000e-12, None, "for the formula; Motorola/ON SN74LS122/D Rev 6 sets no other limit"),
            kin=("74123",) if name == "74LS123" else ("74122",),
            electrolytic=_REVERSED_LS,
            retrigger=RETRIGGER_TTL if name == "74LS123" else None,
            remarks=(
                "stray capacitance at the timing pin must stay below 50 pF",
                "a factor of 0.32 to 0.33 is found as well",
            ),
        )
        for name in ("74LS122", "74LS123")
    ),
    Device(
        "74HC123",
        (
            Sheet("NXP", "NXP 74HC/HCT123 Rev 9 (2015)", SEEN, Timing(PLAIN, ((2.0, 0.55), (5.0, 0.45)))),
            Sheet(
                "Philips", "Philips 74HC/HCT123 (8 July 1998), p. 9", SEEN,
                Timing(PLAIN, ((2.0, 0.48), (5.0, 0.55))),
            ),
            Sheet("National", "National MM74HC123A/HC423A: 1.0 R C", SEEN, fixed(1.0)),
            Sheet("TI", "TI CD74HC123: 0.45 R C", MEMORY, fixed(0.45)),
        ),
        _HC_V,
        Range(2e3, None, "2 kΩ at 5 V and 10 kΩ at 2 V, from memory"),
        Range(10e-9, None, SEEN),
        aliases=("74HCT123", "74HC423", "74HCT423"),
        electrolytic=_CLAMP,
        retrigger=RETRIGGER_HC,
        remarks=("a 74HC423 is not triggered from its clear input",),
    ),
    Device(
        "74HC221",
        (Sheet("Philips", "Philips 74HC/HCT221 (December 1990): 0.7 R C", SEEN, fixed(0.7)),),
        _HC_V,
        Range(None, None, ""),
        Range(None, None, ""),
        aliases=("74HCT221",),
        spreads=(Spread(0.95, 1.05, "Philips, December 1990: less than ±5 %, seen"),),
        is_retriggerable=False,
        electrolytic=_CLAMP,
        remarks=(_DUTY,),
    ),
    Device(
        "74HC4538",
        (Sheet("Nexperia", "Nexperia 74HC4538 Rev 4 (24 February 2016): 0.7 R C", SEEN, fixed(0.7)),),
        _HC_V,
        Range(None, None, ""),
        Range(None, None, ""),
        aliases=("74HCT4538",),
        kin=("CD4538", "HEF4538"),
        electrolytic=_CLAMP,
    ),
    Device(
        "74AHC123A",
        (Sheet("TI", "TI SN74AHC123A-EP SCLS703A: 1.0 R C", SEEN, fixed(1.0)),),
        (2.0, 5.5),
        Range(None, None, ""),
        Range(1000e-12, None, SEEN),
        aliases=("74AHCT123A", "74AHC123"),
        turn_off_a=0.03,
        electrolytic=_CLAMP,
    ),
    Device(
        "CD4098",
        (Sheet("Intersil", "Intersil FN3332 (CD4098B): 0.5 R C", SEEN, fixed(0.5)),
         Sheet("ST", "ST HCF4098B: 0.5 R C", SEEN, fixed(0.5))),
        _CMOS_V,
        Range(5e3, None, SEEN),
        Range(0.01e-6, 100e-6, SEEN),
        aliases=("4098", "HCF4098"),
        kin=("CD4528",),
    ),
    Device(
        "CD4528",
        (Sheet(
            "ON", "ON Semiconductor MC14528B: 0.2 R C ln(VDD − VSS)", SEEN,
            Timing(SUPPLY_LOG, ((0.0, 0.2),)),
        ),),
        _CMOS_V,
        Range(5e3, 1e6, SEEN),
        Range(0.01e-6, None, SEEN),
        aliases=("MC14528", "4528", "14528"),
        kin=("HEF4528",),
        spreads=(
            Spread(15 / 30, 45 / 30, "ON MC14528B, 10 kΩ, 10 nF: 15 µs to 45 µs about 30 µs at 5 V", 5.0),
            Spread(10 / 50, 90 / 50, "ON MC14528B, 10 kΩ, 10 nF: 10 µs to 90 µs about 50 µs at 10 V", 10.0),
            Spread(15 / 55, 95 / 55, "ON MC14528B, 10 kΩ, 10 nF: 15 µs to 95 µs about 55 µs at 15 V", 15.0),
        ),
        electrolytic="above 15 µF it needs a discharge diode",
        remarks=("its pulse grows with the supply, that of an HEF4528 shrinks: don't swap them",),
    ),
    Device(
        "HEF4528",
        (Sheet(
            "Nexperia", "Nexperia HEF4528B Rev 10, p. 7 note 4", SEEN,
            Timing(PLAIN, ((5.0, 0.42), (10.0, 0.32), (15.0, 0.30))),
        ),),
        _CMOS_V,
        Range(5e3, 2e6, SEEN),
        Range(0.01e-6, None, SEEN),
        kin=("CD4528",),
        remarks=("its pulse shrinks as the supply rises, that of an MC14528 grows: don't swap them",),
    ),
    Device(
        "CD4538",
        (Sheet("4000 series", "CD4538B and MC14538B: 1.0 R C", SEEN, fixed(1.0)),),
        _CMOS_V,
        Range(5e3, 2e6, SEEN),
        Range(2e-9, None, SEEN),
        aliases=("MC14538", "4538", "14538", "HCF4538"),
        kin=("HEF4538", "74HC4538"),
        electrolytic=_NO_SERIES,
    ),
    Device(
        "HEF4538",
        (Sheet("NXP", "NXP HEF4538B Rev 06, Table 8: 1.0 R C", SEEN, fixed(1.0)),),
        _CMOS_V,
        Range(5e3, 2e6, SEEN),
        Range(2e-9, None, SEEN),
        kin=("CD4538", "74HC4538"),
        spreads=(
            Spread(1.0, 1.13, "NXP HEF4538B Rev 06, 100 kΩ, 0.1 µF: 10.1 ms to 11.3 ms where R C is 10 ms"),
        ),
        electrolytic=_NO_SERIES,
        remarks=("typically 6 % to 8 % longer than R C: 10.8 ms at 5 V, 10.7 ms at 10 V, 10.6 ms at 15 V",),
    ),
    Device(
        "4047",
        (Sheet(
            "Philips", "Philips HEF4047B (January 1995), p. 11: typically 2.48 R C", SEEN,
            Timing(TRANSFER, transfer=0.5),
        ),),
        _CMOS_V,
        Range(10e3, 1e6, SEEN),
        Range(100e-12, None, SEEN),
        aliases=("CD4047", "HEF4047", "HCF4047", "MC14047"),
        spreads=(Spread(1.0, 1.12, "Philips HEF4047B: +12/−0 % for transfer voltages of 0.3 to 0.7 VDD"),),
        electrolytic="the capacitor must not be polarised",
    ),
    Device(
        "9602",
        (Sheet(
            "Fairchild", "Fairchild DM9602 (DS006611)", "0.31 from memory, the rest seen",
            fixed(0.31, OFFSET, 1000.0), fixed(0.3), SEEN,
        ),),
        _TTL_V,
        Range(5e3, 50e3, SEEN),
        Range(None, None, ""),
        aliases=("DM9602",),
        electrolytic=_REVERSED,
        wants_diode=True,
        remarks=(
            "leakage above 3 µA or more than 50 pF of stray capacitance breaks the formula",
            "with the diode keep the resistor below 0.6 of its greatest value, and don't retrigger",
        ),
    ),
    Device(
        "96LS02",
        (Sheet("Fairchild", "Fairchild DM96LS02: 0.43 R C", SEEN, fixed(0.43)),),
        _TTL_V,
        Range(10e3, 1e6, "Fairchild DM96LS02, seen; down to 1 kΩ works, but not to the formula"),
        Range(1000e-12, None, SEEN),
        aliases=("DM96LS02",),
    ),
    Device(
        "NE555",
        (Sheet("TI", "TI SLFS022 (NE555): R C ln 3 = 1.1 R C", SEEN, Timing(TWO_THIRDS)),),
        (4.5, 16.0),
        Range(2e3, None, "TI SLFS022, seen: specified from 2 kΩ to 100 kΩ with 0.1 µF"),
        Range(None, None, ""),
        aliases=("555", "LM555", "SE555", "NA555", "SA555", "MC1455", "LM1455"),
        spreads=(Spread(0.97, 1.03, "TI SLFS022: 1 % typical, 3 % at most at first, for the NE555"),),
        ceilings=((5.0, 3.4e6), (15.0, 10e6)),
        remarks=(
            "at 5 V the threshold may lie from 2.4 V to 4.2 V, which alone gives 0.654 R C to 1.833 R C",
            "drifts by 50 ppm/K and 0.1 %/V (typical)",
        ),
    ),
)  # fmt: skip
"""Every one-shot there is; supply ranges are from memory."""
