"""Which output works which input: a verdict with its margins and, where it fails, what would cure it.

Pure functions over sockets. `kb.fits.from_shop` makes the sockets out of a shop's records; every number
comes from a calculator, so that `halfsplit calc` gives the same.
"""

from __future__ import annotations

from kb.fits.cures import Cure, cure
from kb.fits.pairing import fit
from kb.fits.socket import Converter, OneShot, Socket
from kb.fits.stages import Stage
from kb.fits.verdict import FAILS, FITS, MARGINAL, OTHER_KIND, UNKNOWN, Fit, Margin, Verdict

__all__ = [
    "FAILS", "FITS", "MARGINAL", "OTHER_KIND", "UNKNOWN", "Converter", "Cure", "Fit", "Margin", "OneShot",
    "Socket", "Stage", "Verdict", "cure", "fit",
]  # fmt: skip
