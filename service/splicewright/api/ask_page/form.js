// A form made of the vocabulary alone: its groups and parts in their order, each asked for where its conditions hold.
import { controlFor } from "./controls.js";
import { button, list, make } from "./elements.js";

// What most answers hang on stands in sight; the rest of a group, and groups with none of these, are folded.
const FIRST = new Set([
  "/joint/conductors/*/size", "/joint/conductors/*/count", "/joint/conductors/*/material",
  "/joint/conductors/*/construction", "/place/exposure", "/place/enclosure", "/circuit/serves", "/circuit/volts",
  "/circuit/amps", "/proposal/connector", "/proposal/method", "/box/name", "/box/volume", "/wires/*/size",
  "/wires/*/count", "/wires/*/path", "/wires/*/role",
]);
const isFirst = (part) => part.required || FIRST.has(part.pointer.replace(/^\/joints\/\*/, ""));
const nameOf = (pointer) => pointer.split("/").filter((step) => step !== "*").pop();
let made = 0;

function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

class Field {
  constructor(form, group, part) {
    Object.assign(this, { form, group, part, name: nameOf(part.pointer) });
    made += 1;
    const id = `field-${made}`;
    this.control = controlFor(part, id, form.lists);
    this.hint = make("p", { class: "hint", id: `${id}-hint` });
    this.error = make("p", { class: "error", id: `${id}-error` });
    this.mark = make("span", { class: "mark" });
    this.control.focus.setAttribute("aria-describedby", `${this.hint.id} ${this.error.id}`);
    const inner = [make("div", { class: "control" }, ...this.control.elements), this.hint, this.error];
    this.element = this.control.grouped
      ? make("fieldset", { class: "field" }, make("legend", {}, part.label, this.mark), ...inner)
      : make("div", { class: "field" }, make("label", { for: id }, part.label, this.mark), ...inner);
  }

  get pointer() {
    return `${this.group.pointer}/${this.name}`;
  }

  read() {
    return this.control.read();
  }

  holds(conditions) {
    const own = this.pointer.split("/");
    return conditions.every((one) => {
      const at = one.pointer.split("/").map((step, index) => (step === "*" ? own[index] : step)).join("/");
      const field = this.form.fields.get(at);
      const stated = field?.read();
      if ("stated" in one) return (stated !== undefined) === one.stated;
      return one.is.includes(stated ?? field?.part.assumed);
    });
  }

  refresh() {
    const { part } = this;
    const stated = this.read() !== undefined;
    const required = part.required || (part.required_if !== undefined && this.holds(part.required_if));
    this.element.hidden = !(stated || required || part.asked_if === undefined || this.holds(part.asked_if));
    this.mark.textContent = required ? " (required)" : "";
    const means = this.control.means?.();
    this.hint.textContent = means && means !== this.read() ? means : part.about.replaceAll("`", "");
    this.control.refresh?.();
    if (required && !stated && !part.required) this.reveal();
  }

  fail(says) {
    this.error.textContent = says;
    if (says) {
      this.control.focus.setAttribute("aria-invalid", "true");
      this.element.hidden = false;
      this.reveal();
    } else this.control.focus.removeAttribute("aria-invalid");
  }

  reveal() {
    for (let at = this.element; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
  }

  go() {
    this.element.hidden = false;
    this.reveal();
    this.element.querySelectorAll("details").forEach((one) => (one.open = true));
    this.element.scrollIntoView({ block: "center" });
    this.control.focus.focus();
  }
}

// An object of the question. In a list its place is where it stands in it now.
class Group {
  constructor(form, told, parent, items) {
    Object.assign(this, { form, told, parent, items, name: nameOf(told.pointer), held: {} });
    this.fields = form.told.parts.filter((part) => part.group === told.pointer).map((part) => new Field(form, this, part));
    this.inner = form.innerOf(told).map((one) => (one.repeated ? new Items(form, one, this) : new Group(form, one, this)));
    const [first, rest] = [true, false].map((way) => this.fields.filter((one) => isFirst(one.part) === way));
    const elements = (some) => some.map((one) => one.element);
    this.heldShown = make("div", {});
    this.isFolded = !told.required && first.length === 0 && this.inner.every((one) => one.isFolded);
    const [late, soon] = [true, false].map((way) => this.inner.filter((one) => one.isFolded === way));
    const inOne = this.isFolded ? elements(rest) : [];
    const more = rest.length && !this.isFolded
      ? [make("details", {}, make("summary", {}, `More: ${rest.map((one) => one.part.label).join(", ")}`), ...elements(rest))]
      : [];
    const body = [make("div", { class: "fields" }, ...elements(first)), ...elements(soon), ...inOne, ...more, ...elements(late), this.heldShown];
    this.element = this.framed(body);
  }

  framed(body) {
    if (!this.parent) return make("div", {}, ...body);
    if (this.items) return make("fieldset", { class: "item" }, (this.title = make("legend", {})), ...body, this.items.remover(this));
    const { label, about } = this.told;
    const hint = make("p", { class: "hint" }, about);
    return this.isFolded
      ? make("details", { class: "group" }, make("summary", {}, label), hint, ...body)
      : make("fieldset", { class: "group" }, make("legend", {}, label), hint, ...body);
  }

  get pointer() {
    if (!this.parent) return "";
    return this.items ? `${this.items.pointer}/${this.items.all.indexOf(this)}` : `${this.parent.pointer}/${this.name}`;
  }

  read() {
    const found = { ...this.held };
    for (const one of [...this.fields, ...this.inner]) {
      const value = one.read();
      if (value !== undefined) found[one.name] = value;
    }
    return Object.keys(found).length || this.told.required || this.items ? found : undefined;
  }

  // Shows a value, and keeps what no control shows. Tells whether it was an object at all.
  write(value) {
    const given = isObject(value) ? { ...value } : {};
    for (const one of [...this.fields, ...this.inner]) {
      if (one.write ? one.write(given[one.name]) : one.control.write(given[one.name])) delete given[one.name];
    }
    this.held = given;
    this.showHeld();
    return isObject(value);
  }

  showHeld() {
    const told = Object.entries(this.held).map(([name, value]) => [
      `${this.pointer}/${name}: ${JSON.stringify(value).slice(0, 200)} `,
      button("Leave out", () => {
        delete this.held[name];
        this.showHeld();
        this.heldShown.dispatchEvent(new Event("change", { bubbles: true }));
      }),
    ]);
    this.heldShown.replaceChildren(...(told.length ? [make("p", {}, "Sent as it came:"), list(told)] : []));
  }

  walk(visit) {
    this.fields.forEach(visit);
    this.inner.forEach((one) => one.walk(visit));
  }
}

// A list of such objects.
class Items {
  constructor(form, told, parent) {
    Object.assign(this, { form, told, parent, name: nameOf(told.pointer), all: [] });
    this.least = told.required ? Math.max(1, told.least ?? 0) : 0;
    this.isFolded = !told.required;
    this.place = make("div", {});
    this.adder = button(`Add to ${told.label.toLowerCase()}`, () => {
      this.add().element.querySelector("input, select").focus();
      this.adder.dispatchEvent(new Event("change", { bubbles: true }));
    });
    const body = [make("p", { class: "hint" }, told.about), this.place, this.adder];
    this.element = this.isFolded
      ? make("details", { class: "group" }, make("summary", {}, told.label), ...body)
      : make("fieldset", { class: "group" }, make("legend", {}, told.label), ...body);
    this.resize(0);
  }

  get pointer() {
    return `${this.parent.pointer}/${this.name}`;
  }

  add() {
    const group = new Group(this.form, this.told, this.parent, this);
    this.all.push(group);
    this.place.append(group.element);
    this.number();
    return group;
  }

  remover(group) {
    return (group.removing = button("Take out", () => {
      this.all.splice(this.all.indexOf(group), 1);
      group.element.remove();
      this.number();
      this.adder.focus();
      this.adder.dispatchEvent(new Event("change", { bubbles: true }));
    }));
  }

  resize(count) {
    while (this.all.length > Math.max(count, this.least)) this.all.pop().element.remove();
    while (this.all.length < Math.max(count, this.least)) this.add();
    this.number();
  }

  number() {
    this.all.forEach((one, at) => {
      one.title.textContent = `${this.told.label} ${at + 1}`;
      one.removing.hidden = this.all.length <= this.least;
      one.removing.textContent = `Take out ${this.told.label.toLowerCase()} ${at + 1}`;
    });
    this.adder.hidden = this.all.length >= (this.told.most ?? Infinity);
  }

  read() {
    return this.all.length ? this.all.map((one) => one.read()) : undefined;
  }

  write(value) {
    const can = Array.isArray(value) && value.length <= (this.told.most ?? Infinity) && value.every(isObject);
    this.resize(can ? value.length : 0);
    this.all.forEach((one, at) => one.write(can ? value[at] : {}));
    return can && value.length === this.all.length;
  }

  walk(visit) {
    this.all.forEach((one) => one.walk(visit));
  }
}

export class Form {
  constructor(place, told, lists) {
    this.told = told;
    this.lists = lists;
    this.fields = new Map();
    const offered = new Set(told.parts.filter((part) => lists.get(part.list)?.others).map((part) => part.list));
    const sizes = [...offered].map((name) =>
      make("datalist", { id: `words-${name}` }, ...lists.get(name).words.map((one) => make("option", { value: one.word }))));
    this.root = new Group(this, told.groups[0]);
    place.replaceChildren(this.root.element, ...sizes);
    this.refresh();
  }

  // The groups that stand in one directly.
  innerOf(told) {
    const steps = (pointer) => pointer.split("/").filter((step) => step && step !== "*");
    return this.told.groups.filter(
      (one) => one.pointer.startsWith(`${told.pointer}/`) && steps(one.pointer).length === steps(told.pointer).length + 1,
    );
  }

  refresh() {
    this.fields.clear();
    this.root.walk((field) => this.fields.set(field.pointer, field));
    for (const field of this.fields.values()) field.refresh();
  }

  read() {
    return this.root.read();
  }

  write(question) {
    this.fail([]);
    this.root.write(question);
    this.refresh();
    for (const field of this.fields.values()) if (field.read() !== undefined) field.reveal();
  }

  // The field that a pointer leads to, or into.
  fieldAt(pointer) {
    for (let at = pointer; at; at = at.slice(0, at.lastIndexOf("/"))) if (this.fields.has(at)) return this.fields.get(at);
    return undefined;
  }

  // Tells each error beside its field, and gives those that have none.
  fail(errors) {
    for (const field of this.fields.values()) field.fail("");
    const told = new Map();
    const others = [];
    for (const one of errors) {
      const field = this.fieldAt(one.pointer);
      if (field) told.set(field, [...(told.get(field) ?? []), one.says]);
      else others.push(one);
    }
    for (const [field, says] of told) field.fail(says.join(" "));
    [...told.keys()].sort((one, other) => one.part.order - other.part.order)[0]?.go();
    return others;
  }
}
