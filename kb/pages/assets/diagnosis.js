/* The diagnosis in the browser: what is likely after the results so far, and which check comes next.
 *
 * It says the same as kb/diagnosis, step by step and in the same order of sums; priors and rates come from
 * there as data. Whoever changes one side changes the other; the browser tests hold them against each other.
 * A case: {causes: [{id, prior, minutes, access, remedy}], checks: [{id, minutes, fails, leak, access}],
 * leak, leakMinutes, opening: {access: minutes}}. A result: {check, outcome, confidence}.
 */
(function () {
  "use strict";

  const LEAK = "LEAK";
  const AGAINST = 0.1;
  const TOO_MANY_AGAINST = 2;
  const LEAST_CLOSE = 0.1;

  /* ---- Orders ---- */

  const rounded = (value) => Math.floor(value * 1e9 + 0.5);
  const sum = (values) => values.reduce((total, each) => total + each, 0);

  /* Keys are lists, compared from the left; the number first, then minutes, then the id. */
  function compare(one, other) {
    for (let at = 0; at < one.length; at += 1) {
      if (one[at] < other[at]) return -1;
      if (one[at] > other[at]) return 1;
    }
    return 0;
  }

  function least(items, keyOf) {
    return items.reduce((best, each) => {
      const key = keyOf(each);
      return best === null || compare(key, best.key) < 0 ? { item: each, key } : best;
    }, null)?.item;
  }

  const sortedBy = (items, keyOf) =>
    items.map((item) => ({ item, key: keyOf(item) })).sort((a, b) => compare(a.key, b.key)).map((each) => each.item);

  /* ---- Results ---- */

  /* One result for each check, in the order they first came; where one was made again, the last holds. */
  const lastOfEach = (results) => Array.from(new Map(results.map((each) => [each.check, each])).values());
  const isDone = (result) => result.outcome !== "not_done";
  const checkOf = (theCase, id) => theCase.checks.find((each) => each.id === id);
  const priorsOf = (theCase) => [...theCase.causes.map((cause) => cause.prior), theCase.leak];
  const namesOf = (theCase) => [...theCase.causes.map((cause) => cause.id), LEAK];

  function openedBy(theCase, results) {
    const done = new Set(results.filter(isDone).map((each) => each.check));
    return new Set(theCase.checks.filter((each) => each.access && done.has(each.id)).map((each) => each.access));
  }

  /* ---- Probabilities ---- */

  function factors(check, result) {
    const rates = [...check.fails, check.leak];
    if (!isDone(result)) return rates.map(() => 1);
    const confidence = result.confidence ?? 1;
    const sure = result.outcome === "fail" ? confidence : 1 - confidence;
    return rates.map((rate) => sure * rate + (1 - sure) * (1 - rate));
  }

  function updated(masses, likelihoods) {
    const products = masses.map((mass, place) => mass * likelihoods[place]);
    const total = sum(products);
    if (total <= 0) return { probabilities: null, evidence: 0 };
    return { probabilities: products.map((product) => product / total), evidence: total };
  }

  /* The probabilities after `results`, the leak's at the end; null where they rule out every cause. */
  function posterior(theCase, results) {
    let masses = priorsOf(theCase);
    let evidence = 1;
    for (const result of lastOfEach(results).filter(isDone)) {
      const found = updated(masses, factors(checkOf(theCase, result.check), result));
      evidence *= found.evidence;
      if (found.probabilities === null) return { probabilities: null, evidence: 0 };
      masses = found.probabilities;
    }
    return { probabilities: masses, evidence };
  }

  /* The causes' places, most probable first; ties by minutes, then id, the leak last. */
  function ranking(theCase, probabilities) {
    return sortedBy(probabilities.map((_, place) => place), (place) => {
      const cause = theCase.causes[place];
      return cause ? [-rounded(probabilities[place]), 0, cause.minutes, cause.id]
        : [-rounded(probabilities[place]), 1, theCase.leakMinutes, ""];
    });
  }

  /* For each cause the checks whose outcome speaks against it. */
  function speakingAgainst(theCase, results) {
    const done = lastOfEach(results).map((result) => [result.check, factors(checkOf(theCase, result.check), result)]);
    return theCase.causes.map((_, place) =>
      done.filter(([, likelihoods]) => likelihoods[place] <= AGAINST).map(([check]) => check));
  }

  /* "contradiction": no number is to be shown. "doubtful": numbers stand beside a warning. */
  function verdict(theCase, results) {
    const found = posterior(theCase, results);
    if (found.probabilities === null) return "contradiction";
    const against = speakingAgainst(theCase, results).map((each) => each.length);
    const fewest = against.length ? Math.min(...against) : 0;
    if (fewest >= TOO_MANY_AGAINST) return "contradiction";
    const leads = ranking(theCase, found.probabilities)[0] === theCase.causes.length;
    return fewest || (leads && results.length) ? "doubtful" : "consistent";
  }

  function logOdds({ before, after }) {
    if (!(before > 0 && before < 1 && after > 0 && after < 1)) return null;
    return Math.log(after / (1 - after)) - Math.log(before / (1 - before));
  }

  /* What the result of `check` did to each cause, all the others being as they are; empty in a contradiction. */
  function effects(theCase, results, check) {
    const held = lastOfEach(results);
    const after = posterior(theCase, held).probabilities;
    const before = posterior(theCase, held.filter((result) => result.check !== check)).probabilities;
    if (after === null || before === null) return [];
    return namesOf(theCase).map((cause, place) => {
      const did = { cause, before: before[place], after: after[place] };
      return { ...did, logOdds: logOdds(did) };
    });
  }

  /* The check whose outcome the others make least probable: the one to make again first. */
  function worthRepeating(theCase, results) {
    const done = lastOfEach(results).filter(isDone);
    const found = least(done, (result) => {
      const check = checkOf(theCase, result.check);
      const rest = posterior(theCase, done.filter((other) => other !== result)).probabilities;
      const expected = rest === null ? 1 : updated(rest, factors(check, result)).evidence;
      return [rounded(expected), check.minutes, check.id];
    });
    return found ? found.check : null;
  }

  /* ---- Confirming ---- */

  /* One confirmation for each cause, or for all causes with one remedy behind one door. */
  function actionsOf(theCase) {
    const groups = new Map();
    theCase.causes.forEach((cause, place) => {
      const access = cause.access || "";
      const key = JSON.stringify([cause.remedy ? `remedy ${cause.remedy}` : `cause ${cause.id}`, access]);
      if (!groups.has(key)) groups.set(key, { places: [], access });
      groups.get(key).places.push(place);
    });
    return Array.from(groups.values(), ({ places, access }) => {
      const causes = places.map((place) => theCase.causes[place]);
      return {
        id: least(causes, (cause) => [cause.id]).id, places, access,
        minutes: Math.max(...causes.map((cause) => cause.minutes)),
      };
    });
  }

  const massOf = (action, masses) => sum(action.places.map((place) => masses[place]));

  function ranked(actions, masses) {
    return actions.map((action) => ({
      action, key: [-rounded(massOf(action, masses) / action.minutes), action.minutes, action.id],
    })).sort((a, b) => compare(a.key, b.key));
  }

  /* The key of the best number of members to do once a door is open, and that number. */
  function bundle(opening, members, masses) {
    let [mass, minutes, best] = [0, opening, null];
    members.forEach(({ action }, at) => {
      mass += massOf(action, masses);
      minutes += action.minutes;
      const key = [-rounded(mass / minutes), minutes, members[0].action.id];
      if (best === null || compare(key, best.key) < 0) best = { key, size: at + 1 };
    });
    return best;
  }

  /* The confirmations in the order that takes the fewest minutes on average. */
  function orderOf(actions, opening, masses, opened) {
    const all = ranked(actions, masses);
    const isOpen = (access) => access === "" || opened.has(access);
    let ready = all.filter((each) => isOpen(each.action.access));
    const closed = new Map();
    for (const each of all.filter((one) => !isOpen(one.action.access))) {
      closed.set(each.action.access, [...(closed.get(each.action.access) || []), each]);
    }
    const bundles = new Map(Array.from(closed, ([access, members]) =>
      [access, bundle(opening[access] || 0, members, masses)]));
    const order = [];
    while (bundles.size) {
      const access = least(Array.from(bundles.keys()), (each) => bundles.get(each).key);
      const { key, size } = bundles.get(access);
      while (ready.length && compare(ready[0].key, key) <= 0) order.push(ready.shift().action);
      bundles.delete(access);
      const members = closed.get(access);
      order.push(...members.slice(0, size).map((each) => each.action));
      ready = [...ready, ...members.slice(size)].sort((a, b) => compare(a.key, b.key));
    }
    return [...order, ...ready.map((each) => each.action)];
  }

  /* The minutes to the fault on average in the given order; the last of `masses` is the leak's. */
  function minutesOf(order, opening, masses, leakMinutes, opened) {
    const isOpen = new Set(["", ...opened]);
    let [left, spent] = [sum(masses), 0];
    for (const action of order) {
      const door = isOpen.has(action.access) ? 0 : opening[action.access] || 0;
      isOpen.add(action.access);
      spent += (door + action.minutes) * left;
      left -= massOf(action, masses);
    }
    return spent + masses[masses.length - 1] * leakMinutes;
  }

  /* ---- Looking ahead ---- */

  /* The probabilities if `check` fails and if it passes; the evidence is how probable that is. */
  function after(masses, check) {
    const fails = [...check.fails, check.leak];
    return [updated(masses, fails), updated(masses, fails.map((rate) => 1 - rate))];
  }

  function proposalsOf(theCase, results, masses, opened, actions, base) {
    const done = new Set(lastOfEach(results).filter(isDone).map((each) => each.check));
    const found = theCase.checks.filter((check) => !done.has(check.id)).map((check) => {
      const access = check.access || "";
      let expected = (access && !opened.has(access) ? theCase.opening[access] || 0 : 0) + check.minutes;
      const branches = after(masses, check);
      const nowOpen = new Set([...opened, access]);
      for (const { probabilities, evidence } of branches) {
        if (probabilities === null) continue;
        const order = orderOf(actions, theCase.opening, probabilities, nowOpen);
        expected += evidence * minutesOf(order, theCase.opening, probabilities, theCase.leakMinutes, nowOpen);
      }
      const proposal = { check: check.id, expectedMinutes: expected, savesMinutes: base - expected, fails: branches[0].evidence };
      return { proposal, key: [rounded(expected), check.minutes, check.id] };
    });
    return found.sort((a, b) => compare(a.key, b.key)).map((each) => each.proposal);
  }

  /* The next step after `results`: a check that saves more than `leastSaving` minutes, or else the cause to
     confirm; null where the results contradict every cause. */
  function nextStep(theCase, results, leastSaving = 0, setAside = []) {
    const masses = posterior(theCase, results).probabilities;
    if (masses === null) return null;
    const opened = openedBy(theCase, results);
    const actions = actionsOf(theCase);
    const order = orderOf(actions, theCase.opening, masses, opened);
    const baseMinutes = minutesOf(order, theCase.opening, masses, theCase.leakMinutes, opened);
    const proposals = proposalsOf(theCase, results, masses, opened, actions, baseMinutes);
    const best = proposals.find((each) => !setAside.includes(each.check));
    if (best && rounded(best.savesMinutes) > rounded(leastSaving)) {
      return { baseMinutes, proposals, check: best.check, confirm: null, savesMinutes: best.savesMinutes };
    }
    const place = order.length
      ? least(order[0].places, (each) => [-rounded(masses[each]), theCase.causes[each].id]) : null;
    return { baseMinutes, proposals, check: null, confirm: place === null ? null : theCase.causes[place].id, savesMinutes: 0 };
  }

  /* ---- Ruling out ---- */

  /* The case without the causes that somebody looked at and that were not it; what was opened for them is open. */
  function without(theCase, ruledOut) {
    const gone = theCase.causes.filter((cause) => ruledOut.includes(cause.id));
    if (!gone.length) return theCase;
    const kept = theCase.causes.map((_, place) => place).filter((place) => !ruledOut.includes(theCase.causes[place].id));
    const left = sum(kept.map((place) => theCase.causes[place].prior)) + theCase.leak;
    const opened = gone.filter((cause) => cause.access).map((cause) => [cause.access, 0]);
    return {
      ...theCase,
      causes: kept.map((place) => ({ ...theCase.causes[place], prior: left > 0 ? theCase.causes[place].prior / left : 0 })),
      checks: theCase.checks.map((check) => ({ ...check, fails: kept.map((place) => check.fails[place]) })),
      leak: kept.length && left > 0 ? theCase.leak / left : 1,
      opening: { ...theCase.opening, ...Object.fromEntries(opened) },
    };
  }

  /* ---- A complaint ---- */

  function leakRate(priors, fails) {
    const known = sum(priors);
    return known > 0 ? sum(priors.map((prior, place) => prior * fails[place])) / known : 0.5;
  }

  /* How close a complaint comes to each cause, 0 to 1. `asked` are the words of each thing complained of,
     `told` those of each symptom of each cause; words are numbers, in the order of the alphabet. */
  function closeness(asked, told) {
    const holders = new Map();
    for (const texts of told) {
      for (const word of new Set(texts.flat())) holders.set(word, (holders.get(word) || 0) + 1);
    }
    const tells = (word) => Math.log(1 + (told.length - holders.get(word) + 0.5) / (holders.get(word) + 0.5));
    const complaints = asked.map((words) => words.filter((word) => holders.has(word))).filter((words) => words.length);
    if (!complaints.length) return told.map(() => 1);
    const weight = (words) => sum(words.map(tells));
    const nearest = (words, texts) =>
      Math.max(0, ...texts.map((text) => weight(words.filter((word) => text.includes(word))) / weight(words)));
    return told.map((texts) => sum(complaints.map((words) => nearest(words, texts))) / complaints.length);
  }

  /* The priors after a complaint; their sum, and so the leak, stays what it was. */
  function shifted(priors, close) {
    const weighed = priors.map((prior, place) => prior * (LEAST_CLOSE + (1 - LEAST_CLOSE) * close[place]));
    const total = sum(weighed);
    const scale = total > 0 ? sum(priors) / total : 1;
    return weighed.map((each) => each * scale);
  }

  /* ---- The signal flow ---- */

  /* The blocks one fault leaves under suspicion; `cones` say for each block which spoil the reading there. */
  function flowSuspects(blocks, cones, good, bad) {
    let left = blocks;
    for (const block of bad) left = left.filter((each) => cones[block].includes(each));
    for (const block of good) left = left.filter((each) => !cones[block].includes(each));
    return left;
  }

  /* ---- Shares of few cases ---- */

  const Z_95 = 1.959963984540054;

  function wilson(held, cases, z = Z_95) {
    const [share, square] = [held / cases, z * z];
    const centre = (share + square / (2 * cases)) / (1 + square / cases);
    const half = (z * Math.sqrt((share * (1 - share)) / cases + square / (4 * cases * cases))) / (1 + square / cases);
    return [held === 0 ? 0 : centre - half, held === cases ? 1 : centre + half];
  }

  function rateText(held, cases) {
    if (cases === 0) return "no case yet";
    if (cases < 5) return `${held} of ${cases} so far`;
    const [low, high] = wilson(held, cases);
    const between = `${Math.floor(low * 100 + 1e-9)} % to ${Math.ceil(high * 100 - 1e-9)} %`;
    if (cases < 10) return `${held} of ${cases} (${between})`;
    return `${Math.floor((100 * held) / cases + 0.5)} % (${between}, ${held} of ${cases})`;
  }

  window.halfsplitDiagnosis = {
    LEAK, after, closeness, effects, flowSuspects, lastOfEach, leakRate, minutesOf, nextStep, orderOf, actionsOf,
    posterior, priorsOf, ranking, rateText, shifted, speakingAgainst, verdict, wilson, without, worthRepeating,
  };
})();
