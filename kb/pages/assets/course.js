/* What somebody has done of a course: kept in this browser alone, shown in words on the course's page and at
 * the foot of its lessons. Nothing is sent; without storage it is known until the page is left.
 */
(function () {
  "use strict";

  const ENOUGH_UNITS = 3;

  const isTimes = (value) => Boolean(value) && typeof value === "object" && !Array.isArray(value)
    && Object.values(value).every((each) => Number.isFinite(each));

  /* `exercises`, `read` and `practice` tell by id or address when something was done. */
  class Progress {
    constructor(shop) {
      this.key = `halfsplit course: ${shop}`;
      this.isStored = true;
      this.kept = { exercises: {}, read: {}, practice: {} };
      this.load();
    }

    load() {
      try {
        const kept = JSON.parse(window.localStorage.getItem(this.key) || "null") || {};
        for (const name of Object.keys(this.kept)) this.kept[name] = isTimes(kept[name]) ? kept[name] : {};
      } catch (error) {
        /* A browser that keeps nothing, or something that is not ours. */
        this.isStored = error instanceof SyntaxError;
      }
    }

    has(name, id) { return Object.hasOwn(this.kept[name], id); }

    mark(name, id) {
      this.load();
      this.kept[name][id] = Date.now();
      try {
        window.localStorage.setItem(this.key, JSON.stringify(this.kept));
      } catch {
        this.isStored = false;
      }
      window.dispatchEvent(new CustomEvent("halfsplit-progress"));
    }

    forget() {
      this.kept = { exercises: {}, read: {}, practice: {} };
      try {
        window.localStorage.removeItem(this.key);
      } catch {
        this.isStored = false;
      }
      window.dispatchEvent(new CustomEvent("halfsplit-progress"));
    }
  }

  const progresses = new Map();
  function progressOf(shop) {
    if (!progresses.has(shop)) progresses.set(shop, new Progress(shop));
    return progresses.get(shop);
  }

  /* Three units are enough to have practised, or all where there are fewer. */
  function practised(progress, model, units) {
    const found = Object.keys(progress.kept.practice).filter((each) => each.startsWith(`${model}/`)).length;
    if (!found) return { isDone: false, text: "not begun" };
    const isDone = found >= Math.min(ENOUGH_UNITS, units);
    return { isDone, text: `${isDone ? "✓ done, " : ""}${found} of ${units} units found` };
  }

  /* How far a lesson is, from the element that names its address and its exercises. */
  function standing(progress, element) {
    const path = element.dataset.lesson || element.dataset.hsLesson;
    if (element.dataset.practice) return practised(progress, element.dataset.practice, Number(element.dataset.units));
    const ids = (element.dataset.exercises || "").split(" ").filter(Boolean);
    if (!ids.length) return progress.has("read", path) ? { isDone: true, text: "✓ read" } : { isDone: false, text: "not read yet" };
    const done = ids.filter((id) => progress.has("exercises", id)).length;
    if (done === ids.length) return { isDone: true, text: "✓ done" };
    return { isDone: false, text: done ? `${done} of ${ids.length} exercises done` : "not begun" };
  }

  function bindCourse(section) {
    const progress = progressOf(section.dataset.shop);
    const rows = Array.from(section.querySelectorAll("[data-lesson]"));
    section.querySelectorAll("[data-live], [data-said=state]").forEach((each) => { each.hidden = false; });

    function show() {
      const states = rows.map((row) => standing(progress, row));
      rows.forEach((row, at) => {
        row.querySelector("[data-said=state]").textContent = states[at].text;
        row.classList.toggle("hs-lesson-done", states[at].isDone);
      });
      const done = states.filter((each) => each.isDone).length;
      const kept = progress.isStored ? "" : " This browser keeps nothing for this page.";
      section.querySelector("[data-said=progress]").textContent = `${done} of ${rows.length} lessons done.${kept}`;
    }

    section.querySelector("[data-do=forget]").addEventListener("click", () => {
      if (window.confirm("Forget all progress in the courses of this shop?")) progress.forget();
    });
    window.addEventListener("halfsplit-progress", show);
    show();
  }

  function bindLesson(nav) {
    const progress = progressOf(nav.dataset.shop);
    const button = nav.querySelector("[data-do=read]");
    const show = () => {
      const { isDone, text } = standing(progress, nav);
      nav.querySelector("[data-said=lesson]").textContent = text;
      if (button) button.hidden = isDone;
    };
    if (button) button.addEventListener("click", () => progress.mark("read", nav.dataset.hsLesson));
    window.addEventListener("halfsplit-progress", show);
    show();
  }

  window.halfsplitCourse = { progressOf };

  document.addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll("[data-hs-course]").forEach(bindCourse);
    document.querySelectorAll("[data-hs-lesson]").forEach(bindLesson);
    window.addEventListener("storage", () => {
      progresses.forEach((each) => each.load());
      window.dispatchEvent(new CustomEvent("halfsplit-progress"));
    });
  });
})();
