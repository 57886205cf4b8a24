/* An exercise in the page: takes an answer as it is written at the bench, says how far off it is, and gives
 * other numbers. Answers were computed when the site was made; quantities.js reads what is typed.
 */
(function () {
  "use strict";

  const quantities = () => window.halfsplitCalculations.quantities;
  const SAME = 1e-9;
  const LARGER = { 1: "ten times", 2: "a hundred times", 3: "a thousand times", 6: "a million times", 9: "a milliard times" };

  /* How an answer stands to the right one: `isRight`, and what to say. */
  function judged(value, [right, dimension, shown], within) {
    const ratio = value / right;
    const off = ratio - 1;
    const isClose = (each) => Math.abs(each - 1) <= within * (1 + SAME);
    if (isClose(ratio)) return { isRight: true, text: `✓ Right: ${shown}.` };
    if (value === 0) return { isRight: false, text: "✗ It is not nought." };
    if (isClose(-ratio)) return { isRight: false, text: "✗ The size is right, the sign is not." };
    if (ratio < 0) return { isRight: false, text: "✗ The sign is not right, and the size is off too." };
    const power = Math.round(Math.log10(ratio));
    const times = LARGER[Math.abs(power)] || `10 to the power of ${Math.abs(power)} times`;
    const way = ratio > 1 ? "too large" : "too small";
    if (power !== 0 && isClose(ratio / 10 ** power)) {
      const slip = power % 3 === 0 ? "the digits are right, so look at the prefix (p, n, µ, m, k, M)" : "the digits are right, so look for the decimal point";
      return { isRight: false, text: `✗ ${times[0].toUpperCase()}${times.slice(1)} ${way}: ${slip}.` };
    }
    if (ratio >= 3) return { isRight: false, text: `✗ About ${quantities().show(ratio, "number", 2)} times too large.` };
    if (ratio <= 1 / 3) return { isRight: false, text: `✗ About ${quantities().show(1 / ratio, "number", 2)} times too small.` };
    return { isRight: false, text: `✗ ${quantities().show(Math.abs(off), "ratio", 2)} ${way}.` };
  }

  class Exercise {
    constructor(section) {
      this.section = section;
      this.data = JSON.parse(section.querySelector(".hs-exercise-data").textContent);
      this.progress = window.halfsplitCourse.progressOf(section.dataset.shop);
      this.variants = Array.from(section.querySelectorAll("[data-variant]"));
      this.at = 0;
      this.seen = new Set();
      this.field = section.querySelector("input");
      section.querySelector("[data-live]").hidden = false;
      section.addEventListener("submit", (event) => { event.preventDefault(); this.judge(); });
      const other = section.querySelector("[data-do=other]");
      if (other) other.addEventListener("click", () => this.other());
      this.variants.forEach((each, at) => {
        const working = each.querySelector(".hs-exercise-working");
        working.addEventListener("toggle", () => { if (working.open && !this.isRight) this.seen.add(at); });
      });
      window.addEventListener("halfsplit-progress", () => this.showState());
      this.showState();
    }

    say(text, isRight = null) {
      const said = this.section.querySelector("[data-said=judged]");
      said.textContent = text;
      said.classList.toggle("hs-verdict-ok", isRight === true);
      said.classList.toggle("hs-verdict-bad", isRight === false);
    }

    showState() {
      const isDone = this.progress.has("exercises", this.data.id);
      this.section.querySelector("[data-said=state]").textContent = isDone ? "✓ done" : "";
    }

    judge() {
      const answer = this.data.answers[this.at];
      let found;
      try {
        found = judged(quantities().read(this.field.value, answer[1]).value, answer, this.data.within);
      } catch (problem) {
        if (!problem.advice) throw problem;
        this.say(`${problem.what}; ${problem.advice}`, false);
        return;
      }
      this.isRight = found.isRight;
      const isTold = this.seen.has(this.at) && this.variants.length > 1;
      this.say(found.isRight && isTold ? `${found.text} The working was open, so take other numbers for it to count.` : found.text, found.isRight);
      if (found.isRight && !isTold) this.progress.mark("exercises", this.data.id);
    }

    other() {
      this.variants[this.at].hidden = true;
      this.at = (this.at + 1) % this.variants.length;
      this.variants[this.at].hidden = false;
      this.variants[this.at].querySelectorAll("details").forEach((each) => { each.open = false; });
      this.isRight = false;
      this.field.value = "";
      this.say(`Other numbers, set ${this.at + 1} of ${this.variants.length}: ${this.variants[this.at].querySelector(".hs-exercise-question").textContent}`);
      this.field.focus();
    }
  }

  window.halfsplitExercise = { judged };
  document.addEventListener("DOMContentLoaded", () => document.querySelectorAll("[data-hs-exercise]").forEach((section) => new Exercise(section)));
})();
