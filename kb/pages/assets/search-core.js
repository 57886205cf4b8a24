/* The search without its face: loads the index piece by piece, asks it, ranks what answers.
 *
 * The index lies beside the pages as small scripts that call halfsplitSearch.add. Scripts load from disk as
 * well as over HTTP, where fetch and workers do not. Nothing is sent anywhere and nothing is kept.
 *
 * kb/search does the same in asking.py, symptoms.py and narrowing.py; the browser tests hold the two against
 * each other.
 */
(function () {
  "use strict";

  const { cut, unique, Phrases, queryWords, wanted, nearestSymptom } = window.halfsplitWords;
  const PAGES = "search/", FAULTS = "search/faults/", PHRASES = "search/words.js", TABLE = "search/faults/table.js";

  /* ---- Loading: each file of the index once, as a script ---- */

  class Unavailable extends Error {}
  class Outdated extends Error {}

  const arrived = new Map();
  const loading = new Map();
  const made = new Map(); // what was made of a file, such as a Set of its list
  let edition = "";

  function root() {
    const place = (document.querySelector("[data-hs-root]")?.dataset.hsRoot || "").replace(/^\.\/?$/, "");
    return place && !place.endsWith("/") ? `${place}/` : place;
  }

  function add(ofEdition, path, content) {
    arrived.set(path, { edition: ofEdition, content });
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
      script.src = root() + path + (version ? `?v=${version}` : "");
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

  /* A file of another edition numbers its pages differently, so nothing may be read from the two together. */
  async function piece(path, make = (content) => content) {
    const found = await load(path, edition);
    if (found.edition !== edition) throw new Outdated(found.edition);
    if (!made.has(path)) made.set(path, make(found.content));
    return made.get(path);
  }

  async function begin(version) {
    edition = (await load(`${PAGES}index.js`, version)).edition;
  }

  async function withIndex(ask) {
    if (!edition) await begin("");
    try {
      return await ask();
    } catch (trouble) {
      if (!(trouble instanceof Outdated)) throw trouble;
      for (const each of [arrived, loading, made]) each.clear();
      await begin(trouble.message);
      return ask();
    }
  }

  const phrases = () => piece(PHRASES, (content) => new Phrases(content));
  const contentsOf = (folder) => piece(`${folder}index.js`, (content) => ({
    ...content, folder, parts: new Set(content.parts), emptyWords: new Set(content.emptyWords),
  }));

  async function row(contents, number) {
    const rows = await piece(`${contents.folder}pages-${Math.floor(number / contents.pagesPerFile)}.js`);
    return rows[number % contents.pagesPerFile];
  }

  /* ---- Asking ---- */

  const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  const VALUES = new Map(Array.from(LETTERS, (letter, value) => [letter, value]));
  const WEIGHTS = 32;
  const FEW_PAGES = 3;
  const ENOUGH_PAGES = 10;

  function eachNumber(letters, take) {
    let number = 0, shift = 0;
    for (const letter of letters) {
      const value = VALUES.get(letter);
      number += (value & 31) * 2 ** shift;
      shift += 5;
      if (value < 32) {
        take(number);
        number = shift = 0;
      }
    }
  }

  function fileOf(contents, part) {
    const plain = Array.from(part, (each) => /[a-z0-9]/.test(each) ? each : `_${each.codePointAt(0).toString(16)}_`);
    return `${contents.folder}words-${plain.join("")}.js`;
  }

  async function wordsNear(contents, spelled) {
    const partOf = (word) => [3, 2, 1].map((length) => cut(word, length)).find((start) => contents.parts.has(start));
    const parts = unique(spelled.map(partOf)).filter((part) => part !== undefined);
    return (await Promise.all(parts.map((part) => piece(fileOf(contents, part))))).flat();
  }

  function worth(words, answers) {
    const pages = new Map();
    for (let place = 0; place < words.length; place += 2) {
      const fit = answers(words[place]);
      if (!fit) continue;
      let page = 0;
      eachNumber(words[place + 1], (number) => {
        page += Math.floor(number / WEIGHTS);
        pages.set(page, Math.max(pages.get(page) || 0, fit * (number % WEIGHTS)));
      });
    }
    return pages;
  }

  async function pagesThatHold(contents, spelled) {
    const near = spelled.map(wanted);
    return worth(await wordsNear(contents, spelled), (term) => Math.max(...near.map((each) => each.metBy(term))));
  }

  async function pagesWithWord(contents, spelled) {
    const pages = await pagesThatHold(contents, spelled);
    if (pages.size >= FEW_PAGES) return pages;
    return new Map([...worth(await wordsNear(contents, spelled), wanted(spelled[0]).mayMean), ...pages]);
  }

  /* The pages that hold every one of these words somewhere, worth far less than the phrase. */
  async function pagesWithAll(contents, words) {
    const found = await Promise.all(words.map((spelled) => pagesThatHold(contents, spelled)));
    const pages = new Map();
    for (const page of found[0].keys()) {
      if (!found.every((each) => each.has(page))) continue;
      pages.set(page, Math.max(1, Math.floor(Math.min(...found.map((each) => each.get(page))) / 8)));
    }
    return pages;
  }

  async function pagesWith(contents, asked) {
    if (!asked.loosely.length) {
      const pages = await pagesWithWord(contents, asked.spellings);
      return { pages, sure: pages.size };
    }
    const pages = await pagesThatHold(contents, asked.spellings);
    if (pages.size >= ENOUGH_PAGES) return { pages, sure: pages.size };
    const loosely = await pagesWithAll(contents, asked.loosely);
    return { pages: new Map([...loosely, ...pages]), sure: pages.size || loosely.size };
  }

  async function scored(contents, asked) {
    const met = new Map(), scores = new Map();
    for (const { pages, sure } of await Promise.all(asked.map((each) => pagesWith(contents, each)))) {
      const telling = 1 + contents.rarity.filter((step) => step >= sure).length;
      for (const [page, value] of pages) {
        met.set(page, (met.get(page) || 0) + 1);
        scores.set(page, (scores.get(page) || 0) + telling * value);
      }
    }
    return { met, scores };
  }

  const typedWords = (asked) => asked.flatMap((each) => each.loosely.length ? each.loosely : [each.spellings]).map((each) => each[0]);

  /* The first `limit` pages that answer `query`, how many there are, and whether the best holds every word. */
  function find(query, limit = 10) {
    return withIndex(async () => {
      const contents = await contentsOf(PAGES);
      const asked = queryWords(query, await phrases(), contents.emptyWords);
      const { met, scores } = await scored(contents, asked);
      const ranked = Array.from(met.keys()).sort((one, other) =>
        met.get(other) - met.get(one) || scores.get(other) - scores.get(one) || one - other);
      const rows = await Promise.all(ranked.slice(0, limit).map((number) => row(contents, number)));
      return {
        results: rows.map(([path, title, kind, context]) => ({ path, title, kind, context })),
        total: ranked.length, words: typedWords(asked),
        complete: !ranked.length || met.get(ranked[0]) === asked.length,
      };
    });
  }

  /* ---- Faults: narrowed to what lies on the bench ---- */

  const HERE = 1, ELSEWHERE = 0;
  const FOR_BEING_HERE = 1e9, FOR_EACH_WORD = 1e7;
  const UNSEEN = 16, MOST_STEPS = 4;

  function readTable({ models, hazards, kinds, faults }) {
    const numbers = [];
    eachNumber(faults, (number) => numbers.push(number));
    return {
      hazards, numbers,
      models: models.map(([id, name, revisions, blocks]) => ({
        id, name,
        revisions: revisions.map(([revision, ranges]) => ({
          id: revision, ranges: ranges.map(([prefix, low, high]) => ({ prefix, low, high })),
        })),
        blocks: blocks.map(([block, called, role]) => ({ id: block, name: called, role })),
        roles: new Map(blocks.map(([block, , role]) => [block, role])),
      })),
      kinds: kinds.map(([block, on, named]) => ({
        block, on: new Map(on.map(([model, revisions]) => [model, new Set(revisions)])), hazards: new Set(named),
      })),
    };
  }

  const table = () => withIndex(() => piece(TABLE, readTable));

  /* The models, by number, with the revisions that a model, a serial number or both leave. */
  function unitsOf({ models }, model, serial) {
    const holds = (range) => window.halfsplitSerials.holds(range, serial);
    const found = new Map();
    models.forEach(({ id, revisions }, number) => {
      if (model && id !== model) return;
      const held = Array.from(revisions.keys()).filter((place) => !serial || revisions[place].ranges.some(holds));
      if (held.length || !serial) found.set(number, new Set(held));
    });
    return found;
  }

  function closeness(known, { model, serial, block, hazard }) {
    const danger = hazard ? known.hazards.findIndex(([id]) => id === hazard) : null;
    const units = model || serial ? unitsOf(known, model, serial) : null;
    const isAsked = (id, role) => !block || block === id || block === role;
    const roles = new Set(Array.from(units ? units.keys() : []).flatMap((number) =>
      known.models[number].blocks.filter((each) => isAsked(each.id, each.role)).map((each) => each.role)));
    const roleOn = (number, kind) => known.models[number].roles.get(kind.block);
    const meet = (some, others) => (!some.size && !others.size) || Array.from(some).some((each) => others.has(each));
    return known.kinds.map((kind) => {
      if (danger !== null && !kind.hazards.has(danger)) return null;
      const models = Array.from(kind.on.keys());
      const own = Array.from(new Set(models.map((number) => roleOn(number, kind) || kind.block)));
      if (!units) return !block || block === kind.block || own.includes(block) ? HERE : null;
      const here = models.filter((number) => units.has(number));
      if (here.length) {
        const onUnit = here.some((number) => meet(kind.on.get(number), units.get(number)));
        const ofBlock = here.some((number) => isAsked(kind.block, roleOn(number, kind)));
        return onUnit && ofBlock ? HERE : null;
      }
      return own.some((role) => roles.has(role)) ? ELSEWHERE : null;
    });
  }

  const boost = (seen) => Math.min(MOST_STEPS, seen ? Math.floor(Math.log2(seen)) + 1 : 0);

  function rankFaults(known, narrowing, asked, { met, scores }, count) {
    const near = closeness(known, narrowing);
    const hits = [];
    for (const number of asked.length ? met.keys() : Array(count).keys()) {
      const here = near[known.numbers[2 * number]];
      if (here === null) continue;
      const seen = known.numbers[2 * number + 1];
      const value = asked.length ? scores.get(number) * (UNSEEN + boost(seen)) : seen;
      hits.push({ number, score: here * FOR_BEING_HERE + (met.get(number) || 0) * FOR_EACH_WORD + value, here: here === HERE });
    }
    return hits.sort((one, other) => other.score - one.score || one.number - other.number);
  }

  function where({ name, revisions }, on) {
    if (on.size === revisions.length) return `${name}, all revisions`;
    const named = Array.from(on).sort((one, other) => one - other).map((each) => revisions[each].id.toUpperCase());
    return `${name}, revision ${named.join(", ")}`;
  }

  function shown(known, { number, score, here }, [path, title, symptoms, confirmed], asked, table) {
    const kind = known.kinds[known.numbers[2 * number]];
    const models = Array.from(kind.on.keys(), (each) => known.models[each]);
    const block = models.flatMap((model) => model.blocks).find((each) => each.id === kind.block);
    return {
      path, title, score, here, confirmed: Boolean(confirmed), seen: known.numbers[2 * number + 1],
      symptom: nearestSymptom(symptoms, asked, table),
      on: Array.from(kind.on, ([model, revisions]) => where(known.models[model], revisions)),
      block: block ? block.name : kind.block,
    };
  }

  /* The first `limit` faults that answer `query` and are left by `narrowing` (model, serial, block, hazard). */
  function findFaults(query, narrowing = {}, limit = 10) {
    return withIndex(async () => {
      const [contents, said, known] = await Promise.all([contentsOf(FAULTS), phrases(), piece(TABLE, readTable)]);
      const asked = queryWords(query, said, contents.emptyWords);
      const answers = await scored(contents, asked);
      const ranked = rankFaults(known, narrowing, asked, answers, contents.pages);
      const first = ranked.slice(0, limit);
      const rows = await Promise.all(first.map((hit) => row(contents, hit.number)));
      return {
        results: first.map((hit, place) => shown(known, hit, rows[place], asked, said)),
        total: ranked.length, words: typedWords(asked),
        complete: !asked.length || !ranked.length || answers.met.get(ranked[0].number) === asked.length,
      };
    });
  }

  const isTrouble = (error) => error instanceof Unavailable || error instanceof Outdated;

  window.halfsplitSearch = { add, find, findFaults, table, unitsOf, root, isTrouble, begin: () => withIndex(async () => null) };
})();
