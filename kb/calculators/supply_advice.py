"""What a colleague says about a supply: mains first, then headroom, heat and ratings.

Sentences without computed numbers, so that they hold for whatever numbers the page is given.
"""

from __future__ import annotations

MAINS = (
    "this is the mains side and what hangs on it: unplug, let the reservoir discharge, and measure that it "
    "is empty before you touch anything; local codes and licensed practice come before this page"
)
MEASURE = (
    "numbers tell what to expect, a meter tells what is: measure the valley with an oscilloscope under full "
    "load before and after the repair"
)
INRUSH = (
    "at switch-on only winding and diodes limit the current into an empty reservoir: a larger capacitor than "
    "the old one strains rectifier, fuse and switch; keep to the fuse that is marked"
)
CAUTIONS = (MAINS, MEASURE, INRUSH)
"""These stand beside every supply."""

TOO_LOW = "gives nothing behind the diodes"
NO_PART = "{part} is no part that the mains may be off by"
NO_SIGN = "write it without a sign, for example 10 %"
EMPTIED = "is emptied between two peaks: the ripple would be {ripple}"
FAILS = "the valley lies below what the regulator needs even at nominal mains: the output hums"
FAILS_LOW = (
    "at low mains the valley falls below what the regulator needs: it hums on a bad day. Larger reservoir, "
    "Schottky diodes, less load or a regulator with less drop-out"
)
MARGINAL = (
    "at low mains it holds with parts of full value, but not with the worst ones their tolerances allow"
)
ON_PAPER = (
    "at low mains it passes on paper only: the resistance of the winding took 0.45 V to 3.3 V off the valley "
    "in simulated supplies, more than is left here. Give source_resistance, or measure"
)
SIMPLE_FLATTERS = (
    "the simple form takes the winding for ideal: against simulated supplies it shows 1.25 to 1.68 times the "
    "ripple, but a valley that is 0.45 V to 3.3 V too high"
)
LARGE_RIPPLE = (
    "the ripple is more than a fifth of the peak: the straight line of the simple form is rough here"
)
HOT = (
    "more than 1 W in the regulator: it needs a heatsink (about 65 K for each watt without one, from memory)"
)
HOT_HIGH = "at high mains more than 1 W in the regulator: it needs a heatsink (from memory)"
OVER_REGULATOR = "off load at high mains the regulator sees more than the 35 V it is rated for (from memory)"
LARGE_LOAD = "the figures of the regulator hold up to 1 A"
OVER_RATING = (
    "off load at high mains the voltage is above the capacitor's rating: an electrolytic can burst; take the "
    "next higher rating"
)
RATING = (
    "the capacitor's rating must lie above the off-load peak at high mains, and a small transformer gives "
    "more than its rated voltage off load on top of that"
)
RIPPLE_CURRENT = (
    "the reservoir's ripple current is about 1.5 to 2 times the load (common practice, no source): the new "
    "part must be rated for it, at 105 °C where it sits near heat"
)
ASSUMED = "no tolerance was given for the capacitor: ±20 % is assumed; old ones are often below that"
NO_REGULATOR = (
    "no regulator was named: headroom and heat are left out; least_input and regulated stand in for it"
)
DIODE_MODEL = (
    "the solution in time uses a model of a 1 A silicon rectifier; diode_drop counts in the simple form only"
)
OVERLOADED = "the winding can't give this load through {ohm}: the reservoir never charges"
