/* Lets somebody change the values of a calculation in a page and see at once what comes of it.
 *
 * A page carries what was written and the name of its plan; the plan, the unit tables and the two scripts
 * that work with them are loaded when they are first wanted, as classic scripts, so that it works from disk
 * too. Nothing is sent or kept: the values as written come back with one button, and paper shows only them.
 */
(function () {
  "use strict";

  const HERE = document.currentScript.src;
  const QUIET_MS = 900;

  const calculations = { units: {}, plan: {} };
  calculations.add = (kind, name, data) => { calculations[kind][name] = data; };
  window.halfsplitCalculations = calculations;

  /* ---- Loading ---- */

  const loads = {};

  function load(path) {
    loads[path] ||= new Promise((done, failed) => {
      const script = document.createElement("script");
      script.async = false;
      script.src = new URL(path, HERE).href;
      script.onload = done;
      script.onerror = () => { delete loads[path]; script.remove(); failed(new Error(path)); };
      document.head.append(script);
    });
    return loads[path];
  }

  async function loadPlan(name) {
    await Promise.all(["units.js", "quantities.js", "plans.js", `plans/${name}.js`].map(load));
    return calculations.plan[name];
  }

  /* ---- Small pieces ---- */

  /* An element with text; text is never read as markup. */
  function element(name, className, ...content) {
    const made = document.createElement(name);
    if (className) made.className = className;
    made.append(...content);
    return made;
  }

  function sentence(problem, data) {
    const label = problem.input && data.n[problem.input] ? `${data.n[problem.input].l}: ` : "";
    return `${label}${problem.what}${problem.advice ? `; ${problem.advice}` : ""}`;
  }

  /* "t_w = K * R" as it is written by hand: names in italics, what follows _ set low, a dot for times. */
  function typeset(text) {
    const made = element("span", "hs-formula-text");
    for (const piece of text.split(/([A-Za-z][A-Za-z0-9]*(?:_[A-Za-z0-9]+)?(?!\w*\())/)) {
      const name = /^([A-Za-z][A-Za-z0-9]*)(?:_([A-Za-z0-9]+))?$/.exec(piece);
      if (!name) {
        made.append(piece.replaceAll("**", "^").replaceAll(" * ", " · ").replaceAll(" - ", " − "));
        continue;
      }
      made.append(element("i", "", { pi: "π", tau: "τ" }[name[1]] || name[1]));
      if (name[2]) made.append(element("sub", "", name[2]));
    }
    return made;
  }

  const shellWord = (word) => (/^[A-Za-z0-9_@%+=:,./-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\"'\"'")}'`);

  /* ---- One calculation ---- */

  class Changing {
    constructor(section) {
      this.section = section;
      this.page = JSON.parse(section.querySelector(":scope > .hs-plan").textContent);
      this.written = section.querySelector(".hs-calc-inputs");
      this.button = element("button", "hs-calc-change", "Change the values");
      this.button.type = "button";
      this.status = element("p", "hs-visually-hidden");
      this.status.setAttribute("role", "status");
      this.live = [];
      this.written.after(this.button);
      this.section.append(this.status);
      this.button.addEventListener("click", () => this.open());
    }

    async open() {
      this.button.disabled = true;
      try {
        this.data = await loadPlan(this.page.p);
      } catch {
        this.say("The scripts for changing values could not be loaded.", true);
        return;
      } finally {
        this.button.disabled = false;
      }
      this.say("");
      this.start();
      this.form.querySelector("input, select").focus();
    }

    /* Back to the values as written. */
    close() {
      this.form.remove();
      this.clear();
      this.section.classList.remove("hs-calc-open", "hs-calc-changed", "hs-calc-worked");
      this.button.hidden = false;
      this.button.focus();
      this.say("The values are as written again.");
    }

    start() {
      this.texts = { ...this.page.i };
      this.number = this.page.w;
      this.way = calculations.plans.wayOf(this.data, this.number);
      this.section.classList.add("hs-calc-open");
      this.button.hidden = true;
      this.form = element("form", "hs-calc-form hs-live");
      this.form.noValidate = true;
      this.form.addEventListener("submit", (event) => event.preventDefault());
      this.written.before(this.form);
      this.build();
    }

    say(text, isSeen = false) {
      clearTimeout(this.timer);
      this.status.textContent = text;
      this.status.classList.toggle("hs-visually-hidden", !isSeen);
    }

    /* ---- The fields ---- */

    build() {
      const { tolerancesOf, seriesOf } = calculations.plans;
      const variables = new Set(this.way.v.map(([key]) => key));
      const tolerances = new Set(Array.from(tolerancesOf(this.way), (key) => `${key}_tolerance`));
      const rows = [];
      if (this.data.g.length) rows.push(this.solveRow());
      for (const key of Object.keys(this.data.n)) {
        if (key === this.way.of) continue;
        if (variables.has(key) || tolerances.has(key)) rows.push(this.textRow(key));
        else if (this.data.o[key]?.length > 1) rows.push(this.choiceRow(key, this.data.o[key], this.way.o[key]));
        else if (key === seriesOf(this.way)) rows.push(this.seriesRow(key));
        else rows.push(...this.fixedRow(key));
      }
      const reset = element("button", "hs-calc-reset", "As written");
      reset.type = "button";
      reset.addEventListener("click", () => this.close());
      const table = element("table", "hs-calc-inputs", element("caption", "", "Put in"), element("tbody", "", ...rows));
      const note = element("p", "hs-quiet", "What is changed here is not kept.");
      this.echo = element("div", "hs-calc-echo");
      this.echo.setAttribute("aria-hidden", "true");
      this.form.replaceChildren(table, this.echo, element("div", "hs-calc-buttons", reset, note));
      this.update();
    }

    row(key, label, field) {
      field.id = `${this.prefix()}-${key}`;
      field.dataset.key = key;
      const words = element("label", "", label);
      words.htmlFor = field.id;
      const head = element("th", "", words);
      head.scope = "row";
      const problem = element("p", "hs-calc-wrong");
      problem.id = `${field.id}-problem`;
      problem.hidden = true;
      return element("tr", "", head, element("td", "", field, problem));
    }

    prefix() {
      this.section.id ||= `hs-calc-${Array.from(document.querySelectorAll(".hs-calc")).indexOf(this.section)}`;
      return this.section.id;
    }

    initial(key) {
      return this.texts[key] ?? this.way.i[key] ?? this.data.n[key].t ?? "";
    }

    textRow(key) {
      const field = element("input", "hs-calc-field");
      const placeholder = this.way.i[key] ?? this.data.n[key].t ?? "";
      Object.assign(field, { type: "text", value: this.initial(key), placeholder, autocomplete: "off", spellcheck: false });
      field.setAttribute("autocapitalize", "off");
      field.addEventListener("input", () => this.put(key, field.value));
      return this.row(key, this.data.n[key].l, field);
    }

    selectRow(key, label, words, chosen, change) {
      const field = element("select", "hs-calc-field", ...words.map(([word, shown]) => {
        const option = element("option", "", shown);
        option.value = word;
        return option;
      }));
      field.value = chosen;
      field.addEventListener("change", () => change(field.value));
      return this.row(key, label, field);
    }

    choiceRow(key, words, chosen) {
      const shown = words.map((word) => [word, word.replaceAll("_", " ")]);
      return this.selectRow(key, this.data.n[key].l, shown, chosen, (word) => {
        this.texts[key] = word;
        this.ask(this.way.of, { ...this.way.o, [key]: word }, key);
      });
    }

    seriesRow(key) {
      const given = calculations.plans.readInputs(this.data, this.way, this.texts);
      const names = new Set([...Object.keys(calculations.units.tables.series), given.words[key]]);
      const shown = Array.from(names, (name) => [name, name]);
      return this.selectRow(key, this.data.n[key].l, shown, given.words[key], (word) => this.put(key, word));
    }

    solveRow() {
      const shown = this.data.g.map((key) => [key, this.data.r[key] ?? this.data.n[key].l]);
      return this.selectRow("", "Solve for", shown, this.way.of, (of) => this.solve(of));
    }

    /* What can't be changed here stands as it was written. */
    fixedRow(key) {
      const row = this.written.querySelector(`tr[data-key="${key}"]`);
      return row && key in { ...this.page.i, ...this.way.i, ...this.defaults() } ? [row.cloneNode(true)] : [];
    }

    defaults() {
      return Object.fromEntries(Object.entries(this.data.n).filter(([, input]) => input.t).map(([key, input]) => [key, input.t]));
    }

    /* ---- Changes ---- */

    put(key, text) {
      const usual = this.way.i[key] ?? this.data.n[key].t;
      if (!text.trim() || (!(key in this.page.i) && text === usual)) delete this.texts[key];
      else this.texts[key] = text;
      this.update();
    }

    /* What was solved for becomes an input with the value it came to, to more digits than are shown. */
    solve(of) {
      const before = this.way.of;
      const result = this.outcome.results?.find((each) => each.key === before);
      const step = [...this.way.s, ...this.way.a].find((each) => each.k === before);
      if (result && step) this.texts[before] = this.asText(result.value, step.d);
      delete this.texts[of];
      this.ask(of, this.way.o, "");
    }

    /* Minutes and hours are shown in whole small units, which would lose digits. */
    asText(value, dimension) {
      if (dimension === "time" && Math.abs(value) >= 100) return `${Number(value.toPrecision(6))} s`;
      return calculations.quantities.show(value, dimension, 6);
    }

    ask(of, words, key) {
      const number = calculations.plans.wayFor(this.data, of, words);
      if (number < 0) return;
      this.number = number;
      this.way = calculations.plans.wayOf(this.data, number);
      this.build();
      this.form.querySelector(`[data-key="${key}"]`).focus();
    }

    isChanged() {
      const keys = new Set([...Object.keys(this.texts), ...Object.keys(this.page.i)]);
      return this.number !== this.page.w || Array.from(keys).some((key) => this.texts[key]?.trim() !== this.page.i[key]?.trim());
    }

    /* ---- What comes of it ---- */

    update() {
      this.outcome = calculations.plans.work(this.data, this.way, this.texts);
      this.clear();
      const isChanged = this.isChanged();
      const isRefused = this.outcome.problems.length > 0;
      this.section.classList.toggle("hs-calc-changed", isChanged);
      this.section.classList.toggle("hs-calc-worked", isChanged && !isRefused);
      this.markFields();
      this.showEcho();
      if (isChanged) this.show();
      this.announceSoon(isChanged);
    }

    clear() {
      for (const each of this.live) each.remove();
      this.live = [];
    }

    putAfter(place, made) {
      made.classList.add("hs-live");
      place.after(made);
      this.live.push(made);
    }

    markFields() {
      for (const field of this.form.querySelectorAll("[data-key]:is(input, select)")) {
        const { key } = field.dataset;
        const problem = this.outcome.problems.find((each) => each.input === key);
        const said = this.form.querySelector(`#${CSS.escape(field.id)}-problem`);
        const part = key.replace(/_tolerance$/, "");
        said.hidden = !problem;
        said.textContent = problem ? `${problem.what}${problem.advice ? `; ${problem.advice}` : ""}` : "";
        for (const [name, value] of [["aria-invalid", "true"], ["aria-describedby", said.id]]) {
          if (problem) field.setAttribute(name, value);
          else field.removeAttribute(name);
        }
        if (part !== key) this.markUnused(field, part);
      }
    }

    /* A tolerance nobody wrote has no say where the part states its own. */
    markUnused(field, part) {
      const given = calculations.plans.readInputs(this.data, this.way, this.texts);
      const isUnused = !(field.dataset.key in this.texts) && Boolean(given.quantities[part]?.hasTolerance);
      field.closest("tr").classList.toggle("hs-calc-unused", isUnused);
    }

    /* The results once more beside the fields, for a screen too small to show both places. */
    showEcho() {
      const { problems, results } = this.outcome;
      const main = results ? results.find((each) => each.key === this.way.of) || results[0] : null;
      const given = new Set(this.way.v.map(([key]) => key));
      const shown = main ? [main, ...results.filter((each) => each !== main && !given.has(each.key))].slice(0, 3) : [];
      const lines = shown.map((each) => element("p", "", `${each.label} `, element("strong", "", each.shown),
        each.band ? element("span", "hs-quiet", ` ${each.band}`) : ""));
      this.echo.replaceChildren(...(problems.length ? [element("p", "", sentence(problems[0], this.data))] : lines));
      this.echo.classList.toggle("hs-calc-refused", problems.length > 0);
    }

    show() {
      const { problems } = this.outcome;
      const results = this.section.querySelector(":scope > .hs-calc-results");
      if (problems.length) {
        this.putAfter(results, element("div", "hs-calc-refused", ...problems.map((each) => element("p", "", sentence(each, this.data)))));
        this.section.querySelector(":scope > :is(.hs-note-warning, .hs-note-note)")
          ?.before(this.remark("What stands here holds for the values as written."));
      } else {
        this.putAfter(results, this.resultList(results));
        this.showNotes(results);
      }
      this.showSolved();
      this.showFormulas();
      this.showTables();
      for (const figure of this.section.querySelectorAll(":scope > .hs-figure")) {
        figure.before(this.remark("The figure is drawn for the values as written."));
      }
      const code = this.section.querySelector(".hs-calc-foot code"); // customers are shown no command
      if (code) this.putAfter(code, element("code", "", this.command()));
    }

    remark(text) {
      const made = element("p", "hs-calc-remark hs-live", text);
      this.live.push(made);
      return made;
    }

    resultList(written) {
      const known = new Set(this.outcome.results.map((each) => each.key));
      const list = element("dl", "hs-calc-results");
      for (const each of this.outcome.results) {
        const value = element("dd", "", each.shown);
        if (each.band) value.append(" ", element("span", "hs-band", each.band));
        list.append(element("div", each.key === this.way.of ? "hs-calc-main" : "", element("dt", "", each.label), value));
      }
      if (this.way.of !== this.pageWay().of) return list;
      for (const each of written.children) {
        if (known.has(each.dataset.key)) continue;
        const label = each.querySelector("dt").textContent;
        list.append(element("div", "", element("dt", "", label), element("dd", "hs-quiet", "see the command")));
      }
      return list;
    }

    pageWay() {
      return this.data.w[this.page.w];
    }

    showNotes(results) {
      const made = this.outcome.notes.map((note) => {
        const line = element("p", `hs-note-${note.level}`);
        if (note.level === "warning") line.append(element("strong", "", "Watch out:"), " ");
        line.append(note.text);
        return line;
      });
      this.putAfter(this.live[0] || results, element("div", "hs-calc-notes", ...made));
    }

    showSolved() {
      const written = this.section.querySelector(".hs-calc-solved");
      if (!written) return;
      written.classList.add("hs-as-written");
      this.putAfter(written, element("span", "hs-quiet", ` solved for ${this.way.of}`));
    }

    showFormulas() {
      const written = this.section.querySelector(".hs-calc-formulas");
      if (!written) return;
      const isSame = JSON.stringify(this.way.f) === JSON.stringify(calculations.plans.wayOf(this.data, this.page.w).f);
      written.classList.toggle("hs-as-written", !isSame);
      if (isSame) return;
      const lines = this.way.f.map(([name, text]) => element("p", "hs-formula", element("span", "hs-quiet", name), " ", typeset(text)));
      this.putAfter(written, element("div", "hs-calc-formulas", ...lines));
    }

    showTables() {
      const found = new Map((this.outcome.tables || []).map((table) => [table.title, table]));
      for (const box of this.section.querySelectorAll(":scope > .hs-calc-table:not(.hs-live)")) {
        const table = found.get(box.getAttribute("aria-label"));
        box.classList.toggle("hs-as-written", Boolean(table) || this.outcome.problems.length > 0);
        if (table) this.putAfter(box, this.liveTable(box, table));
        else if (!this.outcome.problems.length) box.before(this.remark("The table holds for the values as written."));
      }
    }

    liveTable(box, table) {
      const made = box.cloneNode(true);
      made.classList.remove("hs-as-written");
      const keys = Array.from(made.querySelectorAll("thead th"), (head) => head.dataset.key);
      const body = made.querySelector("tbody");
      if (table.isCounted) {
        body.replaceChildren(...table.rows.map((row) => element("tr", "", ...keys.map((key) => element("td", "", row[key] ?? "")))));
      } else {
        Array.from(body.rows).forEach((row, at) => keys.forEach((key, column) => {
          if (key in table.rows[at]) row.cells[column].textContent = table.rows[at][key];
        }));
      }
      return made;
    }

    command() {
      const words = Object.keys(this.data.n).filter((key) => key in this.texts && key !== this.way.of)
        .map((key) => `${key}=${this.texts[key]}`);
      return ["halfsplit", "calc", this.page.c, ...words].map(shellWord).join(" ");
    }

    /* Said when typing pauses, so that a screen reader is not talked over. */
    announceSoon(isChanged) {
      clearTimeout(this.timer);
      if (!isChanged) return;
      this.timer = setTimeout(() => this.say(this.summary()), QUIET_MS);
    }

    summary() {
      const { problems, results, notes } = this.outcome;
      if (problems.length) return problems.map((each) => sentence(each, this.data)).join(". ");
      const values = results.map((each) => `${each.label} ${each.shown}`).join(", ");
      const warnings = notes.filter((note) => note.level === "warning").length;
      return `${values}. ${warnings ? `${warnings} ${warnings === 1 ? "warning" : "warnings"}.` : ""}`.trim();
    }
  }

  document.addEventListener("DOMContentLoaded", () => {
    for (const plan of document.querySelectorAll(".hs-calc > .hs-plan")) new Changing(plan.parentElement);
  });
})();
