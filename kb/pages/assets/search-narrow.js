/* The controls that narrow a search to what lies on the bench: model, serial number, block, hazard. */
(function () {
  "use strict";

  const { table, unitsOf } = window.halfsplitSearch;
  const PAUSE_MS = 120;

  /* An element with text; text is never read as markup. */
  function made(tag, attributes, text = "") {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    element.textContent = text;
    return element;
  }

  const byLabel = (one, other) => one[1].localeCompare(other[1], "en") || (one[0] < other[0] ? -1 : 1);
  const inWords = (id) => (id.charAt(0).toUpperCase() + id.slice(1)).replaceAll("-", " ");

  /* Where a fault is, as one line under its title. */
  function contextOf({ symptom, on, block, seen, confirmed }) {
    const parts = [`“${symptom}”`, on.join("; "), block];
    if (seen) parts.push(`seen ${seen}×`);
    if (!confirmed) parts.push("suspected");
    return parts.join(" · ");
  }

  /* What was found, in a sentence. */
  function summary(query, { results, total, words, complete }, what = "page") {
    if (!total && words.length === 1 && words[0].length === 1) return "Type two letters or more.";
    if (!total && !query) return `No ${what} is on record there.`;
    if (!total) return `Nothing found for “${query}”. Fewer or other words may help.`;
    const count = total === 1 ? `1 ${what}` : `${total} ${what}s`;
    const first = total > results.length ? `; the first ${results.length} are shown` : "";
    return complete ? `${count}${first}.` : `No ${what} holds all of these words. ${count} with some of them${first}.`;
  }

  /* The blocks to choose from: those of the models that are left, or the roles that all models share. */
  function blocksOf(known, { model, serial }) {
    const units = unitsOf(known, model, serial);
    const models = known.models.filter((_, number) => units.has(number));
    const found = new Map(models.flatMap(({ blocks }) => blocks.map((block) =>
      model || serial ? [block.id, block.name] : [block.role, inWords(block.role)])));
    return Array.from(found).sort(byLabel);
  }

  class Narrowing {
    constructor(id, changed) {
      this.fields = made("div", { class: "hs-narrow-fields" });
      this.model = this.choice(`${id}-model`, "Model", "Any model");
      this.serial = this.labelled(`${id}-serial`, "Serial number", made("input", {
        class: "hs-narrow-input", autocomplete: "off", autocapitalize: "characters", spellcheck: "false",
      }));
      this.block = this.choice(`${id}-block`, "Block", "Any block");
      this.hazard = this.choice(`${id}-hazard`, "Hazard", "Any hazard");
      this.changed = changed;
      this.serial.addEventListener("input", () => this.typed());
      for (const each of [this.model, this.block, this.hazard]) each.addEventListener("change", () => this.update());
    }

    labelled(id, label, control) {
      control.id = id;
      const field = made("div", { class: "hs-narrow-field" });
      field.append(made("label", { for: id }, label), control);
      this.fields.append(field);
      return control;
    }

    choice(id, label, any) {
      const control = this.labelled(id, label, made("select", { class: "hs-narrow-input" }));
      control.append(made("option", { value: "" }, any));
      return control;
    }

    value() {
      return { model: this.model.value, serial: this.serial.value.trim(), block: this.block.value, hazard: this.hazard.value };
    }

    isSet() {
      return Object.values(this.value()).some(Boolean);
    }

    typed() {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.update(), PAUSE_MS);
    }

    async update() {
      await this.fill();
      this.changed();
    }

    /* What there is to choose from; a choice that is still there stays. */
    async fill() {
      try {
        const known = await table();
        offer(this.model, known.models.map(({ id, name }) => [id, name]).sort(byLabel));
        offer(this.block, blocksOf(known, this.value()));
        offer(this.hazard, known.hazards);
      } catch (trouble) {
        if (!window.halfsplitSearch.isTrouble(trouble)) throw trouble;
      }
    }

    async isUnknownSerial() {
      const { model, serial } = this.value();
      return Boolean(serial) && !unitsOf(await table(), model, serial).size;
    }

    unknownSerial() {
      const model = this.model.value ? ` of the ${this.model.selectedOptions[0].textContent}` : "";
      return `No revision${model} on record has the serial number “${this.serial.value.trim()}”.`;
    }
  }

  function offer(control, choices) {
    const chosen = control.value;
    const options = choices.map(([value, label]) => made("option", { value }, label));
    control.replaceChildren(control.options[0], ...options);
    control.value = choices.some(([value]) => value === chosen) ? chosen : "";
  }

  window.halfsplitNarrowing = { made, summary, Narrowing, contextOf };
})();
