/* Practice: plays a unit with a recorded fault, counts checks and minutes, and compares with the bench page.
 *
 * A check costs what it costs on the bench page, the opening of the unit once; so does looking for a fault.
 */
(function () {
  "use strict";

  const bench = window.halfsplitBench;
  const { element, link } = bench;
  const MOST_STEPS = 80;
  const plural = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;
  const minutesText = (minutes) => `${Math.round(minutes)} min`;

  /* What the work so far took, by the case of the unit: minutes, and what is open already. */
  class Bill {
    constructor(theCase) {
      this.theCase = theCase;
      this.minutes = 0;
      this.open = new Set([""]);
    }

    add({ minutes, access }) {
      const door = access || "";
      this.minutes += minutes + (this.open.has(door) ? 0 : this.theCase.opening[door] || 0);
      this.open.add(door);
    }
  }

  const stateOf = (unit, told, entries) =>
    ({ serial: "", revision: unit.revision, symptoms: [told], entries, taken: null, found: null });

  /* The symptom as the bench page has it among its choices, whatever its capitals. */
  function listed(data, text) {
    const found = data.symptoms.find(([each]) => each.toLowerCase() === text.toLowerCase());
    return found ? found[0] : text;
  }

  /* The bench page's own way to the fault with the same readings: what it took, and its steps. */
  function procedure(data, unit, told) {
    const symptom = listed(data, told);
    const first = bench.report(data, stateOf(unit, symptom, []));
    const bill = new Bill(first.whole);
    const entries = [];
    const steps = [];
    const made = new Set();
    while (steps.length < MOST_STEPS) {
      const found = bench.report(data, stateOf(unit, symptom, [...entries]));
      if (found.current && !made.has(found.current)) {
        const check = first.whole.checks.find((each) => each.id === found.current);
        const [outcome] = unit.reads[check.id];
        made.add(check.id);
        entries.push({ check: check.id, outcome, reading: null, at: entries.length });
        if (outcome !== "not_done") bill.add(check);
        steps.push({ check: check.id, outcome });
        continue;
      }
      const cause = found.step && found.step.confirm ? first.whole.causes.find((each) => each.id === found.step.confirm) : null;
      if (!cause) break;
      bill.add(cause);
      const isIt = cause.id === unit.fault;
      steps.push({ cause, isIt });
      if (isIt) return { minutes: bill.minutes, steps, isFound: true };
      entries.push({ cause: cause.id, outcome: "ruled_out", at: entries.length });
    }
    return { minutes: bill.minutes, steps, isFound: false };
  }

  const WORDS = { pass: "good", fail: "bad", not_done: "not on record" };

  class Practice {
    constructor(form) {
      this.form = form;
      this.model = form.dataset.hsPractice;
      const { bench: data, units } = JSON.parse(form.querySelector(".hs-practice-data").textContent);
      [this.data, this.units] = [data, units];
      this.progress = window.halfsplitCourse.progressOf(form.dataset.shop);
      this.one = (selector) => form.querySelector(selector);
      this.said = (name) => this.one(`[data-said="${name}"]`);
      form.querySelectorAll("[data-live]").forEach((each) => { each.hidden = false; });
      form.addEventListener("submit", (event) => { event.preventDefault(); this.name(); });
      form.addEventListener("click", (event) => this.clicked(event));
      window.addEventListener("halfsplit-progress", () => this.showProgress());
      const asked = /^#unit-([1-9][0-9]{0,5})$/.exec(window.location.hash);
      this.start(asked ? Number(asked[1]) : this.firstOpen());
    }

    /* The first unit whose fault was not found yet; the first of all when every one was. */
    firstOpen() {
      const place = this.units.findIndex((unit) => !this.isFound(unit));
      return place + 1 || 1;
    }

    isFound(unit) { return this.progress.has("practice", `${this.model}/${unit.fault}`); }

    start(number) {
      this.number = number;
      const round = Math.floor((number - 1) / this.units.length);
      this.unit = this.units[(number - 1) % this.units.length];
      this.told = this.unit.told[round % this.unit.told.length];
      this.whole = bench.report(this.data, stateOf(this.unit, listed(this.data, this.told), [])).whole;
      /* Of many causes the bench page keeps the likeliest; a unit's own may still be named. */
      const { fault: id, title, href } = this.unit;
      this.cause = this.whole.causes.find((each) => each.id === id && each.kind === "fault") || { id, title, href, kind: "fault", minutes: 0, access: "" };
      this.bill = new Bill(this.whole);
      [this.made, this.wrong, this.isOver] = [[], [], false];
      this.said("unit").textContent = `Unit ${number}, revision ${this.unit.revision.toUpperCase()}`;
      this.said("told").textContent = this.told;
      this.said("named").textContent = "";
      this.one("[data-answer]").hidden = true;
      this.showChecks();
      this.showFaults();
      this.showSpent();
      this.showProgress();
    }

    clicked(event) {
      const button = event.target.closest("button");
      if (!button) return;
      if (button.dataset.make) this.make(button);
      if (button.dataset.do === "tell") this.end(false);
      if (button.dataset.do === "another") {
        this.start((this.number % this.units.length) + 1 + Math.floor(this.number / this.units.length) * this.units.length);
        window.history.replaceState(null, "", `#unit-${this.number}`);
        this.one("#unit").focus();
      }
    }

    showChecks() {
      this.form.querySelectorAll("[data-check]").forEach((row) => {
        /* A caution stands above the first check that calls for it, and stays where that check does not. */
        const isOn = row.dataset.check in this.unit.reads;
        row.hidden = !isOn && !row.querySelector(".hs-caution");
        row.querySelector(".hs-check").hidden = !isOn;
        const reads = row.querySelector('[data-slot="reads"]');
        reads.hidden = true;
        reads.replaceChildren();
        const button = row.querySelector("[data-make]");
        button.setAttribute("aria-disabled", "false");
      });
    }

    faults() {
      const others = this.whole.causes.filter((each) => each.kind === "fault" && each.id !== this.cause.id);
      return [this.cause, ...others];
    }

    showFaults() {
      const options = this.faults().map((each) => new Option(each.title, each.id)).sort((one, other) => one.text.localeCompare(other.text, "en"));
      this.one("#hs-practice-fault").replaceChildren(new Option("choose one", ""), ...options);
    }

    showSpent() {
      const wrong = this.wrong.length ? `, ${plural(this.wrong.length, "fault")} looked for in vain` : "";
      this.said("spent").textContent = `So far: ${plural(this.counted(), "check")}, ${minutesText(this.bill.minutes)}${wrong}.`;
    }

    showProgress() {
      const found = this.units.filter((unit) => this.isFound(unit)).length;
      this.said("progress").textContent = `${found} of ${this.units.length} units found.`;
    }

    counted() { return this.made.filter((id) => this.unit.reads[id][0] !== "not_done" || this.unit.reads[id][1]).length; }

    make(button) {
      const id = button.dataset.make;
      if (this.isOver || this.made.includes(id)) return;
      const [outcome, text] = this.unit.reads[id];
      this.made.push(id);
      const isOnRecord = outcome !== "not_done" || text;
      if (isOnRecord) this.bill.add(this.whole.checks.find((each) => each.id === id));
      const reads = button.closest("[data-check]").querySelector('[data-slot="reads"]');
      reads.replaceChildren(...(isOnRecord
        ? [element("span", "hs-label", "Reads"), ` ${text || "as it should"}`]
        : ["Nobody wrote down how this reads on such a unit. No time is counted."]));
      reads.hidden = false;
      button.setAttribute("aria-disabled", "true");
      this.showSpent();
      this.said("spent").textContent = `${reads.textContent} ${this.said("spent").textContent}`.trim();
    }

    name() {
      const field = this.one("#hs-practice-fault");
      const cause = this.faults().find((each) => each.id === field.value);
      if (this.isOver) return;
      if (!cause) {
        this.said("named").textContent = "Choose a fault first.";
        field.focus();
        return;
      }
      if (this.wrong.includes(cause.id)) {
        this.said("named").textContent = "You looked for that one already.";
        return;
      }
      this.bill.add(cause);
      if (cause.id === this.unit.fault) {
        this.end(true);
        return;
      }
      this.wrong.push(cause.id);
      this.said("named").textContent = `✗ Not on this unit: ${cause.title}. Go on.`;
      this.showSpent();
    }

    end(isFound) {
      if (this.isOver) return;
      this.isOver = true;
      if (isFound) this.progress.mark("practice", `${this.model}/${this.unit.fault}`);
      const way = procedure(this.data, this.unit, this.told);
      this.said("named").textContent = isFound ? "✓ Found." : "Told, not found: it comes again.";
      this.showSpent();
      this.one('[data-slot="answer"]').replaceChildren(...this.answer(way, isFound));
      this.one("[data-answer]").hidden = false;
      this.one("#answer").focus();
    }

    answer(way, isFound) {
      const checks = way.steps.filter((each) => each.check && each.outcome !== "not_done").length;
      const vain = way.steps.filter((each) => each.cause && !each.isIt).length;
      const also = vain ? `, ${plural(vain, "cause")} looked for in vain` : "";
      const mine = this.wrong.length ? `, ${plural(this.wrong.length, "fault")} looked for in vain` : "";
      const parts = [
        element("p", "", isFound ? "✓ Found: " : "It was: ", link(this.cause.href, this.cause.title)),
        element("p", "", `You: ${plural(this.counted(), "check")}, ${minutesText(this.bill.minutes)}${mine}.`),
        element("p", "", way.isFound
          ? `The bench page with the same readings: ${plural(checks, "check")}, ${minutesText(way.minutes)}${also}.`
          : `The bench page with the same readings did not come to it in ${plural(checks, "check")} and ${minutesText(way.minutes)}.`),
        element("ol", "", ...way.steps.map((each) => element("li", "", each.check
          ? `${each.check}: ${WORDS[each.outcome]}`
          : `looks for “${each.cause.title}”: ${each.isIt ? "it is this" : "not this"}`))),
      ];
      const told = this.made.filter((id) => this.unit.reads[id][2]);
      if (told.length) {
        parts.push(element("p", "hs-label", "What your readings told"),
          element("ul", "", ...told.map((id) => element("li", "", element("strong", "", id), `: ${this.unit.reads[id][2]}`))));
      }
      const taken = this.made.filter((id) => this.unit.reads[id][0] === "pass" && !this.unit.reads[id][1]);
      if (taken.length) {
        parts.push(element("p", "hs-quiet", `Not written down with this fault, and taken as good because its signal does not come there: ${taken.join(", ")}.`));
      }
      return parts;
    }
  }

  window.halfsplitPractice = { procedure };
  document.addEventListener("DOMContentLoaded", () => document.querySelectorAll("[data-hs-practice]").forEach((form) => {
    form.hsPractice = new Practice(form);
  }));
})();
