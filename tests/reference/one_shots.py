"""Check values for one-shots (topic 3) and for the 555's timing capacitor (topic 4)."""

from __future__ import annotations

from tests.reference.checks import Check


def _pulse(name: str, device: str, expected: float, source: str, tol: float = 1e-9, **more: str) -> Check:
    parts = {"resistor": "10k", "capacitor": "100n", **more}
    return Check(name, {"device": device, **parts}, "pulse", expected, tol, source)


ONE_SHOTS = (
    _pulse(
        "T3-121-floyd1", "74121", 0.091, "T. Floyd, Digital Fundamentals, Ex. 7-11 (74121, 0.7 R C)", 0.012,
        resistor="39k", capacitor="3.3 uF",
    ),
    Check(
        "T3-122-floyd", {"device": "74122", "capacitor": "560 pF", "pulse": "1 us"}, "resistor",
        4880.0, 0.002,
        "T. Floyd, Digital Fundamentals, Eq. 7-2 / Ex. 7-12 (0.32, 0.7/R)",
    ),
    _pulse(
        "T3-123-nodiode", "74123", 0.0002996, "TI SDLS043 (74123, no diode), as used in a public emulator"
    ),
    _pulse("T3-123-diode", "74123", 0.0002675, "TI SDLS043 (74123, switching diode)", diode="yes"),
    _pulse(
        "T3-123-47k-2u2", "74123", 0.026235, "same formula, electrolytic with diode; computed",
        resistor="47k", capacitor="2u2", diode="yes",
    ),
    _pulse(
        "T3-123-5k", "74123", 1.596e-06, "same formula at 5k; computed", resistor="5k", capacitor="1 nF"
    ),
    _pulse(
        "T3-ls123-037", "74LS123", 0.00037, "DM74LS123 (Fairchild DS006386), K about 0.37; from memory",
        maker="Fairchild",
    ),
    _pulse(
        "T3-hc123-5V-1998", "74HC123", 0.00055, "Philips 74HC/HCT123 (8 July 1998), p. 9, K = 0.55",
        maker="Philips",
    ),
    _pulse("S3-hc123-5V-2015", "74HC123", 0.00045, "NXP 74HC/HCT123 Rev 9 (2015), K = 0.45", maker="NXP"),
    _pulse(
        "S3-hc123-2V-2015", "74HC123", 0.00055, "NXP 74HC/HCT123 Rev 9 (2015), K = 0.55",
        maker="NXP", supply="2 V",
    ),
    _pulse("S3-hc123-national", "MM74HC123AN", 0.001, "National MM74HC123A/HC423A, K = 1.0"),
    _pulse("S3-ls123-045", "74LS123", 0.00045, "TI/Motorola, K = 0.45, seen in a lab note"),
    _pulse("T3-ahc123a", "74AHC123A", 0.001, "TI SN74AHC123A-EP SCLS703A, K = 1 for C >= 1000 pF"),
    _pulse("T3-hc221", "74HC221", 0.0007, "Philips 74HC/HCT221 (December 1990), 0.7 R C"),
    _pulse("T3-hc4538", "74HC4538", 0.0007, "Nexperia 74HC4538 Rev 4 (24 February 2016), 0.7 R C"),
    _pulse(
        "T3-hef4538-15V", "HEF4538", 0.0106, "NXP HEF4538B Rev 06, Table 8, typical (100k, 0.1 uF)", 0.08,
        resistor="100k", supply="15 V",
    ),
    _pulse(
        "T3-hef4528-5V", "HEF4528", 4.2e-05, "Nexperia HEF4528B Rev 10, p. 7 note 4", capacitor="10 nF"
    ),
    _pulse(
        "T3-hef4528-10V", "HEF4528", 3.2e-05, "Nexperia HEF4528B Rev 10, p. 7 note 4",
        capacitor="10 nF", supply="10 V",
    ),
    _pulse(
        "S3-mc14528-5V", "MC14528", 30e-6, "ON Semiconductor MC14528B: typically 30 us", 0.08,
        capacitor="10 nF",
    ),
    _pulse(
        "S3-mc14528-10V", "MC14528", 50e-6, "ON Semiconductor MC14528B: typically 50 us", 0.08,
        capacitor="10 nF", supply="10 V",
    ),
    _pulse(
        "S3-mc14528-15V", "MC14528", 55e-6, "ON Semiconductor MC14528B: typically 55 us", 0.02,
        capacitor="10 nF", supply="15 V",
    ),
    _pulse("S3-4098", "CD4098BE", 0.0005, "Intersil FN3332 / ST, 0.5 R C"),
    _pulse("S3-4047", "HEF4047B", 0.00248, "Philips HEF4047B (January 1995), 2.48 R C", 0.003),
    _pulse("S3-555", "NE555P", 0.0010986, "TI SLFS022, 1.0986 R C", 1e-4),
    _pulse("T3-9602", "9602", 0.000341, "9602: 0.31 R C (1 + 1/R); from memory"),
    _pulse("T3-9602-diode", "9602", 0.0003, "Fairchild DM9602 rule 4: t about 0.3 R C", diode="yes"),
    _pulse("T3-96ls02", "96LS02", 0.00043, "Fairchild DM96LS02: 0.43 R C (R >= 10k, C >= 1000 pF)"),
)  # fmt: skip

TRANSFER_4047 = (
    ("T3-4047-tM-15V4", 4.0, 15.0, 2.88, 0.003, "Philips HEF4047B (January 1995), p. 11"),
    ("T3-4047-tM-15V11", 11.0, 15.0, 2.56, 0.003, "Philips HEF4047B (January 1995), p. 11"),
)
"""Id, transfer voltage, supply, pulse as a multiple of R C, tolerance, source."""

POWER_DOWN = ("T3-ahc123a-powerdown", 5.0, 1.5e-11, 0.03, 2.5e-09, 1e-9, "TI SCLS703A worked number")
"""Id, supply, capacitor, current, time, tolerance, source."""

CEILINGS_555 = (
    ("T4-555-rmax5", 5.0, 3.4e6, "TI SLFS022 (February 1992), note 2"),
    ("T4-555-rmax15", 15.0, 10e6, "TI SLFS022 (February 1992), note 2"),
)
"""Id, supply, greatest resistor, source."""
