/* What fits what, narrowed to the units that stand on the bench. They are kept in this browser and nowhere else;
   without this script every row is shown. A serial tells the revision by the rule of serial.js. */
(function () {
  "use strict";

  const KEPT = "halfsplit fits: ";
  const MOST_UNITS = 12;
  const LONGEST_SERIAL = 60;

  const isUnit = (value) => Boolean(value) && typeof value.model === "string" && typeof value.serial === "string";

  class BenchFilter {
    constructor(form) {
      this.form = form;
      this.data = JSON.parse(form.querySelector(".hs-fits-data").textContent);
      this.key = KEPT + this.data.shop;
      this.models = new Map(this.data.models.map((each) => [each.id, each]));
      this.units = this.load();
      this.isKept = true;
      form.hidden = false;
      form.addEventListener("submit", (event) => { event.preventDefault(); this.add(); });
      form.addEventListener("click", (event) => this.clicked(event));
      window.addEventListener("storage", (event) => {
        if (event.key === this.key) { this.units = this.load(); this.show(); }
      });
      window.addEventListener("hashchange", () => this.showTarget());
      this.show();
    }

    /* ---- The bench ---- */

    load() {
      try {
        const kept = JSON.parse(window.localStorage.getItem(this.key) || "[]");
        return Array.isArray(kept) ? this.known(kept.filter(isUnit)) : [];
      } catch {
        return [];
      }
    }

    known(units) {
      return units.filter((unit) => this.models.has(unit.model)).slice(0, MOST_UNITS);
    }

    change(units) {
      this.units = this.known(units);
      try {
        window.localStorage.setItem(this.key, JSON.stringify(this.units));
      } catch {
        this.isKept = false;
      }
      this.show();
    }

    add() {
      const model = this.form.querySelector("#hs-fits-model").value;
      const input = this.form.querySelector("#hs-fits-serial");
      const serial = input.value.trim().slice(0, LONGEST_SERIAL);
      const others = this.units.filter((unit) => unit.model !== model || unit.serial !== serial);
      input.value = "";
      this.change([...others, { model, serial }]);
    }

    clicked(event) {
      const button = event.target.closest("button[data-do], button[data-remove]");
      if (!button) return;
      if (button.dataset.do === "clear") this.change([]);
      else if (button.dataset.do === "jobs") this.change(this.data.jobs);
      else this.remove(Number(button.dataset.remove));
    }

    /* The keyboard stays where it was: on the next button to remove, or on the field to add. */
    remove(place) {
      this.change(this.units.filter((unit, at) => at !== place));
      const left = this.form.querySelectorAll("[data-remove]");
      (left[Math.min(place, left.length - 1)] || this.form.querySelector("#hs-fits-model")).focus();
    }

    /* ---- What is shown ---- */

    /* The revisions a unit may be of; all of them where its serial tells none. */
    revisions(unit) {
      const every = this.models.get(unit.model).revisions;
      const told = unit.serial
        ? every.filter((each) => each.ranges.some((range) => window.halfsplitSerials.holds(range, unit.serial)))
        : [];
      return (told.length ? told : every).map((each) => each.id);
    }

    isOnBench(model, revisions) {
      return this.units.some((unit) => unit.model === model
        && (!revisions || revisions.split(" ").some((each) => this.revisions(unit).includes(each))));
    }

    /* The page's own unit need not stand on the bench; if it does, its revision counts. */
    isOwnShown(model, revisions) {
      return !this.units.some((unit) => unit.model === model) || this.isOnBench(model, revisions);
    }

    isShown(element) {
      const { model, revisions, own, from } = element.dataset;
      if (!this.units.length) return true;
      if (own !== undefined) return this.isOwnShown(model, revisions);
      const ownModel = document.querySelector("[data-own]")?.dataset.model;
      return this.isOnBench(model, revisions) && (from === undefined || this.isOwnShown(ownModel, from));
    }

    show() {
      const page = this.form.closest(".hs-page") || document.body;
      page.querySelectorAll("[data-model]").forEach((each) => { each.hidden = !this.isShown(each); });
      page.querySelectorAll(".hs-fits-matrix table").forEach((table) => this.showColumns(table));
      page.querySelectorAll("[data-hs-none]").forEach((each) => {
        each.hidden = Boolean(each.previousElementSibling.querySelector(":scope > li:not([hidden])"));
      });
      this.showUnits();
      this.showTarget();
    }

    showColumns(table) {
      const hidden = Array.from(table.tHead.rows[0].cells, (cell) => cell.hidden);
      for (const row of table.tBodies[0].rows) {
        Array.from(row.cells).forEach((cell, at) => { cell.hidden = hidden[at]; });
      }
    }

    /* Whoever follows a link to a line wants to see it, whatever stands on the bench. */
    showTarget() {
      const target = document.getElementById(decodeURIComponent(window.location.hash.slice(1)));
      const folded = target && target.closest("details.hs-fit-worked");
      if (folded) folded.open = true;
      const hidden = target && target.closest("[data-model][hidden]");
      if (!hidden) return;
      for (let each = hidden; each; each = each.parentElement.closest("[data-model]")) each.hidden = false;
      target.scrollIntoView();
    }

    showUnits() {
      const list = this.form.querySelector('[data-slot="units"]');
      list.replaceChildren(...this.units.map((unit, at) => this.unitRow(unit, at)));
      const names = this.units.map((unit) => this.nameOf(unit)).join(", ");
      const said = names ? `Only sockets of these are shown: ${names}.` : "Nothing stands on the bench: all sockets are shown.";
      const lost = this.isKept ? "" : " This browser keeps nothing: a reload would lose it.";
      this.form.querySelector('[data-said="status"]').textContent = said + lost;
    }

    unitRow(unit, at) {
      const row = document.createElement("li");
      const button = document.createElement("button");
      button.type = "button";
      button.dataset.remove = String(at);
      button.textContent = "Remove";
      button.setAttribute("aria-label", `Remove ${this.nameOf(unit)}`);
      row.append(document.createTextNode(`${this.nameOf(unit)}, ${this.revisionWords(unit)}`), button);
      return row;
    }

    nameOf(unit) {
      return [this.models.get(unit.model).name, unit.serial].filter(Boolean).join(" ");
    }

    revisionWords(unit) {
      const found = this.revisions(unit);
      if (found.length < this.models.get(unit.model).revisions.length) return `revision ${found.join(" or ").toUpperCase()}`;
      return unit.serial ? "this number tells no revision, so all are shown" : "all revisions";
    }
  }

  document.addEventListener("DOMContentLoaded", () => document.querySelectorAll("[data-hs-fits]").forEach((form) => new BenchFilter(form)));
})();
