"""The thresholds of a comparator with feedback, for both topologies and with or without a pull-up.

An open collector that is off leaves the feedback resistor hanging on the pull-up, so the two thresholds
have different networks. Feedback for a wanted hysteresis follows from a quadratic, not from trial.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.formulas import Expression

INVERTING, NON_INVERTING = "inverting", "non_inverting"


@dataclass(frozen=True)
class Network:
    """A comparator's network in formula names.

    `top` is the voltage at the upper end of the divider or the reference, `high` that of a high output,
    both names; `pull_up` says whether a pull-up adds to the feedback while the output is high.
    """

    topology: str
    top: str
    high: str
    pull_up: bool

    @property
    def upper(self) -> Expression:
        """The threshold that a rising input has to pass."""
        if self.topology == INVERTING:
            return self._divider(self.high, self._high_feedback)
        return Expression(f"{self.top} * (1 + R_I / R_F) - V_OL * R_I / R_F")

    @property
    def lower(self) -> Expression:
        """The threshold that a falling input has to pass."""
        if self.topology == INVERTING:
            return self._divider("V_OL", "R_F")
        return Expression(f"{self.top} - ({self.high} - {self.top}) * R_I / {self._high_feedback}")

    @property
    def hysteresis(self) -> Expression:
        """The distance of the two, in parts alone."""
        return Expression(f"{self.upper.text} - ({self.lower.text})")

    @property
    def open_voltage(self) -> Expression:
        """Where the thresholds would both lie without feedback."""
        if self.topology == INVERTING:
            return Expression(f"{self.top} * R_L / (R_U + R_L)")
        return Expression(self.top)

    @property
    def source(self) -> Expression:
        """The resistance that the feedback works against."""
        return Expression("R_U * R_L / (R_U + R_L)" if self.topology == INVERTING else "R_I")

    @property
    def push_up(self) -> Expression:
        """How far a high output lies above the open threshold V_K, in parts of the wanted hysteresis."""
        return Expression(f"({self.high} - V_K) / V_W")

    @property
    def feedback(self) -> Expression:
        """The feedback resistor for the hysteresis V_W, from the steps a, b and R_K."""
        own = " - R_K" if self.topology == INVERTING else ""
        if not self.pull_up:
            return Expression(f"R_K * (a + b){own}")
        middle = "R_K * (a + b) - R_P"
        return Expression(f"({middle} + sqrt(({middle}) ** 2 + 4 * R_K * R_P * b)) / 2{own}")

    @property
    def _high_feedback(self) -> str:
        return "(R_F + R_P)" if self.pull_up else "R_F"

    def _divider(self, output: str, feedback: str) -> Expression:
        return Expression(
            f"({self.top} / R_U + {output} / {feedback}) / (1 / R_U + 1 / R_L + 1 / {feedback})"
        )


PULL_DOWN = Expression("(V_K - V_OL) / V_W")
"""How far a low output lies below the open threshold, in parts of the wanted hysteresis."""
