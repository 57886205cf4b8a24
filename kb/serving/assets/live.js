/* What a served page has and a built one has not: it reloads after an edit and shows what is wrong.
 *
 * It asks by short questions, so that any number of tabs may be open; a tab nobody sees does not ask.
 */
(function () {
  "use strict";

  const shown = document.currentScript.dataset.version;
  const EACH_MS = 500;
  let said = "";

  function element(name, className, ...content) {
    const made = document.createElement(name);
    made.className = className;
    made.append(...content);
    return made;
  }

  function banner() {
    const found = document.querySelector(".hs-live");
    if (found) return found;
    const made = element("section", "hs-live");
    made.setAttribute("role", "status");
    made.setAttribute("aria-label", "State of the records");
    document.body.append(made);
    return made;
  }

  function show(title, lines, isCalm = false) {
    const now = JSON.stringify([title, lines]);
    if (now === said) return;
    said = now;
    if (!title) {
      document.querySelector(".hs-live")?.remove();
      return;
    }
    const list = element("ul", "hs-live-list", ...lines.map((line) => element("li", "", line)));
    const box = element("details", "", element("summary", "", title), list);
    box.open = true;
    banner().classList.toggle("hs-live-calm", isCalm);
    banner().replaceChildren(lines.length ? box : element("p", "", title));
  }

  function tell(state) {
    const count = state.problems.length;
    if (!count) return show(state.building && shown.endsWith("-0") ? "Building the site" : "", [], true);
    const stays = shown.endsWith("-0") ? "" : "; this is the last good site";
    return show(`${count} ${count === 1 ? "problem" : "problems"} in the records${stays}`, state.problems);
  }

  async function ask() {
    if (document.hidden) return;
    try {
      const answer = await fetch("/_serve/state", { cache: "no-store" });
      const state = await answer.json();
      if (state.version !== shown) {
        location.reload();
        return;
      }
      tell(state);
    } catch {
      show("halfsplit serve has stopped; start it again and this page goes on", []);
    }
  }

  const KINDS = { faults: "fault", jobs: "job", parts: "part", models: "model", guides: "guide" };

  /** The way to the entry form; on a record's page it leads to that record. */
  function way() {
    const [, folder, id] = /^\/([a-z]+)\/([a-z0-9-]+)\.html$/.exec(location.pathname) || [];
    const kind = id === "index" ? undefined : KINDS[folder];
    const link = element("a", "", kind ? "Edit this record" : "Write a record");
    link.href = `/_serve/entry.html${kind ? `?kind=${kind}&id=${id}` : ""}`;
    const made = element("nav", "hs-live-way", link);
    made.setAttribute("aria-label", "Writing");
    // In the flow and above everything: it must not lie over a caution. The link past the bars stays the first.
    const first = document.querySelector(".hs-skip, [data-md-component=skip]");
    if (first) first.after(made);
    else document.body.prepend(made);
  }

  if (!location.pathname.startsWith("/_serve/") && !shown.endsWith("-0")) way();
  document.addEventListener("visibilitychange", ask);
  setInterval(ask, EACH_MS);
  ask();
})();
