/* The fields of the entry form, made from the shape of a record: what is shown is text, never markup.
 *
 * Each field is an object that knows its element, its value, and the field inside it that a path names.
 */
(function () {
  "use strict";

  const MOST_IN_A_LIST = 60;
  let number = 0;
  let choices = {};
  let ownModel = () => null;

  function element(name, className, ...content) {
    const made = document.createElement(name);
    if (className) made.className = className;
    made.append(...content);
    return made;
  }

  function button(text, does, label) {
    const made = element("button", "small", text);
    made.type = "button";
    if (label) made.setAttribute("aria-label", label);
    made.addEventListener("click", does);
    return made;
  }

  const words = (name) => name.replace(/_/g, " ").replace(/^./, (first) => first.toUpperCase());

  /** What a reference may be: [id, name] pairs; of blocks and the like those of the chosen models. */
  function offered(refers) {
    const found = choices[refers] || {};
    if (!["block", "check", "revision"].includes(refers)) return Object.entries(found);
    const { models, own } = ownModel();
    if (own) return Object.entries(own[refers] || {});
    const pairs = new Map();
    for (const model of models) for (const [id, name] of Object.entries(found[model] || {})) pairs.set(id, name);
    if (refers === "revision" && models.length) {
      pairs.set("all", "every revision");
      if (models.length > 1) {
        for (const model of models) {
          for (const [id, name] of Object.entries(found[model] || {})) pairs.set(`${model}/${id}`, name);
        }
      }
    }
    return [...pairs];
  }

  const short = (text) => (text.length > 60 ? `${text.slice(0, 59)}…` : text);

  function select(pairs, value) {
    const made = element("select", "", new Option("", ""));
    const known = new Set(pairs.map(([id]) => id));
    if (value && !known.has(value)) made.append(new Option(`${value} (not known)`, value));
    for (const [id, name] of pairs) made.append(new Option(name && name !== id ? `${id}: ${short(name)}` : id, id));
    made.value = value;
    return made;
  }

  function suggesting(pairs, value, id) {
    const input = element("input");
    const list = element("datalist");
    list.id = `${id}-list`;
    for (const [each, name] of pairs) list.append(new Option(name, each));
    input.setAttribute("list", list.id);
    input.spellcheck = false;
    input.value = value;
    return [input, list];
  }

  /** The control of a single text. */
  function control(shape, value, id) {
    if (shape.kind === "prose") {
      const area = element("textarea");
      area.rows = Math.min(30, Math.max(3, value.split("\n").length + 1));
      area.value = value;
      return [area];
    }
    if (shape.words) return [select(shape.words.map((word) => [word, ""]), value)];
    if (shape.kind === "flag") return [select([["true", ""], ["false", ""]], value)];
    const input = element("input");
    input.value = value;
    if (shape.kind === "whole") input.inputMode = "numeric";
    if (shape.kind === "date") input.placeholder = "year-month-day";
    return [input];
  }

  function reference(shape, value, id) {
    const pairs = offered(shape.refers);
    if (pairs.length && pairs.length <= MOST_IN_A_LIST && shape.refers !== "port") return [select(pairs, value)];
    return suggesting(pairs, value, id);
  }

  function labelled(shape, name, id, inner) {
    const label = element("label", "", name);
    label.htmlFor = id;
    if (shape.required) label.append(element("span", "needed", " needed"));
    const box = element("div", "field", label);
    if (shape.help) {
      const help = element("p", "help", shape.help);
      help.id = `${id}-help`;
      box.append(help);
    }
    const told = element("p", "told");
    told.id = `${id}-told`;
    box.append(...inner, told);
    return [box, told];
  }

  function leaf(shape, name, value) {
    const id = `field-${(number += 1)}`;
    const make = shape.refers ? reference : control;
    let parts = make(shape, value || "", id);
    const [box, told] = labelled(shape, name, id, parts);
    function dress(input) {
      input.id = id;
      input.setAttribute("aria-describedby", [shape.help ? `${id}-help` : "", `${id}-told`].join(" ").trim());
      return input;
    }
    dress(parts[0]);
    return {
      box,
      get value() { return parts[0].value; },
      tell(text) {
        told.append(element("span", "", text));
        parts[0].setAttribute("aria-invalid", "true");
      },
      quiet() { told.replaceChildren(); parts[0].removeAttribute("aria-invalid"); },
      at() { return this; },
      focus() { parts[0].focus(); },
      refresh() {
        if (!shape.refers) return;
        const fresh = make(shape, parts[0].value, id);
        parts[0].replaceWith(fresh[0]);
        if (parts[1]) parts[1].remove();
        if (fresh[1]) fresh[0].after(fresh[1]);
        parts = fresh;
        dress(parts[0]);
      },
    };
  }

  /** Several fields under one name. */
  function record(shape, name, value, isTop) {
    const under = Object.entries(shape.fields).map(([key, each]) => [key, field(each, words(key), value?.[key])]);
    const told = element("p", "told");
    const inner = under.map(([, each]) => each.box);
    const box = isTop ? element("div", "", told, ...inner)
      : element("fieldset", "", element("legend", "", name), ...(shape.help ? [element("p", "help", shape.help)] : []), told, ...inner);
    return {
      box,
      get value() { return Object.fromEntries(under.map(([key, each]) => [key, each.value])); },
      tell(text) { told.append(element("span", "", text)); },
      quiet() { told.replaceChildren(); for (const [, each] of under) each.quiet(); },
      at(path) {
        const found = under.find(([key]) => key === path[0]);
        return found ? found[1].at(path.slice(1)) : this;
      },
      focus() { under[0]?.[1].focus(); },
      refresh() { for (const [, each] of under) each.refresh(); },
    };
  }

  function list(shape, name, values) {
    const rows = element("ol", "rows");
    let items = [];
    const told = element("p", "told");
    const thing = name.toLowerCase();
    function add(value, isNew) {
      const each = field({ ...shape.item, help: "", required: false }, name, value);
      const row = element("li", "", each.box);
      const item = { each, row };
      row.append(button("Take out", () => {
        const at = items.indexOf(item);
        items = items.filter((other) => other !== item);
        row.remove();
        (items[at] || items[at - 1])?.each.focus();
        if (!items.length) more.focus();
        changed();
      }, `Take out this one of ${thing}`));
      items.push(item);
      rows.append(row);
      if (isNew) each.focus();
    }
    const more = button("Add", () => add(undefined, true), `Add to ${thing}`);
    const legend = element("legend", "", name);
    if (shape.required) legend.append(element("span", "needed", " needed"));
    const box = element("fieldset", "list", legend, ...(shape.help ? [element("p", "help", shape.help)] : []), told, rows, more);
    for (const value of values || []) add(value, false);
    if (!items.length && shape.required) add(undefined, false);
    return {
      box,
      get value() { return items.map(({ each }) => each.value); },
      tell(text) { told.append(element("span", "", text)); },
      quiet() { told.replaceChildren(); for (const { each } of items) each.quiet(); },
      at(path) {
        // Rows that were left empty are not written, and so not counted.
        const filled = items.filter(({ each }) => !isEmpty(each.value));
        const found = filled[Number(path[0])];
        return path.length && found ? found.each.at(path.slice(1)) : this;
      },
      focus() { (items[0]?.each || { focus: () => more.focus() }).focus(); },
      refresh() { for (const { each } of items) each.refresh(); },
    };
  }

  const isEmpty = (value) => (typeof value === "string" ? !value.trim() : Object.values(value).every(isEmpty));

  /** A calculation: a calculator, what it is about, and rows of inputs. */
  function calculation(shape, name, value) {
    const text = { kind: "line", help: "", required: false };
    const row = { kind: "record", help: "", required: false, fields: { name: text, value: text } };
    const made = record({
      kind: "record", help: shape.help, required: false,
      fields: {
        name: { ...text, help: "The calculator.", refers: "calculator" },
        about: text,
        inputs: { kind: "list", help: "Inputs with their values, such as bpm and 120 BPM.", required: false, item: row },
        sweep: { kind: "list", help: "One more input, and the range or the values it is worked out for.", required: false, item: row },
      },
    }, name, value);
    made.at = () => made;
    return made;
  }

  function field(shape, name, value) {
    switch (shape.kind) {
      case "list": return list(shape, name, value);
      case "record": return record(shape, name, value);
      case "calculation": return calculation(shape, name, value);
      default: return leaf(shape, name, value);
    }
  }

  let changed = () => {};

  window.halfsplitEntry = {
    element,
    /** The whole form of a record. */
    form(shape, values, known, model, onChange) {
      choices = { ...known, calculator: Object.fromEntries(known.calculator.map((each) => [each, ""])) };
      ownModel = model;
      changed = onChange;
      return record(shape, "", values, true);
    },
  };
})();
