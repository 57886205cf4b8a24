/* The symptom page: a large field, the controls beside it, and the faults that answer. Without it the page's
 * own list is all there is; with it the list gives way to the answers as soon as something is asked.
 */
(function () {
  "use strict";

  const { findFaults, root, isTrouble } = window.halfsplitSearch;
  const { made, summary, Narrowing } = window.halfsplitNarrowing;
  const PAUSE_MS = 80;
  const AT_ONCE = 20;

  function item({ path, title, symptom, on, block, seen, confirmed }) {
    const row = made("li", {});
    const href = (root() || "./") + path.split("/").map(encodeURIComponent).join("/");
    row.append(made("a", { class: "hs-fault-title", href }, title));
    if (!confirmed) row.append(" ", made("span", { class: "hs-tag" }, "suspected"));
    const where = `${on.join("; ")} · ${block}${seen ? ` · seen ${seen}×` : ""}`;
    row.append(made("span", { class: "hs-fault-symptom" }, symptom), " ", made("span", { class: "hs-quiet" }, where));
    return row;
  }

  function list(results) {
    const faults = made("ul", { class: "hs-faults" });
    faults.append(...results.map(item));
    return faults;
  }

  class SymptomPage {
    constructor(form) {
      this.form = form;
      this.input = form.querySelector("input[type=search]");
      this.answers = document.querySelector(".hs-symptom-answers");
      this.all = document.querySelector(".hs-all-symptoms");
      this.note = form.querySelector("[role=status]");
      this.narrowing = new Narrowing("hs-symptom", () => this.search());
      form.querySelector(".hs-symptom-narrow").append(this.narrowing.fields);
      this.turn = 0;
      this.limit = AT_ONCE;
      this.more = made("button", { type: "button", class: "hs-more" }, "Show more");
      this.more.addEventListener("click", () => this.search(this.limit + AT_ONCE));
      this.input.addEventListener("input", () => this.typed());
      form.addEventListener("submit", (event) => {
        event.preventDefault();
        this.search();
      });
      form.hidden = false;
    }

    typed() {
      clearTimeout(this.timer);
      this.turn += 1; // whatever is still under way is no longer wanted
      this.timer = setTimeout(() => this.search(), PAUSE_MS);
    }

    async search(limit = AT_ONCE) {
      clearTimeout(this.timer);
      const query = this.input.value.trim();
      const turn = ++this.turn;
      this.limit = limit;
      if (!query && !this.narrowing.isSet()) return this.show("", []);
      try {
        const isUnknown = await this.narrowing.isUnknownSerial();
        const found = isUnknown ? null : await findFaults(query, this.narrowing.value(), limit);
        if (turn !== this.turn) return;
        if (isUnknown) this.show(this.narrowing.unknownSerial(), []);
        else this.show(summary(query, found, "fault"), found.results, found.total);
      } catch (trouble) {
        if (turn === this.turn) this.show("The search index could not be loaded.", []);
        if (!isTrouble(trouble)) throw trouble;
      }
    }

    show(note, results, total = 0) {
      this.note.textContent = note;
      this.all.hidden = Boolean(note);
      const here = results.filter((each) => each.here);
      const elsewhere = results.filter((each) => !each.here);
      this.answers.replaceChildren(...(here.length ? [list(here)] : []));
      if (elsewhere.length) {
        this.answers.append(made("h2", {}, "In other models, in the same kind of block"), list(elsewhere));
      }
      if (total > results.length) this.answers.append(this.more);
    }

    start() {
      this.narrowing.fill();
      const query = new URLSearchParams(location.search).get("q");
      if (query) this.input.value = query;
      this.search(); // the browser may have kept what was typed before the page was left
    }
  }

  document.addEventListener("DOMContentLoaded", () => {
    const form = document.querySelector("form.hs-symptom-search");
    if (form) new SymptomPage(form).start();
  });
})();
