/* The search field: turns a form.hs-search into one that answers while somebody types, by search-core.js. */
(function () {
  "use strict";

  const { find, findFaults, root, isTrouble, begin } = window.halfsplitSearch;
  const { made, summary, Narrowing, contextOf } = window.halfsplitNarrowing;
  const PAUSE_MS = 80;
  const SLOW_MS = 300;

  class SearchField {
    constructor(form, number) {
      this.form = form;
      this.input = form.querySelector("input[type=search]");
      this.id = `hs-search-list-${number}`;
      this.links = [];
      this.active = -1;
      this.asked = 0;
      this.answered = null;
      this.build();
      this.listen();
    }

    build() {
      this.panel = made("div", { class: "hs-search-results" });
      this.panel.hidden = true;
      this.narrowing = null;
      this.more = made("details", { class: "hs-narrow" });
      this.more.append(made("summary", {}, "Only faults of a model, serial, block or hazard"));
      this.list = made("div", { class: "hs-search-list", id: this.id, role: "listbox", "aria-label": "Pages found" });
      this.note = made("p", { class: "hs-search-note", "aria-hidden": "true" });
      this.status = made("p", { class: "hs-visually-hidden", role: "status" });
      this.panel.append(this.more, this.note, this.list);
      this.form.append(this.panel, this.status);
      const attributes = { role: "combobox", "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": this.id };
      for (const [name, value] of Object.entries(attributes)) this.input.setAttribute(name, value);
    }

    listen() {
      this.input.addEventListener("input", () => this.typed());
      this.input.addEventListener("focus", () => begin().catch(() => null));
      this.input.addEventListener("keydown", (event) => this.key(event));
      this.more.addEventListener("toggle", () => this.more.open && this.narrow());
      this.more.addEventListener("keydown", (event) => event.key === "Escape" && this.input.focus());
      this.form.addEventListener("submit", (event) => event.preventDefault());
      this.form.addEventListener("focusout", (event) => {
        if (event.relatedTarget && !this.form.contains(event.relatedTarget)) this.close();
      });
      document.addEventListener("pointerdown", (event) => {
        if (!this.form.contains(event.target)) this.close();
      });
      window.addEventListener("resize", () => this.place());
    }

    /* The controls are made when they are first asked for: most searches need none. */
    narrow() {
      if (this.narrowing) return;
      this.narrowing = new Narrowing(`${this.id}-narrow`, () => this.search());
      this.more.append(this.narrowing.fields);
      this.narrowing.fill();
    }

    isNarrowed() {
      return Boolean(this.narrowing) && this.narrowing.isSet();
    }

    typed() {
      clearTimeout(this.timer);
      this.asked += 1; // whatever is still under way is no longer wanted
      this.answered = null;
      this.timer = setTimeout(() => this.search(), PAUSE_MS);
    }

    async search() {
      clearTimeout(this.timer);
      const query = this.input.value.trim();
      const turn = ++this.asked;
      if (!query && !this.isNarrowed()) return this.close();
      const slow = setTimeout(() => turn === this.asked && this.show("Searching …", []), SLOW_MS);
      try {
        const found = await this.ask(query);
        if (turn !== this.asked) return;
        this.answered = query;
        this.show(found.note, found.results);
      } catch (trouble) {
        if (turn === this.asked) this.show("The search index could not be loaded.", []);
        if (!isTrouble(trouble)) throw trouble;
      } finally {
        clearTimeout(slow);
      }
    }

    /* Pages of every kind, or faults alone where they are narrowed to what lies on the bench. */
    async ask(query) {
      if (!this.isNarrowed()) {
        const found = await find(query);
        return { note: summary(query, found), results: found.results };
      }
      if (await this.narrowing.isUnknownSerial()) return { note: this.narrowing.unknownSerial(), results: [] };
      const found = await findFaults(query, this.narrowing.value());
      const results = found.results.map((each) => (
        { path: each.path, title: each.title, kind: each.here ? "Fault" : "Other model", context: contextOf(each) }));
      return { note: summary(query, found, "fault"), results };
    }

    show(note, results) {
      this.note.textContent = this.status.textContent = note;
      this.links = results.map((result, place) => this.link(result, place));
      this.list.replaceChildren(...this.links);
      this.list.hidden = !this.links.length;
      this.choose(-1);
      this.open();
    }

    link({ path, title, kind, context }, place) {
      const href = (root() || "./") + path.split("/").map(encodeURIComponent).join("/");
      const link = made("a", { class: "hs-search-result", id: `${this.id}-${place}`, role: "option", href, tabindex: "-1", "aria-selected": "false" });
      const head = made("span", { class: "hs-search-head" });
      head.append(made("span", { class: "hs-search-title" }, title), " ", made("span", { class: "hs-search-kind" }, kind));
      link.append(head);
      if (context) link.append(" ", made("span", { class: "hs-search-context" }, context));
      link.addEventListener("click", () => this.close());
      return link;
    }

    open() {
      this.panel.hidden = false;
      this.input.setAttribute("aria-expanded", String(this.links.length > 0));
      this.place();
    }

    close() {
      clearTimeout(this.timer);
      this.asked += 1;
      this.panel.hidden = true;
      this.status.textContent = "";
      this.input.setAttribute("aria-expanded", "false");
      this.choose(-1);
    }

    /* The list is wider than the field. It stays inside the window, and on a narrow screen spans it. */
    place() {
      if (this.panel.hidden) return;
      const field = this.input.getBoundingClientRect();
      const room = document.documentElement.clientWidth - this.panel.offsetWidth;
      const left = Math.max(0, Math.min(field.left, room - 8)) - this.form.getBoundingClientRect().left;
      this.panel.style.setProperty("--hs-search-left", `${Math.round(left)}px`);
      this.panel.style.setProperty("--hs-search-top", `${Math.max(0, Math.round(field.bottom))}px`);
    }

    choose(place) {
      this.links.forEach((link, each) => link.setAttribute("aria-selected", String(each === place)));
      this.active = place;
      if (place < 0) return this.input.removeAttribute("aria-activedescendant");
      this.input.setAttribute("aria-activedescendant", this.links[place].id);
      this.links[place].scrollIntoView({ block: "nearest" });
    }

    key(event) {
      if (event.isComposing) return;
      const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      if (step) {
        event.preventDefault();
        this.move(step);
      } else if (event.key === "Enter") {
        event.preventDefault(); // a form with more than one field does not submit by itself
        this.follow();
      } else if (event.key === "Escape" && !this.panel.hidden) {
        event.preventDefault(); // the first Escape closes the list, the next one clears the field
        this.close();
      }
    }

    move(step) {
      if (this.panel.hidden) return this.answered ? this.open() : this.search();
      const places = this.links.length + 1; // one place more: back in the field
      if (places > 1) this.choose((this.active + 1 + step + places) % places - 1);
    }

    async follow() {
      const chosen = this.links[this.active];
      if (!chosen && this.answered !== this.input.value.trim()) await this.search();
      const link = chosen || (this.answered ? this.links[0] : null);
      if (link) link.click();
    }
  }

  function isTyping(target) {
    return target instanceof Element && Boolean(target.closest("input, textarea, select, [contenteditable]"));
  }

  function focusOnSlash(event) {
    if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    const field = fields.find(({ input }) => input.getClientRects().length > 0);
    if (!field || isTyping(event.target)) return;
    event.preventDefault();
    field.input.focus();
    field.input.select();
  }

  function askedInAddress() {
    const query = new URLSearchParams(location.search).get("q");
    if (!query || !fields.length || document.querySelector("form.hs-symptom-search")) return;
    fields[0].input.value = query;
    fields[0].search();
  }

  let fields = [];

  function start() {
    const forms = Array.from(document.querySelectorAll("form.hs-search"));
    if (!forms.length) return;
    fields = forms.map((form, number) => new SearchField(form, number));
    document.addEventListener("keydown", focusOnSlash);
    askedInAddress();
  }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
