/* Works a calculation out again from its plan, with other values put in.
 *
 * A plan is what Python evaluated for the page (kb/calculators/plan.py, written out by plan_json.py and
 * changing.py); no formula stands here. How inputs are read is that of kb/calculators/reading.py. The
 * browser tests hold values, bands, notes and refusals against Python's.
 */
(function () {
  "use strict";

  const calculations = window.halfsplitCalculations;
  const { QuantityProblem, quoted, read, readTolerance, show } = calculations.quantities;

  const LONGEST_INPUT = 200;
  const MOST_ROWS = 500;
  const SAME = 1e-9;
  const SLIPPED = "check the values for a slipped prefix";

  /* The calculation can't be done; `input` is the key of the input that is to blame, or null. */
  class Refused extends Error {
    constructor(input, what, advice) {
      super(what);
      this.problem = { input, what, advice };
    }
  }

  /* ---- Ways ---- */

  const POOLED = ["v", "q", "s", "t", "a", "c", "f"];

  /* The way with that number, its pooled parts put in. */
  function wayOf(data, number) {
    const way = { k: {}, o: {}, i: {}, m: [], of: null, ...data.w[number] };
    for (const key of POOLED) way[key] = (way[key] || []).map((part) => data.p[part]);
    return way;
  }

  /* The number of the way that solves for `of` with the words of the choices, or -1. */
  function wayFor(data, of, words) {
    return data.w.findIndex((way) => (way.of ?? null) === of
      && Object.keys(data.o).every((key) => way.o[key] === words[key]));
  }

  /* "=resistor" as the part and the input that tells its tolerance where it states none. */
  function sharedOf(spread) {
    const [key, shared] = spread.slice(1).split("/");
    return [key, shared || key];
  }

  /* The inputs whose tolerance a way's bands ask for. */
  function tolerancesOf(way) {
    const steps = [...way.s, ...way.a, ...way.t.flatMap((table) => [...(table.s || []), ...(table.r || []).flatMap((row) => row[2] || [])])];
    const spreads = steps.flatMap((step) => (step.b ? Object.values(step.b.o || {}) : []));
    return new Set(spreads.filter((spread) => typeof spread === "string").map((spread) => sharedOf(spread)[1]));
  }

  /* The input that chooses the series, or null. */
  function seriesOf(way) {
    const step = [...way.s, ...way.a].find((each) => each.s && each.s[0] === "=");
    return step ? step.s.slice(1) : null;
  }

  /* ---- Reading the inputs ---- */

  /* What is put in: quantities, counts and words by their keys, and every problem found. */
  function readInputs(data, way, texts) {
    const given = { quantities: {}, counts: {}, words: {}, written: new Set(Object.keys(texts)), problems: [] };
    const variables = new Map(way.v.map(([key, , dimensions]) => [key, dimensions]));
    for (const [key, input] of Object.entries(data.n)) {
      if (key === way.of) continue;
      const text = texts[key] ?? way.i[key] ?? input.t;
      if (text === undefined) {
        if (input.q || variables.has(key)) {
          given.problems.push({ input: key, what: "is missing", advice: `${input.h}, for example ${input.e}` });
        }
        continue;
      }
      readOne(given, key, input, text, variables.get(key));
    }
    checkTolerances(given, texts);
    return given;
  }

  function readOne(given, key, input, text, dimensions) {
    const clean = text.trim();
    if (input.d === "text") return;
    if (!clean || Array.from(text).length > LONGEST_INPUT) {
      given.problems.push({ input: key, what: "is not a short text", advice: `write it as for example ${input.e}` });
    } else if (input.d === "choice") {
      given.words[key] = readSeries(clean) || clean;
    } else if (input.d === "integer") {
      readCount(given, key, input, clean);
    } else if (dimensions || input.d === "tolerance") {
      readQuantity(given, key, input, clean, dimensions);
    }
  }

  function readSeries(text) {
    const known = Object.keys(calculations.units.tables.series);
    const parts = text.split("+").map((part) => part.trim().toUpperCase());
    if (!parts.every((part) => known.includes(part))) return null;
    return known.filter((name) => parts.includes(name)).sort((a, b) => a.slice(1) - b.slice(1)).join("+");
  }

  function readCount(given, key, input, text) {
    const [least, most] = input.b;
    if (/^[0-9]{1,9}$/.test(text) && Number(text) >= least && Number(text) <= most) {
      given.counts[key] = Number(text);
    } else {
      given.problems.push({ input: key, what: `"${text}" is not a whole number from ${least} to ${most}`, advice: `e.g. ${input.e}` });
    }
  }

  function readQuantity(given, key, input, text, dimensions) {
    let quantity;
    try {
      quantity = input.d === "tolerance" ? readTolerance(text) : readAny(text, input.d, dimensions);
    } catch (problem) {
      if (!(problem instanceof QuantityProblem)) throw problem;
      given.problems.push({ input: key, what: problem.what, advice: problem.advice });
      return;
    }
    const lowest = Math.min(quantity.value * (1 - quantity.minus), quantity.value * (1 + quantity.plus));
    if (!Number.isFinite(quantity.value)) {
      given.problems.push({ input: key, what: `"${text}" is not a finite value`, advice: `for example ${input.e}` });
    } else if (!input.z && lowest <= 0) {
      given.problems.push({ input: key, what: `"${text}" must be above zero`, advice: `for example ${input.e}` });
    } else {
      given.quantities[key] = { ...quantity, text };
    }
  }

  /* The page's formulas hold for the kind that was written; another kind that the command would take is
     refused here. */
  function readAny(text, declared, dimensions) {
    const allowed = declared.split("|");
    const quantity = allowed.length === 1 ? read(text, declared) : readOneOf(text, allowed);
    if (dimensions.includes(quantity.dimension)) return quantity;
    const phrases = dimensions.map((dimension) => calculations.units.tables.dimensions[dimension][0]);
    throw new QuantityProblem(`${quoted(text)} is of another kind than on this page`, `give ${phrases.join(" or ")}, or use the command`);
  }

  function readOneOf(text, allowed) {
    let quantity;
    try {
      quantity = read(text, null);
    } catch (problem) {
      if (!(problem instanceof QuantityProblem) || !allowed.includes("number")) throw problem;
      return read(text, "number");
    }
    if (allowed.includes(quantity.dimension)) return quantity;
    throw new QuantityProblem(`"${text}" is a ${quantity.dimension}`, `give a ${allowed.join(" or ")}`);
  }

  function checkTolerances(given, texts) {
    for (const key of Object.keys(texts).sort()) {
      const part = key.replace(/_tolerance$/, "");
      const own = given.quantities[part];
      if (part !== key && own && own.hasTolerance) {
        given.problems.push({ input: key, what: `the ${part} carries its own tolerance`, advice: `leave one out: "${own.text}" or ${key}` });
      }
    }
  }

  function toleranceOf(given, spread) {
    const [key, shared] = sharedOf(spread);
    const own = given.quantities[key];
    const used = own && own.hasTolerance ? own : given.quantities[`${shared}_tolerance`] || own;
    return used ? [used.minus, used.plus] : [0, 0];
  }

  function isAssumed(given, key) {
    const own = given.quantities[key];
    return !given.written.has(`${key}_tolerance`) && !(own && own.hasTolerance);
  }

  /* ---- Formulas ---- */

  const noReal = () => { throw new Refused(null, "the formula has no real value with these numbers", SLIPPED); };

  function finite(value) {
    if (!Number.isFinite(value)) throw new Refused(null, "the result is too large or undefined with these numbers", SLIPPED);
    return value;
  }

  /* A result that overflowed, as Python's own functions tell it. */
  function bounded(value) {
    if (Number.isNaN(value)) noReal();
    if (!Number.isFinite(value)) throw new Refused(null, "the result is too large with these numbers", SLIPPED);
    return value;
  }

  const positive = (x) => (x > 0 ? x : noReal());
  const FUNCTIONS = {
    neg: (x) => -x,
    "+": (x, y) => finite(x + y),
    "-": (x, y) => finite(x - y),
    "*": (x, y) => finite(x * y),
    "/": (x, y) => {
      if (y === 0) throw new Refused(null, "the formula divides by zero with these numbers", SLIPPED);
      return finite(x / y);
    },
    "**": (x, y) => (x === 0 && y < 0 ? noReal() : bounded(Math.pow(x, y))),
    ln: (x) => Math.log(positive(x)),
    log2: (x) => Math.log2(positive(x)),
    log10: (x) => Math.log10(positive(x)),
    exp: (x) => bounded(Math.exp(x)),
    sqrt: (x) => bounded(Math.sqrt(x)),
    arccos: (x) => bounded(Math.acos(x)),
    abs: Math.abs,
    floor: Math.floor,
    ceil: Math.ceil,
    min: Math.min,
    max: Math.max,
  };

  function evaluate(node, values) {
    if (typeof node === "number") return node;
    if (typeof node === "string") return node === "pi" ? Math.PI : finite(values[node]);
    return FUNCTIONS[node[0]](...node.slice(1).map((each) => evaluate(each, values)));
  }

  const RELATIONS = { "<": (x, y) => x < y, "<=": (x, y) => x <= y, ">": (x, y) => x > y, ">=": (x, y) => x >= y };
  const allHold = (comparisons, values) => (comparisons || []).every(
    ([left, relation, right]) => RELATIONS[relation](evaluate(left, values), evaluate(right, values)));

  function namesIn(node, found = new Set()) {
    if (typeof node === "string") found.add(node);
    else if (Array.isArray(node)) node.slice(1).forEach((each) => namesIn(each, found));
    return found;
  }

  /* ---- Steps ---- */

  function corners(step, values, given) {
    const expression = step.b.x ?? step.x;
    const names = Array.from(namesIn(expression)).filter((name) => step.b.o && name in step.b.o);
    let cases = [{}];
    for (const name of names) {
      const spread = step.b.o[name];
      const [minus, plus] = typeof spread === "string" ? toleranceOf(given, spread)
        : spread.map((part) => (typeof part === "string" ? values[part] : part));
      const ends = [values[name] * (1 - minus), values[name] * (1 + plus)];
      cases = cases.flatMap((each) => ends.map((end) => ({ ...each, [name]: end })));
    }
    const found = cases.map((each) => evaluate(expression, { ...values, ...each }));
    return [Math.min(...found), Math.max(...found)];
  }

  function stepValue(step, values, given) {
    const value = step.g ? corners(step, values, given)[step.g === "greatest" ? 1 : 0] : evaluate(step.x, values);
    if (step.s) {
      if (value <= 0) throw new Refused(null, "these numbers ask for a part of zero or less", SLIPPED);
      const series = step.s[0] === "=" ? given.words[step.s.slice(1)] : step.s;
      return neighbours(value, series, step.r || "arithmetic")[step.p || "nearest"];
    }
    return step.l ? lookedUp(step.l, value) : value;
  }

  function lookedUp([rule, entries], at) {
    if (rule === "below") return ([...entries].reverse().find(([known]) => known <= at) || entries[0])[1];
    return entries.reduce((best, entry) => (Math.abs(entry[0] - at) < Math.abs(best[0] - at) ? entry : best))[1];
  }

  /* The preferred values round a wanted one, as kb/calculators/series.py finds them. */
  function neighbours(wanted, series, rule) {
    const decade = Math.floor(Math.log10(wanted));
    const candidates = series.split("+").flatMap((name) => calculations.units.tables.series[name].flatMap(
      (member) => [-1, 0, 1].map((step) => Number(`${member}e${decade + step - String(member).length + 1}`))));
    const below = Math.max(...candidates.filter((value) => value <= wanted * (1 + SAME)));
    const above = Math.min(...candidates.filter((value) => value >= wanted * (1 - SAME)));
    return { below, above, nearest: nearest(wanted, below, above, rule) };
  }

  function nearest(wanted, below, above, rule) {
    const byDifference = above - wanted - (wanted - below);
    const byRatio = Math.log(above / wanted) - Math.log(wanted / below);
    const [first, second] = rule === "ratio" ? [byRatio, byDifference] : [byDifference, byRatio];
    const scale = rule === "ratio" ? Math.log(above / below) : above - below;
    const deciding = Math.abs(first) <= SAME * scale ? second : first;
    return deciding < 0 ? above : below;
  }

  function refuse(refusals, values) {
    for (const each of refusals || []) {
      if (allHold(each.w, values)) {
        throw new Refused(each.i ?? null, filled(each.t, each.f, values), filled(each.h || "", each.f, values));
      }
    }
  }

  function take(step, values, given) {
    values[step.n] = stepValue(step, values, given);
    refuse(step.q, values);
  }

  /* ---- Tables ---- */

  function rowsOf(table, values, given) {
    let rows = table.r || [];
    if (table.e !== undefined) {
      const count = Math.min(Math.trunc(evaluate(table.e, values)), MOST_ROWS - 1) + 1;
      rows = Array.from({ length: Math.max(0, count) }, (_, number) => ["", { [table.i]: number }]);
    }
    return rows.map(([label, own, steps]) => {
      const found = { ...values, ...own };
      for (const step of [...(steps || []), ...(table.s || [])]) found[step.n] = stepValue(step, found, given);
      return { label, values: found };
    });
  }

  function reduce(reduction, rows) {
    const found = rows.map((row) => row.values).filter((row) => allHold(reduction.w, row));
    if (reduction.k === "count") return found.length;
    if (!found.length) return 0;
    const column = found.map((row) => row[reduction.o]);
    if (reduction.k === "least") return Math.min(...column);
    if (reduction.k === "greatest") return Math.max(...column);
    const sizes = found.map((row) => Math.abs(row[reduction.b]));
    const greatest = Math.max(...sizes);
    return column[sizes.findIndex((each) => each >= greatest - SAME)];
  }

  /* ---- Words ---- */

  const NOTE_NAMES = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

  function shownAs(value, dimension, digits) {
    if (dimension === "note") {
      const number = Math.trunc(value);
      return `${NOTE_NAMES[((number % 12) + 12) % 12]}${Math.floor(number / 12) - 1}`;
    }
    if (dimension === "yes") return value ? "yes" : "no";
    return dimension === "integer" ? String(Math.trunc(value) + 0) : show(value, dimension, digits);
  }

  /* Two digits, never rounded down: a wait must not be printed too short. */
  function roundedUp(value) {
    if (value <= 0) return 0;
    const step = Number(`1e${Math.floor(Math.log10(value)) - 1}`);
    return Math.ceil(value / step) * step;
  }

  function fillText(fill, values, tables) {
    if (!Array.isArray(fill)) {
      return tables[fill.t].filter((row) => allHold(fill.w, row.values)).map((row) => row.label).join(", ");
    }
    const [name, dimension, digits, up] = fill;
    return shownAs(up ? roundedUp(values[name]) : values[name], dimension, digits);
  }

  function filled(text, fills, values, tables) {
    return Object.entries(fills || {}).reduce(
      (made, [name, fill]) => made.replaceAll(`{${name}}`, () => fillText(fill, values, tables)), text);
  }

  function conditionNote(condition, values, tables, given) {
    if (condition.a && !isAssumed(given, condition.a)) return null;
    if (!Object.entries(condition.o || {}).every(([key, words]) => words.includes(given.words[key]))) return null;
    if (!allHold(condition.w, values)) return null;
    return { level: condition.l === "w" ? "warning" : "note", text: filled(condition.t, condition.f, values, tables) };
  }

  function notesOf(way, values, tables, given) {
    const found = way.m.map((each) => (typeof each === "number"
      ? conditionNote(way.c[each], values, tables, given)
      : { level: each[0] === "w" ? "warning" : "note", text: each[1] }));
    return found.filter((note, at) => note && found.findIndex(
      (other) => other && other.level === note.level && other.text === note.text) === at);
  }

  /* ---- The whole ---- */

  function resultsOf(data, way, values, given) {
    const found = {};
    for (const step of [...way.s, ...way.a]) {
      if (!step.k) continue;
      const shown = shownAs(values[step.n], step.d, 3);
      found[step.k] = { key: step.k, label: data.r[step.k], value: values[step.n], shown, band: "" };
      if (!step.b || step.g) continue;
      const [low, high] = corners(step, values, given);
      if (low !== high) {
        Object.assign(found[step.k], { low, high, band: `${shownAs(low, step.d, 3)} to ${shownAs(high, step.d, 3)}` });
      }
    }
    return Object.keys(data.r).filter((key) => found[key]).map((key) => found[key]);
  }

  function tableOf(table, rows) {
    const cells = Object.entries(table.c || {});
    return {
      title: table.t,
      isCounted: table.e !== undefined,
      rows: rows.map((row) => Object.fromEntries(cells.map(([key, fill]) => [key, fillText(fill, row.values)]))),
    };
  }

  function carryOut(data, way, given) {
    const values = { ...way.k };
    for (const [key, name] of way.v) values[name] = given.counts[key] ?? given.quantities[key].value;
    refuse(way.q, values);
    for (const step of way.s) take(step, values, given);
    for (const table of way.t) {
      if (!table.f) continue;
      const rows = rowsOf(table, values, given);
      for (const each of table.f) values[each.n] = reduce(each, rows);
    }
    for (const step of way.a) take(step, values, given);
    const tables = Object.fromEntries(way.t.map((table) => [table.t, rowsOf(table, values, given)]));
    return {
      problems: [],
      results: resultsOf(data, way, values, given),
      notes: notesOf(way, values, tables, given),
      tables: way.t.map((table) => tableOf(table, tables[table.t])),
    };
  }

  /* The calculation with `texts` put in, as somebody wrote them; with problems there is nothing else. */
  function work(data, way, texts) {
    const given = readInputs(data, way, texts);
    if (given.problems.length) return { problems: given.problems };
    try {
      return carryOut(data, way, given);
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      return { problems: [refused.problem] };
    }
  }

  calculations.plans = { wayOf, wayFor, tolerancesOf, seriesOf, readInputs, work };
})();
