"""The calculator `pulse` on the command line: files as named or of the shop; ports are read if asked for."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from kb.calculators import Calculator
from kb.calculators.pulse import bound
from kb.calculators.pulse_sources import Needs, PulseSources, from_files, no_ports


def shop_pulse(folder: Path) -> Calculator:
    """The calculator for the shop in `folder`; outside of one no port is known."""
    return bound(PulseSources(partial(from_files, shop=folder), partial(port_in, folder)))


def port_in(folder: Path, reference: str) -> Needs:
    """What the input `model/port` of the shop in `folder` needs; raises CalculationError."""
    if not (folder / "shop.yml").is_file():
        return no_ports(reference)
    # Here and not above: reading records is slow to import, and most calls need none.
    from kb.cli.loading import shop_or_stop  # noqa: PLC0415
    from kb.pages.shop_captures import port_of  # noqa: PLC0415

    return port_of(shop_or_stop(folder), reference)
