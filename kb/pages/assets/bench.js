/* The bench page: takes entries by finger, mouse and keyboard, and shows at once what they mean.
 *
 * The next check stands alone above its buttons, below its cautions. What is in the page is all there is: no
 * request is made, and what is entered stays in this browser.
 */
(function () {
  "use strict";

  const bench = window.halfsplitBench;
  const { element, quiet } = bench;
  const DOUBLE_PRESS_MS = 350;
  const MOST_SYMPTOMS = 12;
  const MOST_OTHERS = 4;
  const KEYS = { g: "pass", b: "fail", n: "not_done" };

  class BenchPage {
    constructor(form) {
      this.form = form;
      this.data = JSON.parse(form.querySelector(".hs-bench-data").textContent);
      this.checks = new Map(this.data.checks.map((each) => [each.id, each]));
      this.keeper = new bench.Keeper(`halfsplit bench: ${this.data.shop}: ${this.data.model}`, () => window.localStorage);
      this.pressed = -Infinity;
      this.one = (selector) => form.querySelector(selector);
      this.said = (name) => this.one(`[data-said="${name}"]`);
      this.slot = (name) => this.one(`[data-slot="${name}"]`);
      form.querySelectorAll("[data-live]").forEach((each) => { each.hidden = false; });
      this.one("[data-static]").hidden = true;
      this.bind();
      if (this.state.entries.length) this.fold();
      this.show();
      if (!this.keeper.isStored) this.tell("This browser keeps nothing for this page: a reload would lose the entries.");
      setInterval(() => this.showTime(), 1000);
      for (const moved of ["scroll", "resize"]) window.addEventListener(moved, () => this.showNear(), { passive: true });
    }

    get state() { return this.keeper.now; }
    get serial() { return this.one("#hs-bench-serial"); }
    get value() { return this.one("#hs-bench-value"); }

    /* ---- What is done to the page ---- */

    bind() {
      const { form } = this;
      form.addEventListener("submit", (event) => { event.preventDefault(); this.judge(); });
      form.addEventListener("click", (event) => this.clicked(event));
      form.addEventListener("change", (event) => this.changed(event));
      form.addEventListener("input", (event) => this.typed(event));
      form.addEventListener("keydown", (event) => this.keyInForm(event));
      document.addEventListener("keydown", (event) => this.keyAnywhere(event));
      window.addEventListener("storage", (event) => {
        if (event.key !== this.keeper.key) return;
        this.keeper.clear();
        this.keeper.load();
        this.show();
        this.tell("Another window with this page changed the entries.");
      });
    }

    clicked(event) {
      const button = event.target.closest("button");
      if (!button) return;
      const { outcome, take, do: work } = button.dataset;
      if (outcome === "ruled_out") this.ruleOut();
      else if (outcome === "found") this.settle();
      else if (outcome) this.enter(this.found.current, outcome, null);
      if (take) this.take(take);
      if (work === "undo" || work === "redo") this.step(work);
      if (work === "clock") this.toggleClock();
      if (work === "fresh") this.fresh();
      if (work === "print") window.print();
      if (work === "yaml") this.copy();
      if (work === "back") this.take(null);
    }

    changed({ target }) {
      if (target.name === "hs-bench-revision") this.keep({ revision: target.value });
      if (target.dataset.symptom !== undefined) this.keep({ symptoms: this.ticked() });
      if (target.id === "hs-bench-found") this.keep({ found: target.value });
    }

    typed({ target }) {
      if (target === this.serial) this.keep({ serial: target.value }, "serial");
      if (target.id === "hs-bench-filter") this.showSymptoms();
      if (target === this.value) this.said("judged").textContent = "";
    }

    keyInForm(event) {
      const inCard = event.target.closest("[data-now]");
      if (event.key === "Enter" && event.target.matches("input")) {
        event.preventDefault();
        if (event.target === this.value) this.judge();
      }
      if (!inCard || event.ctrlKey || event.metaKey || event.altKey || event.repeat || event.target.matches("input, select")) return;
      const outcome = KEYS[event.key.toLowerCase()];
      const isReading = event.key.toLowerCase() === "r" && !this.one("[data-reading]").hidden;
      if (!outcome && !isReading) return;
      event.preventDefault();
      if (isReading) this.value.focus();
      else this.enter(this.found.current, outcome, null);
    }

    /* The entry follows the window's foot once the top of the card, where its cautions begin, is well in sight. */
    showNear() {
      const card = this.one("[data-now]");
      const isSmall = this.one(".hs-bench-entry").offsetHeight < window.innerHeight / 2;
      card.classList.toggle("hs-bench-near", isSmall && card.getBoundingClientRect().top < window.innerHeight / 3);
    }

    /* In a field with words in it Ctrl+Z takes back letters, as everywhere. */
    keyAnywhere(event) {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      const way = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : null;
      const field = event.target;
      if (!way || (field.matches("input:not([type=checkbox], [type=radio]), textarea") && field.value && !field.readOnly)) return;
      event.preventDefault();
      this.step(way);
    }

    keep(changes, kind = null) {
      const wasStored = this.keeper.isStored;
      this.keeper.change(changes, kind);
      this.show();
      if (wasStored && !this.keeper.isStored) this.tell("This browser keeps nothing for this page: a reload would lose the entries.");
    }

    ticked() {
      return Array.from(this.form.querySelectorAll("[data-symptom]")).filter((box) => box.checked)
        .map((box) => this.data.symptoms[Number(box.dataset.symptom)][0]);
    }

    /* A second press on the place where the button was must not answer the next check. */
    enter(check, outcome, reading) {
      if (!check || performance.now() - this.pressed < DOUBLE_PRESS_MS) return;
      this.pressed = performance.now();
      const entry = { check, outcome, reading, at: Date.now() };
      this.fold();
      this.keep({ entries: [...this.state.entries, entry], taken: null });
      this.tell(`${check}: ${outcomeText(entry)}. ${this.found.current ? `Next: ${this.found.current}.` : ""}`);
      this.toCard();
    }

    ruleOut() {
      const cause = this.confirmed();
      if (!cause || performance.now() - this.pressed < DOUBLE_PRESS_MS) return;
      this.pressed = performance.now();
      this.keep({ entries: [...this.state.entries, { cause: cause.id, outcome: "ruled_out", at: Date.now() }], found: null });
      this.tell(`${cause.title}: ruled out.`);
      this.toCard();
    }

    /* The fault is found: it goes into the record, and the next thing to do is to copy it. */
    settle() {
      const cause = this.confirmed();
      if (!cause) return;
      this.keep({ found: cause.kind === "fault" ? cause.id : "" });
      this.tell(`Found: ${cause.title}. Copy it for the job record.`);
      this.one('[data-do="yaml"]').focus();
    }

    judge() {
      const check = this.checks.get(this.found.current);
      if (!check || !check.span) return;
      try {
        const { outcome, reading } = bench.judge(this.value.value, this.one("#hs-bench-measured-in").value, check);
        this.enter(check.id, outcome, reading);
      } catch (problem) {
        if (!problem.advice) throw problem;
        this.said("judged").textContent = `${problem.what}; ${problem.advice}`;
      }
    }

    take(check) {
      this.keep({ taken: check });
      this.toCard();
    }

    step(way) {
      const before = this.state.entries.length;
      if (!this.keeper[way]()) return this.tell(way === "undo" ? "Nothing to take back." : "Nothing to do again.");
      this.show();
      const isEntry = this.state.entries.length !== before;
      return this.tell(`${way === "undo" ? "Taken back" : "Done again"}${isEntry ? `: ${this.state.entries.length} results now.` : "."}`);
    }

    toggleClock() {
      if (this.keeper.isRunning) this.keeper.pause();
      else this.keeper.start();
      this.showTime();
    }

    fresh() {
      if (!window.confirm("Clear everything that was entered for this unit?")) return;
      this.keeper.fresh();
      this.form.querySelectorAll("[data-fold]").forEach((each) => { each.open = true; });
      this.one("[data-yaml]").hidden = true;
      this.said("copied").textContent = "";
      this.show();
      this.tell("Cleared. A new unit may come.");
      this.serial.focus();
    }

    fold() { this.form.querySelectorAll("[data-fold]").forEach((each) => { each.open = false; }); }
    tell(text) { this.said("status").textContent = text; }

    toCard() {
      const heading = this.one("#now");
      heading.focus({ preventScroll: true });
      const { top } = heading.getBoundingClientRect();
      if (top < 0 || top > window.innerHeight / 2) heading.scrollIntoView({ block: "start" });
    }

    async copy() {
      const field = this.one("#hs-bench-yaml");
      const { entries } = this.state;
      field.value = bench.findings(this.chosen(), bench.lasting(entries), Math.round(this.keeper.seconds / 60));
      this.one("[data-yaml]").hidden = false;
      field.select();
      try {
        await navigator.clipboard.writeText(field.value);
        this.said("copied").textContent = "Copied.";
      } catch {
        this.said("copied").textContent = "It is selected below: copy it from there.";
      }
    }

    /* ---- What the page shows ---- */

    show() {
      this.found = bench.report(this.data, this.state);
      this.showUnit();
      this.showSymptoms();
      this.showCard();
      this.slot("causes").replaceChildren(...bench.causeRows(this.data, this.found));
      this.said("basis").textContent = bench.basisText(this.data, this.found);
      this.showOthers();
      const states = bench.blockStates(this.data, this.found);
      bench.markFlow(this.form, this.data, states, this.found.theCase.feeds);
      this.slot("blocks").replaceChildren(...bench.blockList(states));
      this.showLog();
      this.showTime();
      /* Not disabled: the focus would be lost with the last step. */
      this.one('[data-do="undo"]').setAttribute("aria-disabled", String(!this.keeper.past.length));
      this.one('[data-do="redo"]').setAttribute("aria-disabled", String(!this.keeper.future.length));
    }

    showUnit() {
      const { unit } = this.found;
      const { serial, revision } = this.state;
      if (this.serial.value !== serial) this.serial.value = serial;
      this.form.querySelectorAll("[name=hs-bench-revision]").forEach((each) => { each.checked = each.value === revision; });
      const names = unit.revisions.map((each) => each.toUpperCase());
      const isOne = names.length === 1;
      this.said("unit").textContent = [serial, isOne ? `revision ${names[0]}` : `may be revision ${names.slice(0, -1).join(", ")} or ${names[names.length - 1]}`]
        .filter(Boolean).join(", ");
      this.slot("marks").replaceChildren(...bench.marks(this.data, this.state, unit));
    }

    showSymptoms() {
      const filter = this.one("#hs-bench-filter");
      const words = filter ? filter.value.toLowerCase().split(/\s+/).filter(Boolean) : [];
      const { symptoms } = this.state;
      let [shown, hidden] = [0, 0];
      this.form.querySelectorAll("[data-symptom]").forEach((box) => {
        const [text] = this.data.symptoms[Number(box.dataset.symptom)];
        box.checked = symptoms.includes(text);
        const fits = words.every((word) => text.toLowerCase().includes(word));
        const isShown = box.checked || (fits && shown < MOST_SYMPTOMS);
        if (fits && !box.checked && isShown) shown += 1;
        if (fits && !isShown) hidden += 1;
        box.closest("li").hidden = !isShown;
      });
      if (filter) {
        const rest = hidden ? `${hidden} more: type a word of what is told.` : "";
        this.said("more").textContent = words.length && !shown ? "No other symptom on record has these words." : rest;
      }
      this.said("symptoms").textContent = symptoms.length ? symptoms.join("; ") : "none ticked";
    }

    showCard() {
      const { current, taken, repeat, step, message, held } = this.found;
      const check = this.checks.get(current);
      const isAgain = check && held.some((each) => each.check === current && each.outcome !== "not_done");
      const cause = check ? null : this.confirmed();
      const title = taken ? `You chose: ${current}` : repeat ? `Again first: ${current}` : check ? `Next check: ${current}` : cause ? `Confirm: ${cause.title}` : "No further check pays";
      this.one("#now").textContent = title;
      const row = check ? Array.from(this.form.querySelector(`[data-check="${CSS.escape(current)}"] .hs-check`).cloneNode(true).children) : null;
      this.slot("message").replaceChildren(...(message ? [element("p", "hs-note-warning hs-bench-message", message)] : []));
      const hazards = check ? check.hazards : cause ? cause.hazards : [];
      this.slot("cautions").replaceChildren(...bench.cautionsOf(this.form, hazards));
      const titles = hazards.map(([hazard]) => bench.cautionTitle(this.form, hazard));
      this.said("mind").textContent = titles.length ? `Caution above: ${titles.join("; ")}.` : "";
      /* What to do and what is good stay beside the buttons; where it is and its note stand below. */
      this.slot("now").replaceChildren(...(row ? row.slice(0, 2) : this.confirming(cause)));
      this.slot("more").replaceChildren(...(row ? row.slice(2) : []));
      this.slot("why").replaceChildren(...this.why(check, isAgain));
      this.form.querySelectorAll("[data-for-check]").forEach((each) => { each.hidden = !check; });
      this.form.querySelectorAll("[data-for-cause]").forEach((each) => { each.hidden = !cause; });
      if (this.shownCheck !== current) this.freshEntry(check);
      this.shownCheck = current;
      this.showNear();
    }

    freshEntry(check) {
      this.value.value = "";
      this.said("judged").textContent = "";
      this.one("[data-reading]").hidden = !(check && check.span);
      const units = check ? check.units : [];
      this.one("#hs-bench-measured-in").replaceChildren(...units.map((unit) => element("option", "", unit)));
    }

    /* The cause to look at now, where no check pays. */
    confirmed() {
      const { step, current, theCase } = this.found;
      return !current && step && step.confirm ? theCase.causes.find((each) => each.id === step.confirm) : null;
    }

    confirming(cause) {
      if (!cause) return [element("p", "", "Nothing on record is left to confirm: this is something new. Go on with the checks below, and write it down once it is found.")];
      const where = cause.kind === "fault" ? "Look for it as its page says: " : "Look in this block: ";
      return [element("p", "hs-check-do", where, bench.link(cause.href, cause.title))];
    }

    whyConfirm(cause) {
      const { step, theCase, probabilities } = this.found;
      const checks = theCase.checks.length ? "No further check is expected to save a minute." : "No check is on record for this model.";
      const share = bench.shareText(probabilities[theCase.causes.indexOf(cause)], bench.sizeOf(theCase));
      return [element("p", "", `It is ${share}`, quiet(` (${bench.countsOf(cause)})`), `. ${checks} About ${Math.round(step.baseMinutes)} minutes to the cured fault on average.`)];
    }

    why(check, isAgain) {
      const { step, taken } = this.found;
      if (!check) return this.confirmed() ? this.whyConfirm(this.confirmed()) : [];
      const parts = [];
      const proposal = step && step.proposals.find((each) => each.check === check.id);
      if (proposal && proposal.savesMinutes >= 1) {
        parts.push(element("p", "", `Saves about ${Math.round(proposal.savesMinutes)} of ${Math.round(step.baseMinutes)} minutes on average.`));
      } else if (proposal) parts.push(element("p", "hs-quiet", "It is not expected to save time."));
      const rows = bench.branchRows(this.data, this.found);
      if (rows.length) parts.push(element("p", "hs-label", "What would lead then"), element("ul", "hs-bench-branches", ...rows));
      if (isAgain) parts.push(element("p", "hs-quiet", "Made before; the new result takes the place of the old one."));
      if (taken) {
        const back = element("button", "", "Back to the proposed check");
        [back.type, back.dataset.do] = ["button", "back"];
        parts.push(back);
      }
      return parts;
    }

    showOthers() {
      const { step, theCase, current, held } = this.found;
      const done = new Set(held.filter((each) => each.outcome !== "not_done").map((each) => each.check));
      const order = step ? step.proposals : theCase.checks.map((each) => ({ check: each.id, savesMinutes: 0 }));
      const open = order.filter((each) => each.check !== current && !done.has(each.check));
      const first = open.filter((each) => each.savesMinutes >= 1).slice(0, MOST_OTHERS);
      const rest = open.filter((each) => !first.includes(each));
      this.slot("others").replaceChildren(...first.map((each) => this.other(each)),
        ...(open.length ? [] : [element("li", "hs-quiet", "None is left.")]));
      this.slot("rest").replaceChildren(...rest.map((each) => this.other(each)));
      this.one("[data-rest]").hidden = !rest.length;
      this.said("rest").textContent = `${rest.length} ${first.length ? "more" : rest.length === 1 ? "check that saves no time" : "checks that save no time"}`;
    }

    other({ check, savesMinutes }) {
      const button = element("button", "", "Take this one");
      [button.type, button.dataset.take] = ["button", check];
      button.setAttribute("aria-label", `Take this one: ${check}`);
      const source = this.form.querySelector(`[data-check="${CSS.escape(check)}"] .hs-check-do`).firstChild.textContent;
      const told = this.checks.get(check).hazards.map(([hazard]) => bench.cautionTitle(this.form, hazard));
      const saves = savesMinutes >= 1 ? `saves about ${Math.round(savesMinutes)} min` : "";
      return element("li", "", element("span", "hs-bench-other", element("strong", "", check), " ", source, " ",
        quiet([saves, told.length ? `Caution: ${told.join("; ")}` : ""].filter(Boolean).join(" · "))), button);
    }

    leader() {
      const { order, theCase, probabilities } = this.found;
      const cause = probabilities && theCase.causes[order[0]];
      return cause && cause.kind === "fault" ? cause.id : null;
    }

    faults() {
      const { order, theCase } = this.found;
      return order.map((place) => theCase.causes[place]).filter((each) => each && each.kind === "fault");
    }

    /* The fault for the record: as chosen, or the likeliest; null is something that is not on record. */
    chosen() {
      const { found } = this.state;
      return found === "" || this.faults().some((each) => each.id === found) ? found || null : this.leader();
    }

    showLog() {
      const { entries } = this.state;
      this.slot("log").replaceChildren(...entries.map((entry, at) => this.logRow(entry, at)));
      this.form.querySelector(".hs-bench-log table").hidden = !entries.length;
      this.said("heading").textContent = [this.data.name, this.said("unit").textContent,
        this.state.symptoms.length ? `told: ${this.state.symptoms.join("; ")}` : "", new Date().toLocaleDateString("en-GB")].filter(Boolean).join(" · ");
      const chosen = this.chosen() || "";
      const options = this.faults().map((each) => new Option(each.title, each.id, false, each.id === chosen));
      this.one("#hs-bench-found").replaceChildren(new Option("something not on record yet", "", false, !chosen), ...options);
      this.slot("paper").replaceChildren(...this.paper());
    }

    logRow(entry, at) {
      if (entry.cause) return this.causeRow(entry);
      const isLast = !this.state.entries.slice(at + 1).some((each) => each.check === entry.check);
      const did = !this.found.known.has(entry.check) ? "not made on this revision, so not counted"
        : !isLast ? "made again below" : entry.outcome === "not_done" ? "" : bench.didText(this.data, this.found, entry.check);
      const again = element("button", "hs-bench-again", "Again");
      [again.type, again.dataset.take] = ["button", entry.check];
      again.setAttribute("aria-label", `Make ${entry.check} again`);
      const mark = entry.outcome === "pass" ? "hs-verdict-ok" : entry.outcome === "fail" ? "hs-verdict-bad" : "hs-quiet";
      return element("tr", isLast ? "" : "hs-quiet", cell("Time", timeOf(entry)), cell("Check", entry.check), cell("Reading", entry.reading || "–"),
        cell("Verdict", element("span", mark, outcomeText({ ...entry, reading: null })), " ", this.found.known.has(entry.check) && isLast ? again : ""),
        cell("What it did", element("span", "hs-bench-did", did || "–")));
    }

    causeRow(entry) {
      const cause = this.found.whole.causes.find((each) => each.id === entry.cause);
      return element("tr", "", cell("Time", timeOf(entry)), cell("Check", cause ? bench.link(cause.href, cause.title) : entry.cause),
        cell("Reading", "–"), cell("Verdict", element("span", "hs-verdict-bad", "✗ not it")),
        cell("What it did", cause ? "ruled out" : "not on this revision, so not counted"));
    }

    /* At the end of the log on paper: how the causes stand, and the cautions of all that was done. */
    paper() {
      const hazards = new Map(this.state.entries.flatMap((entry) => (this.checks.get(entry.check)?.hazards || [])));
      const found = this.faults().find((each) => each.id === this.state.found);
      const turned = found ? found.title : this.state.found === "" ? "something not on record yet" : "not settled yet";
      return [element("p", "", `Time: ${this.said("time").textContent}`), element("p", "", `It turned out to be: ${turned}`), element("p", "hs-label", "Causes at the end"),
        element("ol", "hs-bench-causes", ...bench.causeRows(this.data, this.found)), ...bench.cautionsOf(this.form, Array.from(hazards))];
    }

    showTime() {
      const { seconds } = this.keeper;
      const two = (number) => String(number).padStart(2, "0");
      this.said("time").textContent = `${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
      this.one('[data-do="clock"]').textContent = this.keeper.isRunning ? "Pause" : this.keeper.stamps.length ? "Go on" : "Start";
    }
  }

  function cell(label, ...content) {
    const made = element("td", "", ...content);
    made.dataset.label = label;
    return made;
  }

  const timeOf = (entry) => new Date(entry.at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });

  function outcomeText(entry) {
    const word = { pass: "✓ good", fail: "✗ bad", not_done: "not done" }[entry.outcome];
    return entry.reading ? `${entry.reading}, ${word}` : word;
  }

  document.addEventListener("DOMContentLoaded", () => document.querySelectorAll("[data-hs-bench]").forEach((form) => {
    bench.page = new BenchPage(form);
  }));
})();
