// A control for each kind of part that the vocabulary knows. `read` gives what is stated, undefined where nothing is;
// `write` shows a value and tells whether it can: what can't be shown is kept by the form as it came.
import { make } from "./elements.js";

const NUMBER = /^-?(\d+\.?\d*|\.\d+)$/;
const FEW = 4;

// What is no plain number is sent as it was typed: the service says what is wrong with it.
function numberOf(text) {
  const typed = text.trim();
  return NUMBER.test(typed) ? Number(typed) : typed;
}

function shown(value) {
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (Array.isArray(value)) return value.length ? value.map(shown).join(", ") : "none";
  return typeof value === "object" && value !== null ? `${value.value} ${value.unit}` : String(value);
}

export function unsaid(part) {
  return "assumed" in part ? `${shown(part.assumed)} (assumed)` : "not stated";
}

function input(id, given = {}) {
  return make("input", { id, type: "text", autocomplete: "off", spellcheck: "false", ...given });
}

function select(id, words, first) {
  const options = words.map((word) => make("option", { value: word }, word));
  return make("select", { id }, ...(first === undefined ? [] : [make("option", { value: "" }, first)]), ...options);
}

function pick(control, value) {
  const known = [...control.options].some((one) => one.value === value);
  control.value = known ? value : "";
  return known;
}

// Parts that hold a name that catalogues tell: what offers them is filled when they are reached.
const NAMED = { "/catalogue": "names-catalogues", "/proposal/connector": "names-connectors" };

function textControl(part, id, words) {
  const offered = words ? `words-${words.name}` : NAMED[part.pointer];
  const control = input(id, { placeholder: unsaid(part), list: offered });
  return {
    elements: [control],
    focus: control,
    read: () => control.value.trim() || undefined,
    write: (value) => {
      control.value = typeof value === "string" ? value : "";
      const can = control.value === value && value.trim() === value && value !== "";
      if (!can) control.value = "";
      return can;
    },
  };
}

function textsControl(part, id) {
  const control = input(id, { placeholder: unsaid(part) });
  const plain = (one) => typeof one === "string" && one !== "" && one.trim() === one && !one.includes(",");
  return {
    elements: [control, make("span", { class: "unit" }, "parted by commas")],
    focus: control,
    read: () => {
      const found = control.value.split(",").map((one) => one.trim()).filter(Boolean);
      return found.length ? found : undefined;
    },
    write: (value) => {
      const can = Array.isArray(value) && value.length > 0 && value.every(plain);
      control.value = can ? value.join(", ") : "";
      return can;
    },
  };
}

function wordControl(part, id, words) {
  const control = select(id, words.words.map((one) => one.word), unsaid(part));
  return {
    elements: [control],
    focus: control,
    read: () => control.value || undefined,
    write: (value) => pick(control, value) && value !== "",
    means: () => words.words.find((one) => one.word === control.value)?.means,
  };
}

function wordsControl(part, id, words) {
  const boxes = words.words.map(({ word, means }, at) => {
    const box = make("input", { type: "checkbox", value: word, id: at ? `${id}-${at}` : id });
    const told = means && means !== word ? `${word}: ${means}` : word;
    return [box, make("label", { class: "choice" }, box, ` ${told}`)];
  });
  const checked = () => boxes.filter(([box]) => box.checked).map(([box]) => box.value);
  const all = boxes.map(([, label]) => label);
  const summary = make("summary", {}, unsaid(part));
  return {
    elements: all.length > FEW ? [make("details", { class: "words" }, summary, ...all)] : all,
    focus: boxes[0][0],
    grouped: true,
    read: () => (checked().length ? checked() : undefined),
    write: (value) => {
      const can = Array.isArray(value) && value.length > 0 && value.every((one) => boxes.some(([box]) => box.value === one));
      for (const [box] of boxes) box.checked = can && value.includes(box.value);
      return can;
    },
    refresh: () => {
      summary.textContent = checked().join(", ") || unsaid(part);
    },
  };
}

function numberControl(part, id) {
  const control = input(id, { inputmode: "decimal", placeholder: unsaid(part) });
  const unit = part.units ? [make("span", { class: "unit" }, part.units.join(" or "))] : [];
  return {
    elements: [control, ...unit],
    focus: control,
    read: () => (control.value.trim() ? numberOf(control.value) : undefined),
    write: (value) => {
      control.value = typeof value === "number" ? String(value) : "";
      return typeof value === "number";
    },
  };
}

function quantityControl(part, id) {
  const control = input(id, { placeholder: unsaid(part) });
  const units = select(`${id}-unit`, part.units);
  units.setAttribute("aria-label", `${part.label}: unit`);
  return {
    elements: [control, units],
    focus: control,
    read: () => (control.value.trim() ? { value: numberOf(control.value), unit: units.value } : undefined),
    write: (value) => {
      const keys = typeof value === "object" && value !== null ? Object.keys(value).sort().join() : "";
      const can = keys === "unit,value" && ["number", "string"].includes(typeof value.value) && part.units.includes(value.unit);
      control.value = can ? String(value.value) : "";
      if (can) units.value = value.unit;
      return can && JSON.stringify(numberOf(control.value)) === JSON.stringify(value.value);
    },
  };
}

const FLAGS = { yes: true, no: false };

function flagControl(part, id) {
  const control = select(id, Object.keys(FLAGS), unsaid(part));
  return {
    elements: [control],
    focus: control,
    read: () => FLAGS[control.value],
    write: (value) => pick(control, typeof value === "boolean" ? shown(value) : undefined),
  };
}

// Yes, no, or by how much: a number typed is stronger than the word beside it.
function flagOrQuantityControl(part, id) {
  const flag = flagControl(part, id);
  const quantity = quantityControl(part, `${id}-value`);
  quantity.focus.setAttribute("aria-label", `${part.label}: how much`);
  return {
    elements: [...flag.elements, ...quantity.elements],
    focus: flag.focus,
    read: () => quantity.read() ?? flag.read(),
    write: (value) => {
      const shows = [flag.write(value), quantity.write(value)];
      return shows.includes(true);
    },
  };
}

export function controlFor(part, id, lists) {
  const words = part.list === undefined ? undefined : lists.get(part.list);
  if (part.kind === "words") return wordsControl(part, id, words);
  if (part.several) return textsControl(part, id);
  if (part.kind === "word" && !words.others) return wordControl(part, id, words);
  if (part.kind === "number") return numberControl(part, id);
  if (part.kind === "quantity") return quantityControl(part, id);
  if (part.kind === "flag") return flagControl(part, id);
  if (part.kind === "flag-or-quantity") return flagOrQuantityControl(part, id);
  return textControl(part, id, words);
}
