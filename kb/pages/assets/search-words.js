/* How the search reads what is typed: words and their spellings, phrases that mean the same, and how well a
 * word on a page meets one that was asked for.
 *
 * It is the same, step by step, in kb/wording, kb/search/words.py and kb/search/matching.py. Whoever changes
 * one side changes the other; the browser tests hold them against each other.
 */
(function () {
  "use strict";

  const LONGEST_WORD = 40;
  const LONGEST_QUERY = 200;
  const MOST_QUERY_WORDS = 8;
  const LETTER = "[\\p{L}\\p{N}]";
  const WORD = `(?:[0-9]+\\.[0-9]+${LETTER}*|${LETTER}+)`;
  const UNIT = "(?:[kmunpg]?(?:v|a|w|f|h|s|hz|ohm)|[kmunpr]|vpp|vac|vdc|bpm|cents)";
  const COMPOUND = new RegExp(`[0-9]+(?:\\.[0-9]+)?[ -]${UNIT}(?!${LETTER})|${WORD}(?:-${WORD})*`, "gu");
  const END_OF_CLAUSE = /[.,;:!?]+(?![0-9])|[()\n]/;
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

  function clauses(text) {
    return fold(text).split(END_OF_CLAUSE).map((clause) => clause.match(COMPOUND) || []);
  }

  const partsOf = (compound) => compound.split(/[ -]/);
  const wordsByClause = (text) => clauses(text).map((compounds) => compounds.flatMap(partsOf));

  /* ---- Stems ---- */

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

  /* ---- Phrases that mean the same ---- */

  const NOT = "!";

  class Phrases {
    constructor({ ignored, negations, phrases }) {
      this.ignored = new Set(ignored);
      this.negations = new Set(negations);
      this.byFirst = new Map();
      for (const [sign, keys] of Object.entries(phrases)) {
        for (const key of keys.map((each) => each.split(" "))) {
          if (!this.byFirst.has(key[0])) this.byFirst.set(key[0], []);
          this.byFirst.get(key[0]).push({ key, sign });
        }
      }
    }

    /* The phrases in the words of a clause, in order, none of them over another; the longest wins. */
    metIn(words) {
      const places = Array.from(words.keys()).filter((place) => !this.ignored.has(words[place]));
      const row = places.map((place) => this.negations.has(words[place]) ? NOT : stem(words[place]));
      const candidates = row.flatMap((token, start) => this.beginningAt(row, token, start));
      candidates.sort((one, other) => other.key.length - one.key.length || one.start - other.start);
      const taken = new Set();
      const found = [];
      for (const { start, key, sign } of candidates) {
        const held = key.map((_, each) => start + each);
        if (held.some((each) => taken.has(each))) continue;
        held.forEach((each) => taken.add(each));
        found.push({ first: places[start], last: places[held.at(-1)], sign });
      }
      return found.sort((one, other) => one.first - other.first);
    }

    beginningAt(row, token, start) {
      if (start > 0 && row[start - 1] === NOT && token !== NOT) return []; // denied: no hum
      return (this.byFirst.get(token) || [])
        .filter(({ key }) => key.every((each, place) => row[start + place] === each))
        .map(({ key, sign }) => ({ start, key, sign }));
    }

    signsIn(text) {
      return wordsByClause(text).flatMap((words) => this.metIn(words).map((met) => met.sign));
    }
  }

  /* ---- What is asked for ---- */

  function asValue(part) {
    const found = LETTER_AS_POINT.exec(part);
    if (found) return [(found[3] ? `${found[1]}.${found[3]}` : found[1]) + UNIT_OF_PREFIX[found[2]]];
    const prefixed = PREFIXED.exec(part);
    return prefixed ? [prefixed[1] + UNIT_OF_PREFIX[prefixed[2]]] : [];
  }

  function spellings(compound) {
    const parts = partsOf(compound);
    return parts.map((part) => [part, parts.join(""), ...asValue(part)].map((word) => cut(word, LONGEST_WORD)));
  }

  /* Words as { spellings }, phrases as { spellings: [sign], loosely: the spellings of their words }. */
  function askedIn(compounds, phrases, emptyWords) {
    const words = compounds.flatMap(spellings);
    const met = phrases.metIn(words.map((word) => word[0]));
    const passedOver = met.length ? phrases.ignored : new Set();
    const plain = (first, end) => words.slice(first, end)
      .filter((word) => !passedOver.has(word[0])).map((word) => ({ spellings: word, loosely: [] }));
    const found = [];
    let place = 0;
    for (const { first, last, sign } of met) {
      const loosely = words.slice(first, last + 1)
        .filter((word) => !phrases.ignored.has(word[0]) && !emptyWords.has(word[0]));
      found.push(...plain(place, first), { spellings: [sign], loosely });
      place = last + 1;
    }
    return [...found, ...plain(place)];
  }

  function withNeighbours(found, place) {
    const asked = found[place];
    if (asked.loosely.length) return asked;
    const joined = [place - 1, place]
      .filter((each) => each >= 0 && each + 1 < found.length)
      .map((each) => found.slice(each, each + 2))
      .filter((pair) => pair.every((each) => !each.loosely.length))
      .map(([one, other]) => cut(one.spellings[0] + other.spellings[0], LONGEST_WORD));
    return { spellings: unique([...asked.spellings, ...joined]), loosely: [] };
  }

  function queryWords(query, phrases, emptyWords) {
    const found = clauses(cut(query, LONGEST_QUERY)).flatMap((each) => askedIn(each, phrases, emptyWords));
    const telling = found.filter((each) => each.loosely.length || !emptyWords.has(each.spellings[0]));
    const once = new Map((telling.length ? telling : found).map((each) => [each.spellings[0], each]));
    let words = 0;
    const kept = [];
    for (const each of once.values()) {
      words += each.loosely.length || 1;
      if (words > MOST_QUERY_WORDS) break;
      kept.push(each);
    }
    return kept.map((_, place) => withNeighbours(kept, place));
  }

  /* ---- Matching: how well a word on a page meets one that was asked for ---- */

  const EXACT = 8, OTHER_FORM = 6, BEGINNING = 4, RELATED = 2, MISTYPED = 1;

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

  /* ---- Which symptom of a fault comes nearest ---- */

  function fit(asked, words, signs) {
    const near = asked.spellings.map(wanted);
    if (!asked.loosely.length) {
      const fits = words.map((word) => Math.max(...near.map((each) => each.metBy(word))) || near[0].mayMean(word));
      return Math.max(0, ...fits);
    }
    if (signs.includes(asked.spellings[0])) return EXACT;
    const holds = (spelled) => spelled.map(wanted).some((each) => words.some((word) => each.metBy(word)));
    return asked.loosely.every(holds) ? MISTYPED : 0;
  }

  function nearestSymptom(symptoms, asked, phrases) {
    let nearest = "", most = -1;
    for (const symptom of symptoms) {
      const words = wordsByClause(symptom).flat();
      const signs = phrases.signsIn(symptom);
      const answers = asked.reduce((sum, each) => sum + fit(each, words, signs), 0);
      if (answers > most) [nearest, most] = [symptom, answers];
    }
    return nearest;
  }

  window.halfsplitWords = { cut, unique, Phrases, queryWords, wanted, nearestSymptom };
})();
