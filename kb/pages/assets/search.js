/* The site's search. It turns a form.hs-search into a field that answers while somebody types.
 *
 * The index lies beside the pages as small scripts that call halfsplitSearch.add. Scripts load from disk as
 * well as over HTTP, where fetch and workers do not. Nothing is sent anywhere and nothing is kept.
 *
 * How words are read, met and ranked is the same, step by step, in kb/search: words.py, matching.py and
 * asking.py. Whoever changes one side changes the other; the browser test holds them against each other.
 */
(function () {
  "use strict";

  const CONTENTS = "search/index.js";
  const RESULTS_SHOWN = 10;
  const PAUSE_MS = 80;
  const SLOW_MS = 300;

  /* ---- Words: what was typed becomes spellings to look for ---- */

  const LONGEST_WORD = 40;
  const LONGEST_QUERY = 200;
  const MOST_QUERY_WORDS = 8;
  const LETTER = "[\\p{L}\\p{N}]";
  const WORD = `(?:[0-9]+\\.[0-9]+${LETTER}*|${LETTER}+)`;
  const UNIT = "(?:[kmunpg]?(?:v|a|w|f|h|s|hz|ohm)|[kmunpr]|vpp|vac|vdc|bpm|cents)";
  const COMPOUND = new RegExp(`[0-9]+(?:\\.[0-9]+)?[ -]${UNIT}(?!${LETTER})|${WORD}(?:-${WORD})*`, "gu");
  const LETTER_AS_POINT = /^([0-9]+)([rkmunp])([0-9]*)$/;
  const PREFIXED = /^([0-9]+\.[0-9]+)([rkmunp])$/;
  const UNIT_OF_PREFIX = { r: "ohm", k: "kohm", m: "mohm", u: "uf", n: "nf", p: "pf" };

  const cut = (word, length) => Array.from(word).slice(0, length).join("");
  const isLetters = (word) => /^\p{L}+$/u.test(word);
  const unique = (items) => Array.from(new Set(items));

  function fold(text) {
    return text
      .normalize("NFKD").replace(/\p{Mn}/gu, "").toLowerCase()
      .replaceAll("μ", "u").replaceAll("ω", "ohm").replaceAll("\u2010", "-").replaceAll("\u2019", "'")
      .replaceAll("n't", " not").replaceAll("'", "");
  }

  function asValue(part) {
    const found = LETTER_AS_POINT.exec(part);
    if (found) return [(found[3] ? `${found[1]}.${found[3]}` : found[1]) + UNIT_OF_PREFIX[found[2]]];
    const prefixed = PREFIXED.exec(part);
    return prefixed ? [prefixed[1] + UNIT_OF_PREFIX[prefixed[2]]] : [];
  }

  function spellings(compound) {
    const parts = compound.split(/[ -]/);
    return parts.map((part) => [part, parts.join(""), ...asValue(part)].map((word) => cut(word, LONGEST_WORD)));
  }

  function runTogether(words, place) {
    return [place - 1, place]
      .filter((each) => each >= 0 && each + 1 < words.length)
      .map((each) => cut(words[each][0] + words[each + 1][0], LONGEST_WORD));
  }

  function queryWords(query, emptyWords) {
    const words = (fold(cut(query, LONGEST_QUERY)).match(COMPOUND) || []).flatMap(spellings);
    const telling = words.filter((word) => !emptyWords.has(word[0]));
    const once = new Map((telling.length ? telling : words).map((word) => [word[0], word]));
    const kept = Array.from(once.values()).slice(0, MOST_QUERY_WORDS);
    return kept.map((word, place) => unique([...word, ...runTogether(kept, place)]));
  }

  /* ---- Matching: how well a word on a page meets one that was asked for ---- */

  const EXACT = 8, OTHER_FORM = 6, BEGINNING = 4, RELATED = 2, MISTYPED = 1;

  function stem(word) {
    for (const ending of ["ings", "ing", "edly", "ed", "es", "s", "ly"]) {
      if (!word.endsWith(ending) || word.length - ending.length < 3) continue;
      let base = word.slice(0, -ending.length);
      const last = base.at(-1);
      if (base.length > 3 && last === base.at(-2) && !"lsz".includes(last)) base = base.slice(0, -1);
      return base.length > 3 ? withoutE(base) : base;
    }
    return word.length > 3 ? withoutE(word) : word;
  }

  function withoutE(word) {
    return word.endsWith("e") ? word.slice(0, -1) : word;
  }

  function differBySilentE(first, second, base) {
    const [shorter, longer] = first.length <= second.length ? [first, second] : [second, first];
    if (shorter !== base || "hosxz".includes(base.at(-1))) return false;
    return longer === `${base}e` || longer === `${base}es`;
  }

  function oneSlipApart(first, second) {
    if (first === second || Math.abs(first.length - second.length) > 1) return false;
    const [longer, shorter] = first.length >= second.length ? [first, second] : [second, first];
    let at = 0;
    while (at < shorter.length && shorter[at] === longer[at]) at += 1;
    if (longer.length > shorter.length) return longer.slice(at + 1) === shorter.slice(at);
    const swapped = longer[at] === shorter[at + 1] && longer[at + 1] === shorter[at];
    return (swapped && longer.slice(at + 2) === shorter.slice(at + 2)) ||
      longer.slice(at + 1) === shorter.slice(at + 1);
  }

  function wanted(word) {
    const base = isLetters(word) ? stem(word) : word;
    const isOtherForm = (term) => (base !== word || term.startsWith(word)) && stem(term) === base &&
      !differBySilentE(word, term, base);
    return {
      metBy(term) {
        if (term === word) return EXACT;
        if (isOtherForm(term)) return OTHER_FORM;
        if (word.length >= 2 && term.startsWith(word)) return BEGINNING;
        return base.length >= 4 && term.startsWith(base) ? RELATED : 0;
      },
      mayMean(term) {
        if (word.length < 4 || !isLetters(word) || term[0] !== word[0]) return 0;
        return oneSlipApart(word, term) || (base.length >= 4 && oneSlipApart(base, stem(term))) ||
          (word.length >= 5 && oneSlipApart(word, term.slice(0, word.length))) ? MISTYPED : 0;
      },
    };
  }

  /* ---- Loading: each file of the index once, as a script ---- */

  class Unavailable extends Error {}
  class Outdated extends Error {}

  let root = "";
  let contents = null;
  const arrived = new Map();
  const loading = new Map();

  function add(edition, path, content) {
    arrived.set(path, { edition, content });
  }

  function load(path, version) {
    if (!loading.has(path)) {
      const loaded = requested(path, version);
      loaded.catch(() => loading.delete(path));
      loading.set(path, loaded);
    }
    return loading.get(path);
  }

  function requested(path, version) {
    return new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.src = root + path + (version ? `?v=${version}` : "");
      script.onload = () => {
        script.remove();
        if (arrived.has(path)) resolve(arrived.get(path));
        else reject(new Unavailable(path));
      };
      script.onerror = () => {
        script.remove();
        reject(new Unavailable(path));
      };
      document.head.append(script);
    });
  }

  async function loadContents(version) {
    const { edition, content } = await load(CONTENTS, version);
    contents = {
      edition,
      pagesPerFile: content.pagesPerFile,
      parts: new Set(content.parts),
      rarity: content.rarity,
      emptyWords: new Set(content.emptyWords),
    };
  }

  /* A file of another edition numbers its pages differently, so nothing may be read from the two together. */
  async function piece(path) {
    const { edition, content } = await load(path, contents.edition);
    if (edition !== contents.edition) throw new Outdated(edition);
    return content;
  }

  async function withIndex(ask) {
    if (!contents) await loadContents("");
    try {
      return await ask();
    } catch (trouble) {
      if (!(trouble instanceof Outdated)) throw trouble;
      arrived.clear();
      loading.clear();
      await loadContents(trouble.message);
      return ask();
    }
  }

  /* ---- Asking ---- */

  const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  const VALUES = new Map(Array.from(LETTERS, (letter, value) => [letter, value]));
  const WEIGHTS = 32;
  const FEW_PAGES = 3;

  function eachPosting(letters, take) {
    let page = 0, number = 0, shift = 0;
    for (const letter of letters) {
      const value = VALUES.get(letter);
      number += (value & 31) << shift;
      shift += 5;
      if (value < 32) {
        page += Math.floor(number / WEIGHTS);
        take(page, number % WEIGHTS);
        number = shift = 0;
      }
    }
  }

  function partOf(word) {
    return [3, 2, 1].map((length) => cut(word, length)).find((start) => contents.parts.has(start));
  }

  function fileOf(part) {
    const plain = Array.from(part, (each) => /[a-z0-9]/.test(each) ? each : `_${each.codePointAt(0).toString(16)}_`);
    return `search/words-${plain.join("")}.js`;
  }

  function noteWorth(pages, words, answers) {
    for (let place = 0; place < words.length; place += 2) {
      const fit = answers(words[place]);
      if (!fit) continue;
      eachPosting(words[place + 1], (page, weight) => {
        pages.set(page, Math.max(pages.get(page) || 0, fit * weight));
      });
    }
  }

  async function pagesWith(spelled) {
    const asked = spelled.map(wanted);
    const parts = unique(spelled.map(partOf)).filter((part) => part !== undefined);
    const words = (await Promise.all(parts.map((part) => piece(fileOf(part))))).flat();
    const pages = new Map();
    noteWorth(pages, words, (term) => Math.max(...asked.map((each) => each.metBy(term))));
    if (pages.size >= FEW_PAGES) return pages;
    const guessed = new Map();
    noteWorth(guessed, words, asked[0].mayMean);
    return new Map([...guessed, ...pages]);
  }

  function rank(pagesOfWords) {
    const met = new Map(), scores = new Map();
    for (const pages of pagesOfWords) {
      const telling = 1 + contents.rarity.filter((step) => step >= pages.size).length;
      for (const [page, worth] of pages) {
        met.set(page, (met.get(page) || 0) + 1);
        scores.set(page, (scores.get(page) || 0) + telling * worth);
      }
    }
    const ranked = Array.from(met.keys()).sort((one, other) =>
      met.get(other) - met.get(one) || scores.get(other) - scores.get(one) || one - other);
    return { ranked, most: ranked.length ? met.get(ranked[0]) : 0 };
  }

  async function shown(number) {
    const rows = await piece(`search/pages-${Math.floor(number / contents.pagesPerFile)}.js`);
    const [path, title, kind, context] = rows[number % contents.pagesPerFile];
    return { path, title, kind, context };
  }

  /* The first `limit` pages that answer `query`, how many there are, and whether the best holds every word. */
  function find(query, limit = RESULTS_SHOWN) {
    return withIndex(async () => {
      const words = queryWords(query, contents.emptyWords);
      const { ranked, most } = rank(await Promise.all(words.map(pagesWith)));
      const results = await Promise.all(ranked.slice(0, limit).map(shown));
      return { results, total: ranked.length, words: words.map((word) => word[0]), complete: most === words.length };
    });
  }

  window.halfsplitSearch = { add, find };

  /* ---- The field and its list ---- */

  function made(tag, attributes, text = "") {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    element.textContent = text;
    return element;
  }

  function summary(query, { results, total, words, complete }) {
    if (!total && words.length === 1 && words[0].length === 1) return "Type two letters or more.";
    if (!total) return `Nothing found for “${query}”. Fewer or other words may help.`;
    const count = total === 1 ? "1 page" : `${total} pages`;
    const first = total > results.length ? `; the first ${results.length} are shown` : "";
    return complete ? `${count}${first}.` : `No page holds all of these words. ${count} with some of them${first}.`;
  }

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
      this.list = made("div", { class: "hs-search-list", id: this.id, role: "listbox", "aria-label": "Pages found" });
      this.note = made("p", { class: "hs-search-note", "aria-hidden": "true" });
      this.status = made("p", { class: "hs-visually-hidden", role: "status" });
      this.panel.append(this.note, this.list);
      this.form.append(this.panel, this.status);
      const attributes = { role: "combobox", "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": this.id };
      for (const [name, value] of Object.entries(attributes)) this.input.setAttribute(name, value);
    }

    listen() {
      this.input.addEventListener("input", () => this.typed());
      this.input.addEventListener("focus", () => withIndex(async () => null).catch(() => null));
      this.input.addEventListener("keydown", (event) => this.key(event));
      this.form.addEventListener("submit", (event) => this.submitted(event));
      this.form.addEventListener("focusout", (event) => {
        if (event.relatedTarget && !this.form.contains(event.relatedTarget)) this.close();
      });
      document.addEventListener("pointerdown", (event) => {
        if (!this.form.contains(event.target)) this.close();
      });
      window.addEventListener("resize", () => this.place());
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
      if (!query) return this.close();
      const slow = setTimeout(() => turn === this.asked && this.show("Searching …", []), SLOW_MS);
      try {
        const found = await find(query);
        if (turn !== this.asked) return;
        this.answered = query;
        this.show(summary(query, found), found.results);
      } catch (trouble) {
        if (turn === this.asked) this.show("The search index could not be loaded.", []);
        if (!(trouble instanceof Unavailable || trouble instanceof Outdated)) throw trouble;
      } finally {
        clearTimeout(slow);
      }
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
      const href = (root || "./") + path.split("/").map(encodeURIComponent).join("/");
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
      } else if (event.key === "Escape" && !this.panel.hidden) {
        event.preventDefault(); // the first Escape closes the list, the next one clears the field
        this.close();
      } else if (event.key === "Tab") {
        this.close();
      }
    }

    move(step) {
      if (this.panel.hidden) return this.answered ? this.open() : this.search();
      const places = this.links.length + 1; // one place more: back in the field
      if (places > 1) this.choose((this.active + 1 + step + places) % places - 1);
    }

    async submitted(event) {
      event.preventDefault();
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
    if (!query || !fields.length) return;
    fields[0].input.value = query;
    fields[0].search();
  }

  let fields = [];

  function start() {
    const forms = Array.from(document.querySelectorAll("form.hs-search"));
    if (!forms.length) return;
    root = (forms[0].dataset.hsRoot || "").replace(/^\.\/?$/, "");
    if (root && !root.endsWith("/")) root += "/";
    fields = forms.map((form, number) => new SearchField(form, number));
    document.addEventListener("keydown", focusOnSlash);
    askedInAddress();
  }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
