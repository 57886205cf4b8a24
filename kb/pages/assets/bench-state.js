/* What was entered at the bench: kept over a reload, taken back step by step, timed, and written as YAML. */
(function () {
  "use strict";

  const bench = window.halfsplitBench;
  const MOST_STEPS = 40;
  const EMPTY = { serial: "", revision: "", symptoms: [], entries: [], taken: null, found: null };

  const isText = (value) => typeof value === "string";
  const isTexts = (value) => Array.isArray(value) && value.every(isText);

  /* What a check gave, or a cause that was looked at and was not it. */
  function isEntry(value) {
    if (!value || !Number.isFinite(value.at)) return false;
    if (value.outcome === "ruled_out") return isText(value.cause);
    return isText(value.check) && ["pass", "fail", "not_done"].includes(value.outcome)
      && (value.reading === null || isText(value.reading));
  }

  function isState(value) {
    return Boolean(value) && isText(value.serial) && isText(value.revision) && isTexts(value.symptoms)
      && Array.isArray(value.entries) && value.entries.every(isEntry)
      && [value.taken, value.found].every((each) => each === null || isText(each));
  }

  /* Keeps the steps. What cannot be stored is still kept as long as the page is open. */
  class Keeper {
    constructor(key, storage) {
      this.key = key;
      this.storage = storage;
      this.isStored = true;
      this.clear();
      this.load();
    }

    clear() {
      this.past = [];
      this.future = [];
      this.now = EMPTY;
      this.lastKind = null;
      this.stamps = [];
    }

    load() {
      try {
        const kept = JSON.parse(this.storage().getItem(this.key) || "null");
        if (!kept || ![kept.now, ...kept.past, ...kept.future].every(isState)) return;
        if (!kept.stamps.every(([from, to]) => Number.isFinite(from) && (to === null || Number.isFinite(to)))) return;
        [this.past, this.now, this.future, this.stamps] = [kept.past, kept.now, kept.future, kept.stamps];
        this.lastKind = null;
      } catch (error) {
        /* A browser that keeps nothing, or something that is not ours: the page begins anew. */
        this.isStored = error instanceof SyntaxError || error instanceof TypeError;
      }
    }

    save() {
      const { past, now, future, stamps } = this;
      try {
        this.storage().setItem(this.key, JSON.stringify({ past, now, future, stamps }));
      } catch {
        this.isStored = false;
      }
    }

    /* One step. Steps of the same `kind` after each other, such as letters of a serial, count as one. */
    change(changes, kind = null) {
      if (kind === null || kind !== this.lastKind) this.past = [...this.past, this.now].slice(-MOST_STEPS);
      this.now = { ...this.now, ...changes };
      this.future = [];
      this.lastKind = kind;
      if (!this.stamps.length) this.start();
      this.save();
    }

    move(from, to) {
      if (!this[from].length) return false;
      this[to] = [...this[to], this.now];
      this.now = this[from][this[from].length - 1];
      this[from] = this[from].slice(0, -1);
      this.lastKind = null;
      this.save();
      return true;
    }

    undo() { return this.move("past", "future"); }
    redo() { return this.move("future", "past"); }

    fresh() {
      this.clear();
      this.save();
    }

    /* The stopwatch is a list of starts and stops, so that a reload loses nothing. */
    get isRunning() { return this.stamps.length > 0 && this.stamps[this.stamps.length - 1][1] === null; }

    start() {
      this.stamps = [...this.stamps, [Date.now(), null]];
      this.save();
    }

    pause() {
      this.stamps = this.stamps.map(([from, to]) => [from, to ?? Date.now()]);
      this.save();
    }

    get seconds() {
      return Math.floor(this.stamps.reduce((total, [from, to]) => total + Math.max(0, (to ?? Date.now()) - from), 0) / 1000);
    }
  }

  /* ---- The record ---- */

  const OUTCOMES = { pass: "good", fail: "bad", not_done: "not_done" };
  const PLAIN = /^[a-z][a-z0-9]*(-[a-z0-9]+)+$/;
  /* What JSON quotes YAML reads alike, but for a few signs that are no text there. */
  const written = (text) => PLAIN.test(text) ? text
    : JSON.stringify(text).replace(/[\u007f-\u009f\u2028\u2029\ufeff]/g, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);

  /* The `findings` of a job: the fault it turned out to be, and what each check gave last. */
  function findings(fault, entries, minutes) {
    const lines = ["findings:"];
    if (fault === null) lines.push("  # Not on record yet: write the fault down first, then put its id here.");
    lines.push(`  - fault: ${fault === null ? "the-id-of-the-fault" : written(fault)}`);
    if (entries.length) lines.push("    checks:");
    for (const entry of entries) {
      lines.push(`      - check: ${written(entry.check)}`, `        outcome: ${OUTCOMES[entry.outcome]}`);
      if (entry.reading) lines.push(`        reading: ${written(entry.reading)}`);
    }
    if (minutes > 0) lines.push(`    minutes: ${minutes}`);
    return `${lines.join("\n")}\n`;
  }

  const lasting = (entries) => window.halfsplitDiagnosis.lastOfEach(entries.filter((each) => each.check));

  Object.assign(bench, { Keeper, findings, lasting });
})();
