/* The entry form's way: choose, fill in, check, look at what will be written, write.
 *
 * Nothing is written that was not shown; the server holds to that too.
 */
(function () {
  "use strict";

  const { element, form } = window.halfsplitEntry;
  const token = document.querySelector('meta[name="hs-token"]').content;
  const part = (id) => document.getElementById(id);
  let open = null;

  async function ask(name, sent) {
    let answer;
    try {
      answer = await fetch(`/_serve/entry/${name}`, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-Halfsplit-Token": token },
        body: JSON.stringify(sent),
      });
    } catch {
      return { refused: "halfsplit serve does not answer; is it still running? What you typed is still here." };
    }
    return answer.ok ? answer.json() : { refused: (await answer.text()).trim() };
  }

  function say(text) { part("state").textContent = text; }

  function fill(list, ids) { list.replaceChildren(...ids.map((id) => new Option("", id))); }

  /** Whose blocks, checks and revisions are to be offered: the chosen models', or the model's own. */
  function model() {
    const value = open?.form?.value ?? open?.values ?? {};
    if (open?.kind === "model") {
      const ids = (rows) => Object.fromEntries((rows || []).filter((row) => row.id).map((row) => [row.id, row.name || ""]));
      return { models: [], own: { block: ids(value.blocks), check: ids(value.checks), revision: ids(value.revisions) } };
    }
    return { models: [].concat(value.models || value.model || []).filter(Boolean) };
  }

  function unshow() {
    part("shown").hidden = true;
    if (open) open.shown = "";
  }

  async function choose(kind, id) {
    unshow();
    part("done").replaceChildren();
    part("problems").hidden = true;
    let found = await ask("open", { kind, id: "" });
    if (found.refused) return say(found.refused);
    fill(part("ids"), found.choices.records[kind]);
    if (!id) return say("");
    const isThere = found.choices.records[kind].includes(id);
    if (isThere) found = await ask("open", { kind, id });
    if (found.refused) return say(found.refused);
    open = { kind, id, state: found.state, values: found.values, shown: "" };
    open.form = form(found.shape, found.values, found.choices, model, unshow);
    part("fields").replaceChildren(open.form.box);
    part("record").hidden = false;
    say(isThere ? `Changing the ${kind} in ${found.file}. What you leave alone stays as it is, comments too.`
      : `A new ${kind}. Fields that stay empty are left out.`);
    document.title = `${isThere ? "Edit" : "New"} ${kind} ${id}`;
    open.form.focus();
  }

  const sent = () => ({ kind: open.kind, id: open.id, state: open.state, values: open.form.value, shown: open.shown });

  function judge(found) {
    const lines = [...(found.problems || []), ...(found.disagreements || [])];
    open.form.quiet();
    for (const { field, what } of lines) open.form.at(field ? field.split(".") : []).tell(what);
    const section = part("problems");
    section.querySelector("ul").replaceChildren(...lines.map(({ line, field }) => {
      const to = element("button", "line", line);
      to.type = "button";
      to.addEventListener("click", () => open.form.at(field ? field.split(".") : []).focus());
      return element("li", "", to);
    }));
    section.hidden = !lines.length;
    return !found.problems?.length;
  }

  async function check() {
    unshow();
    const found = await ask("check", sent());
    if (found.refused) return say(found.refused);
    say(judge(found) ? "Nothing is wrong." : "See below what is to be mended.");
  }

  async function show() {
    unshow();
    const found = await ask("show", sent());
    if (found.refused) return say(found.refused);
    const isGood = judge(found);
    const section = part("shown");
    section.querySelector("h2").textContent = found.isNew ? `${found.file}, as it will be written` : `What changes in ${found.file}`;
    section.querySelector("pre").replaceChildren(...found.text.split("\n").map((line) => coloured(line, found.isNew)));
    if (found.isSame) section.querySelector("pre").textContent = "Nothing changes.";
    part("write").hidden = !isGood || found.isSame;
    open.shown = found.shown;
    say(isGood ? "" : "It can be written when everything is mended.");
    section.hidden = false;
    section.focus();
  }

  function coloured(line, isNew) {
    const kind = isNew ? "" : { "+": "added", "-": "gone", "@": "place" }[line[0]] || "";
    return element("span", kind, `${line}\n`);
  }

  async function write() {
    const button = part("write");
    button.disabled = true;
    const found = await ask("write", sent());
    button.disabled = false;
    if (found.refused) return say(found.refused), part("state").scrollIntoView();
    if (!found.written) return unshow(), judge(found);
    unshow();
    judge({});
    part("record").hidden = true;
    const page = element("a", "", "Its page");
    page.href = `/${found.page}`;
    part("done").replaceChildren(`${found.written} written. `, page, " is there as soon as the site is built anew.");
    say("");
    part("done").focus();
    open = null;
  }

  part("choose").addEventListener("submit", (event) => {
    event.preventDefault();
    choose(part("kind").value, part("id").value.trim());
  });
  part("kind").addEventListener("change", () => choose(part("kind").value, ""));
  part("record").addEventListener("submit", (event) => event.preventDefault());
  part("record").addEventListener("input", unshow);
  part("record").addEventListener("change", (event) => {
    // Another model has other blocks, checks and revisions.
    if (event.target.matches("select, input")) open.form.refresh();
  });
  part("check").addEventListener("click", check);
  part("show").addEventListener("click", show);
  part("write").addEventListener("click", write);

  // Before this line an Enter would have sent the form the browser's own way.
  part("choose").querySelector("fieldset").disabled = false;
  const wanted = new URLSearchParams(location.search);
  if (wanted.get("kind")) part("kind").value = wanted.get("kind");
  part("id").value = wanted.get("id") || "";
  choose(part("kind").value, part("id").value);
})();
