/* The serial-number box: tells a unit's revision from what the page itself carries. No request is made.
   The rule is the one of kb/shop/serials.py; the browser tests hold the two against each other. */
(function () {
  "use strict";

  function plain(serial) {
    return Array.from(serial.toUpperCase()).slice(0, 60).join("").replace(/[^A-Z0-9]/g, "");
  }

  /* The number of a serial as typed, or null when its prefix is another one. A bare number fits any. */
  function numberOf(range, typed) {
    const rest = range.prefix && typed.startsWith(range.prefix) ? typed.slice(range.prefix.length) : typed;
    const digits = [rest, typed].find((each) => /^[0-9]+$/.test(each));
    return digits === undefined ? null : BigInt(digits);
  }

  function holds(range, serial) {
    const number = numberOf(range, plain(serial));
    return number !== null && number >= BigInt(range.low || 0) && (range.high === null || number <= BigInt(range.high));
  }

  /* The search narrows by the same rule. */
  window.halfsplitSerials = { holds };

  function matching(data, serial) {
    return data.revisions.filter((revision) => revision.ranges.some((range) => holds(range, serial)));
  }

  /* An element with text; text is never read as markup. */
  function element(name, text, className) {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    if (className) made.className = className;
    return made;
  }

  function link(href, text) {
    const made = element("a", text);
    made.href = href;
    return made;
  }

  function listOf(items) {
    const list = element("ul");
    for (const item of items) {
      const row = element("li");
      row.append(...[].concat(item));
      list.append(row);
    }
    return list;
  }

  function differenceRow(difference) {
    const words = difference.block + ", " + difference.what + ": ";
    const strong = element("strong", difference.now);
    const elsewhere = element("span", " (elsewhere: " + difference.elsewhere.join("; ") + ")", "hs-quiet");
    return [words, strong, elsewhere];
  }

  function describe(revision, several) {
    const parts = [];
    const heading = element("h3");
    heading.append("Revision " + revision.id.toUpperCase() + (revision.name ? ", " + revision.name : ""));
    parts.push(heading);
    const where = element("p");
    where.append(link(revision.href, "Open the page of this revision"));
    parts.push(where);
    if (several && revision.sight.length) {
      parts.push(element("p", "It is this one if you see:", "hs-label"), listOf(revision.sight));
    }
    parts.push(element("p", "Different on it", "hs-label"));
    parts.push(revision.differences.length
      ? listOf(revision.differences.map(differenceRow))
      : element("p", "Nothing on record.", "hs-quiet"));
    parts.push(element("p", "Faults that apply (" + revision.fault_count + ")", "hs-label"));
    parts.push(revision.faults.length
      ? listOf(revision.faults.map((fault) => [
        link(fault.href, fault.title), element("span", " " + fault.symptom, "hs-quiet")]))
      : element("p", "None on record.", "hs-quiet"));
    return parts;
  }

  /* Who has typed no more than the letters in front is not told that there is no such number. */
  function isUnfinished(data, serial) {
    const typed = plain(serial);
    return data.revisions.some((revision) => revision.ranges.some((range) => range.prefix.startsWith(typed)));
  }

  function rangesOnRecord(data, serial) {
    const ranges = data.revisions.flatMap((revision) => revision.ranges.map(
      (range) => "Revision " + revision.id.toUpperCase() + ": " + range.text));
    const lead = isUnfinished(data, serial)
      ? "On record are:"
      : "No revision of the " + data.model + " on record has this number. On record are:";
    return [element("p", lead), listOf(ranges)];
  }

  function answer(data, serial) {
    if (!plain(serial)) return [];
    const found = matching(data, serial);
    if (!found.length) return rangesOnRecord(data, serial);
    const lead = found.length > 1
      ? [element("p", "This number was used by more than one revision. The marks on the unit decide.", "hs-note-warning")]
      : [];
    return lead.concat(found.flatMap((revision) => describe(revision, found.length > 1)));
  }

  function start(form) {
    const data = JSON.parse(form.querySelector(".hs-serial-data").textContent);
    const input = form.querySelector("input");
    const output = form.querySelector(".hs-serial-answer");
    const show = () => output.replaceChildren(...answer(data, input.value));
    input.addEventListener("input", show);
    form.addEventListener("submit", (event) => { event.preventDefault(); show(); });
    /* The browser may have kept what was typed before the page was left. */
    show();
  }

  document.addEventListener("DOMContentLoaded", () => document.querySelectorAll("[data-hs-serial]").forEach(start));
})();
