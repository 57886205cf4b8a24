/* What the bench page says: a unit's case out of the page's data, and its answer as elements.
 *
 * Texts of records are set as text and never read as markup; cautions are copied from the page's templates.
 */
(function () {
  "use strict";

  const bench = window.halfsplitBench;
  const D = window.halfsplitDiagnosis;
  const FEWEST_FOR_PERCENT = 10;
  const SUSPECT_FROM = 0.1;
  const MOST_CAUSES = 8;
  const MOVED = 0.005;
  const WORDS = [[0.9, "nearly certain"], [0.6, "likely"], [0.3, "quite possible"], [0.1, "possible"],
    [0.02, "unlikely"], [0, "very unlikely"]];

  function element(name, className, ...content) {
    const made = document.createElement(name);
    if (className) made.className = className;
    made.append(...content.filter((each) => each !== null && each !== ""));
    return made;
  }

  function link(href, text) {
    const made = element("a", "", text);
    made.href = href;
    return made;
  }

  const quiet = (...content) => element("span", "hs-quiet", ...content);

  /* ---- The case ---- */

  const isOn = (range, serial) => window.halfsplitSerials.holds(range, serial);
  const revisionsOf = (data, serial) =>
    data.revisions.filter((each) => each.ranges.some((range) => isOn(range, serial))).map((each) => each.id);

  /* Which revisions the unit may be of; one that was seen counts more than a number. */
  function unitOf(data, state) {
    const told = /[0-9]/.test(state.serial) ? revisionsOf(data, state.serial) : [];
    const every = data.revisions.map((each) => each.id);
    const seen = every.includes(state.revision) ? [state.revision] : null;
    const revisions = seen || (told.length ? told : every);
    const isReady = revisions.join("+") in data.cases;
    return { told, seen: Boolean(seen), revisions: isReady ? revisions : every, every };
  }

  /* The marks that tell the revisions apart where the number does not, and a word where the two disagree. */
  function marks(data, { serial, revision }, unit) {
    const note = (text) => element("p", "hs-note-warning", text);
    if (unit.seen) {
      if (!serial || unit.told.includes(revision)) return [];
      const where = unit.told.length ? `a serial of revision ${unit.told.map((each) => each.toUpperCase()).join(" or ")}` : "in no serial range";
      return [note(`“${serial}” is ${where}; taken: revision ${revision.toUpperCase()}, as told by sight.`)];
    }
    if (/[0-9]/.test(serial) && !unit.told.length) {
      return [note("No revision on record has this number. Tell the revision by its marks."), ...sight(data, unit.every)];
    }
    if (unit.told.length < 2) return [];
    return [note("This number was used by more than one revision. The marks on the unit decide."), ...sight(data, unit.told)];
  }

  function sight(data, ids) {
    return data.revisions.filter((each) => ids.includes(each.id) && each.sight.length).flatMap((each) => [
      element("p", "hs-label", `Revision ${each.id.toUpperCase()} if you see`),
      element("ul", "", ...each.sight.map((mark) => element("li", "", mark)))]);
  }

  /* The case of a unit with these symptoms, as Python would make it. */
  function caseOf(data, revisions, symptoms) {
    const given = data.cases[revisions.join("+")];
    const causes = given.causes.map(([place, prior, minutes, access, remedy, count, n]) =>
      ({ ...data.causes[place], place, prior, minutes, access, remedy, count, n }));
    const asked = data.symptoms.filter(([text]) => symptoms.includes(text)).map(([, words]) => words);
    if (asked.length && causes.some((cause) => cause.kind === "fault")) {
      const close = D.closeness(asked, causes.map((cause) => data.told[cause.place]));
      const priors = D.shifted(causes.map((cause) => cause.prior), close);
      causes.forEach((cause, place) => { cause.prior = priors[place]; });
    }
    const priors = causes.map((cause) => cause.prior);
    const checks = given.checks.map(([id, minutes, access, rates]) => {
      const fails = rates.map((rate) => data.rates[rate]);
      return { id, minutes, access, fails, leak: D.leakRate(priors, fails) };
    });
    const { leak, leakMinutes, opening, flow, feeds, cones, leftOut } = given;
    const n = causes.length ? causes[0].n : 0;
    return { causes, checks, leak, leakMinutes, opening, flow, feeds, cones, leftOut, n };
  }

  /* ---- The answer ---- */

  function report(data, state) {
    const unit = unitOf(data, state);
    const whole = caseOf(data, unit.revisions, state.symptoms);
    const ruledOut = state.entries.filter((each) => each.cause).map((each) => each.cause);
    const theCase = D.without(whole, ruledOut);
    const known = new Set(theCase.checks.map((each) => each.id));
    const held = D.lastOfEach(state.entries.filter((each) => known.has(each.check)));
    const verdict = D.verdict(theCase, held);
    const isContradiction = verdict === "contradiction";
    const aside = held.filter((each) => each.outcome === "not_done").map((each) => each.check);
    const step = isContradiction ? null : D.nextStep(theCase, held, data.leastSaving, aside);
    const probabilities = isContradiction ? null : D.posterior(theCase, held).probabilities;
    const repeat = isContradiction ? D.worthRepeating(theCase, held) : null;
    const taken = known.has(state.taken) ? state.taken : null;
    const current = taken || repeat || (step ? step.check : null);
    const order = D.ranking(theCase, probabilities || D.priorsOf(theCase));
    const branches = isContradiction || !current ? null : branchesOf(theCase, held, current);
    const found = { unit, whole, theCase, known, held, verdict, step, probabilities, repeat, taken, current, order, branches };
    return { ...found, message: messageOf(data, found) };
  }

  /* What would lead if the check were bad, and if it were good, all the others being as they are. */
  function branchesOf(theCase, held, current) {
    const check = theCase.checks.find((each) => each.id === current);
    const masses = D.posterior(theCase, held.filter((each) => each.check !== current)).probabilities;
    if (masses === null) return null;
    const [bad, good] = D.after(masses, check).map(({ probabilities, evidence }) => {
      if (probabilities === null) return null;
      const [place] = D.ranking(theCase, probabilities);
      return { place, share: probabilities[place], evidence };
    });
    return { bad, good };
  }

  function readBlocks(data, held, outcome) {
    const at = new Map(data.checks.map((each) => [each.id, each.block]));
    const places = new Map(data.blocks.map((each, place) => [each.id, place]));
    return held.filter((each) => each.outcome === outcome).map((each) => places.get(at.get(each.check)));
  }

  /* What one fault that explains all results leaves under suspicion by the flow; null without a bad one. */
  function byFlow(data, { theCase, held }) {
    const inFlow = (place) => theCase.flow.includes(place);
    const bad = readBlocks(data, held, "fail").filter(inFlow);
    const good = readBlocks(data, held, "pass").filter(inFlow);
    return bad.length ? D.flowSuspects(theCase.flow, theCase.cones, good, bad) : null;
  }

  function messageOf(data, found) {
    if (found.verdict === "consistent") return null;
    const left = byFlow(data, found);
    let flow = "";
    if (left && !left.length) flow = " By the signal flow no single block explains them all.";
    if (left && left.length) flow = ` By the signal flow it would sit in: ${left.map((place) => data.blocks[place].name).join("; ")}.`;
    if (found.verdict === "contradiction") {
      const again = found.repeat ? ` Make ${found.repeat} again first.` : "";
      return "These results contradict every cause on record, so no probability is given. Think of a second "
        + `fault, a wrong or noisy reading, a loop or a load that is not drawn, or a fault that comes and goes.${again}${flow}`;
    }
    if (D.speakingAgainst(found.theCase, found.held).every((each) => each.length)) {
      return `No cause on record fits all results: one reading may be wrong, or this is something new.${flow}`;
    }
    const unknown = data.notRecorded[0].toUpperCase() + data.notRecorded.slice(1);
    return `${unknown} is likelier than any cause on record.${flow}`;
  }

  /* ---- Shares ---- */

  const wordFor = (share) => WORDS.find(([from]) => share >= from)[1];

  function percent(share) {
    if (share < 0.01) return "< 1 %";
    return share > 0.99 ? "> 99 %" : `${Math.round(100 * share)} %`;
  }

  const sizeOf = (theCase) => theCase.n;
  /* Below ten repairs a percentage would promise more than it can hold. */
  const shareText = (share, n) => (n >= FEWEST_FOR_PERCENT ? percent(share) : wordFor(share));

  function bar(share) {
    const inner = element("span", "hs-bench-bar-part");
    inner.style.width = `${(100 * share).toFixed(1)}%`;
    const made = element("span", "hs-bench-share", inner);
    made.setAttribute("aria-hidden", "true");
    return made;
  }

  function countsOf(cause) {
    if (cause.kind === "block") return "no fault is on record here";
    const doubt = cause.confirmed ? "" : "; cause only suspected";
    if (!cause.n) return `no repair of this model is on record yet${doubt}`;
    return `${cause.count} of ${jobsText(cause.n)}${doubt}`;
  }

  const jobsText = (n) => `${n} ${n === 1 ? "job" : "jobs"}`;
  /* A share of the leak has no cases of its own; what it was reckoned with has to stand beside it all the same. */
  const basisOf = (cause, theCase) => (cause ? countsOf(cause) : `reckoned as 1 job beside the ${sizeOf(theCase)} on record`);

  function causeRows(data, { theCase, order, probabilities }) {
    const shown = order.slice(0, MOST_CAUSES);
    if (!shown.includes(theCase.causes.length)) shown.push(theCase.causes.length);
    return shown.map((place) => {
      const cause = theCase.causes[place];
      const made = element("li", "hs-bench-cause", element("p", "", cause ? link(cause.href, cause.title) : data.notRecorded));
      if (probabilities) {
        made.append(bar(probabilities[place]),
          element("strong", "", shareText(probabilities[place], sizeOf(theCase))), " ");
      }
      if (cause || probabilities) made.append(quiet(basisOf(cause, theCase)));
      return made;
    });
  }

  function basisText(data, { whole, theCase, order, probabilities }) {
    const n = sizeOf(theCase);
    const texts = [n ? `Reckoned from ${jobsText(n)} on this model that found one of these${n < FEWEST_FOR_PERCENT ? "; too few for per cent." : "."}`
      : "No job on this model has found one of these yet: reckoned from the records of faults, other models and the signal flow alone."];
    const gone = whole.causes.length - theCase.causes.length;
    if (gone) texts.push(`${gone} ${gone === 1 ? "is" : "are"} ruled out.`);
    if (!probabilities) texts.push("The results contradict each other, so the causes stand in the order of what was found before.");
    const more = order.length - Math.min(order.length, MOST_CAUSES);
    if (more > 1) texts.push(`${more} more are less likely.`);
    if (theCase.leftOut) texts.push(`The ${theCase.leftOut} least likely causes on record are not reckoned with here.`);
    return texts.join(" ");
  }

  /* ---- What a result did ---- */

  function didText(data, { theCase, held, verdict }, check) {
    const effects = verdict === "contradiction" ? [] : D.effects(theCase, held, check);
    if (!effects.length) return "";
    const change = (each) => each.after - each.before;
    const sorted = [...effects].sort((a, b) => change(b) - change(a));
    const n = sizeOf(theCase);
    const told = [sorted[0], sorted[sorted.length - 1]].filter((each) => Math.abs(change(each)) >= MOVED);
    const title = (id) => (theCase.causes.find((cause) => cause.id === id) || { title: data.notRecorded }).title;
    return told.map((each) => {
      const [before, after] = [shareText(each.before, n), shareText(each.after, n)];
      const moved = before === after ? `${change(each) > 0 ? "a little likelier" : "a little less likely"}, still ${after}` : `${before} → ${after}`;
      const from = n >= FEWEST_FOR_PERCENT ? ` (from ${jobsText(n)})` : "";
      return `${change(each) > 0 ? "▲" : "▼"} ${title(each.cause)}: ${moved}${from}`;
    }).join("\n") || "it changes next to nothing";
  }

  /* What a bad and a good outcome of the check at hand would make likeliest. */
  function branchRows(data, { theCase, branches }) {
    if (!branches) return [];
    const row = (label, branch) => {
      const cause = theCase.causes[branch.place];
      return element("li", "", element("span", "hs-label", label), " ", cause ? link(cause.href, cause.title) : data.notRecorded,
        `: ${shareText(branch.share, sizeOf(theCase))} `, quiet(`(${basisOf(cause, theCase)})`));
    };
    return [["If good", branches.good], ["If bad", branches.bad]].filter(([, branch]) => branch)
      .map(([label, branch]) => row(label, branch));
  }

  /* ---- The signal flow ---- */

  /* How each block of the model stands, and whether the next check is made there. */
  function blockStates(data, found) {
    const { theCase, probabilities, held, current, step } = found;
    const left = byFlow(data, found);
    const next = data.checks.find((each) => each.id === current) || theCase.causes.find((each) => step && each.id === step.confirm);
    const goods = readBlocks(data, held, "pass").filter((place) => theCase.flow.includes(place));
    const bads = readBlocks(data, held, "fail");
    return data.blocks.map((block, place) => {
      if (!theCase.flow.includes(place)) return { ...block, state: "absent", here: false };
      const mass = !probabilities ? 0 : theCase.causes.reduce(
        (total, cause, at) => total + (cause.block === block.id ? probabilities[at] : 0), 0);
      const isSuspect = mass >= SUSPECT_FROM || Boolean(left && left.includes(place));
      /* Good readings further down clear no block whose own reading is bad. */
      const isCleared = goods.some((good) => theCase.cones[good].includes(place)) && !bads.includes(place);
      return { ...block, state: isSuspect ? "suspect" : isCleared ? "cleared" : "", here: Boolean(next) && next.block === block.id };
    });
  }

  /* The same states on every drawing of the page; a link that this unit has not is taken away. */
  function markFlow(form, data, states, feeds) {
    const names = new Map(states.map((each) => [each.id, each]));
    for (const group of form.querySelectorAll("g.hs-flow-block")) {
      const block = names.get(group.dataset.block);
      if (!block) continue;
      const words = [block.name, block.state, block.here ? "look here next" : ""].filter(Boolean).join(", ");
      group.setAttribute("class", `hs-flow-block hs-flow-is-${block.state || "plain"}${block.here ? " hs-flow-is-here" : ""}`);
      group.querySelector("title").textContent = words;
      if (group.parentNode.matches("a")) group.parentNode.setAttribute("aria-label", words);
    }
    const there = new Set(feeds.map(([from, to]) => `${data.blocks[from].id} ${data.blocks[to].id}`));
    for (const group of form.querySelectorAll("g.hs-flow-link")) {
      group.classList.toggle("hs-flow-missing", !there.has(`${group.dataset.from} ${group.dataset.to}`));
    }
  }

  function blockList(states) {
    const named = (label, wanted) => {
      const names = states.filter(wanted).map((each) => each.name);
      return names.length ? element("li", "", element("span", "hs-label", label), " ", names.join(", ")) : null;
    };
    return [named("Look here next", (each) => each.here), named("Suspect", (each) => each.state === "suspect"),
      named("Cleared", (each) => each.state === "cleared"), named("Not on this unit", (each) => each.state === "absent")]
      .filter(Boolean);
  }

  /* ---- Cautions ---- */

  /* The cautions of a check or a cause, from the page's own templates, with what called for them. */
  function cautionsOf(form, hazards) {
    return hazards.map(([hazard, reason]) => {
      const made = form.querySelector(`template[data-hazard="${CSS.escape(hazard)}"]`).content.cloneNode(true);
      made.querySelector(".hs-caution-why .hs-quiet").textContent = `Shown because ${reason}.`;
      return made;
    });
  }

  const cautionTitle = (form, hazard) =>
    form.querySelector(`template[data-hazard="${CSS.escape(hazard)}"]`).content.querySelector("aside").getAttribute("aria-label").replace("Caution: ", "");

  Object.assign(bench, {
    basisText, blockList, blockStates, branchRows, cautionTitle, cautionsOf, causeRows, countsOf, didText, element, link, markFlow, marks, quiet, report, shareText, sizeOf,
  });
})();
