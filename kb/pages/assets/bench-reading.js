/* Judges a reading at the bench against what the check says is good: the rule of kb/diagnosis/judging.py.
 *
 * Quantities are read by quantities.js. Nothing is guessed: what cannot be compared is refused with a reason.
 */
(function () {
  "use strict";

  const LIMIT = /^(>=|<=|≥|≤|>|<)\s*(.+)$/;

  const NUMBER = "[-+−]?(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)";
  const BARE = new RegExp(`^${NUMBER}$`);
  const WITHOUT_UNIT = new RegExp(`^(?:(?:>=|<=|≥|≤|>|<)\\s*)?${NUMBER}(?:\\s+to\\s+${NUMBER})?$`);

  const quantities = () => window.halfsplitCalculations.quantities;

  function refuse(what, advice) {
    throw new (quantities().QuantityProblem)(what, advice);
  }

  function valueOf(text, dimension) {
    const found = quantities().read(text, dimension);
    if (found.hasTolerance) refuse(`${quantities().quoted(text)} has a tolerance`, "write what the instrument shows");
    return found.value;
  }

  /* The reading as a range; one value is a range of no width. */
  function spanOf(text, dimension) {
    const limit = LIMIT.exec(text);
    if (limit) {
      const end = valueOf(limit[2], dimension);
      return [">=", "≥", ">"].includes(limit[1]) ? { low: end, high: null } : { low: null, high: end };
    }
    const ends = text.split(/\s+to\s+/);
    if (ends.length > 2) refuse(`${quantities().quoted(text)} has more than two ends`, 'write for example "4.3 V to 4.4 V"');
    if (ends.length === 1) {
      const value = valueOf(text, dimension);
      return { low: value, high: value };
    }
    const unit = /[^0-9.\s].*$/.exec(ends[1].replace(/^[-+−]/, ""));
    const low = valueOf(BARE.test(ends[0]) && unit ? `${ends[0]} ${unit[0]}` : ends[0], dimension);
    const high = valueOf(ends[1], dimension);
    if (low > high) refuse(`the low end of ${quantities().quoted(text)} is above its high end`, "write the smaller one first");
    return { low, high };
  }

  /* All of the reading has to lie within what is good. */
  function isWithin(reading, [low, high]) {
    const below = low !== null && (reading.low === null || reading.low < low);
    const above = high !== null && (reading.high === null || reading.high > high);
    return !below && !above;
  }

  /* The text as it is kept, with the unit chosen beside it where none was typed. */
  function completed(text, unit) {
    const tidy = text.trim().replace(/\s+/g, " ").replace(/^−/, "-");
    return unit && WITHOUT_UNIT.test(tidy) ? `${tidy} ${unit}` : tidy;
  }

  /* The outcome of a reading typed with `unit` chosen beside it; throws with `what` and `advice`. */
  function judge(typed, unit, check) {
    const reading = completed(typed, unit);
    if (!reading) refuse("no reading is typed", `write one such as ${check.good}, or press Good or Bad`);
    const outcome = isWithin(spanOf(reading, check.span[2]), check.span) ? "pass" : "fail";
    return { outcome, reading };
  }

  window.halfsplitBench = { judge };
})();
