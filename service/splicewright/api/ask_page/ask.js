// The page to ask on: the form, the line, the link, and what is sent. The key is kept in its field alone.
import { button, folded, list, make } from "./elements.js";
import { box, check } from "./check_and_box.js";
import { choice, standing } from "./choice.js";
import { Form } from "./form.js";
import { taken } from "./parts.js";
import { changed } from "./patch.js";

const ANSWERS = { choices: choice, checks: check, boxes: box };
const TOLD = { boxes: { explain: "full" } }; // the other calls tell all where nothing is said
const JOINT = ["joint", "place", "circuit", "work"]; // what a question in one line says
const at = (id) => document.getElementById(id);
const state = { call: "choices", form: undefined, asked: undefined, asking: undefined, forms: {}, kept: {} };

class Refused extends Error {
  constructor(status, problem) {
    super(problem.detail ?? problem.title ?? `status ${status}`);
    Object.assign(this, { status, errors: problem.errors ?? [] });
  }
}

async function call(path, body, signal) {
  const headers = at("key").value ? { Authorization: `Bearer ${at("key").value}` } : {};
  const sent = body === undefined ? { headers, signal }
    : { method: "POST", headers: { ...headers, "Content-Type": "application/json" }, body: JSON.stringify(body), signal };
  const response = await fetch(path, sent);
  const given = await response.json().catch(() => ({}));
  if (response.ok) return given;
  if (response.status === 401 || response.status === 403) at("key-part").open = true;
  throw new Refused(response.status, given);
}

function say(text) {
  at("status").textContent = text;
}

// What went wrong with a call, as text: of the service, or that it was not reached.
function wrong(error) {
  return error instanceof Refused ? `${error.message} (${error.status})` : "The service was not reached, or what was typed can't be sent.";
}

function choose(name) {
  state.asking?.abort();
  state.asked = undefined;
  at("answer").replaceChildren(make("p", { class: "hint" }, "Fill in what is known and ask. What is left out is assumed, and told."));
  if (state.form) state.kept[state.call] = state.form.read();
  state.call = name;
  for (const one of document.querySelectorAll("#calls input")) one.checked = one.value === name;
  at("short").hidden = name === "boxes";
  state.form = new Form(at("parts"), state.forms[name], state.lists);
  if (state.kept[name]) state.form.write(state.kept[name]);
  edited();
}

// An answer is to what was asked, not to what stands in the form by now.
function edited() {
  state.form?.refresh();
  const same = state.asked === undefined || JSON.stringify(state.form.read()) === JSON.stringify(state.asked);
  at("changed").textContent = same ? "" : "The form was changed since: this answer is to the question before.";
}

async function begin() {
  say("Reading the vocabulary …");
  try {
    const vocabulary = await call("v1/vocabulary");
    state.lists = new Map(vocabulary.lists.map((one) => [one.name, one]));
    for (const name of Object.keys(ANSWERS)) state.forms[name] = vocabulary.forms.find((one) => one.call === `/v1/${name}`);
    say("");
  } catch (error) {
    say(wrong(error));
    if (at("key-part").open) at("key").focus();
    return;
  }
  if (!(await open())) choose(state.call);
}

// --- asking -------------------------------------------------------------------------------

async function ask() {
  const question = state.form.read();
  state.asking?.abort();
  const asking = (state.asking = new AbortController());
  at("line-problems").replaceChildren();
  const before = state.form.fail([]);
  say("Asking …");
  try {
    const answer = await call(`v1/${state.call}`, { ...TOLD[state.call], ...question }, asking.signal);
    state.asked = question;
    edited();
    keep(question);
    const parts = ANSWERS[state.call](answer, page).filter(Boolean);
    at("answer").replaceChildren(...parts, ...shared(question));
    say("");
    at("answered").focus();
    at("answered").scrollIntoView({ block: "start" });
  } catch (error) {
    if (asking.signal.aborted) return;
    say(wrong(error));
    state.asked = undefined;
    edited();
    const others = error instanceof Refused ? state.form.fail(error.errors) : before;
    at("answer").replaceChildren(make("p", { class: "headline error" }, "There is no answer."),
      list(others.map((one) => `${one.pointer} ${one.says}`), { role: "alert", class: "problems" }));
  }
}

const page = {
  concern: (name) => state.lists.get("concern")?.words.find((one) => one.word === name),
  go: (pointer) => state.form.fieldAt(pointer)?.go(),
  askChanged: (patch) => {
    state.form.write(changed(state.asked, patch));
    ask();
  },
  // Drawings come after the answer: nobody waits for them.
  drawings: () => {
    const shown = make("div", { class: "drawings" });
    call(`v1/${state.call}/drawings`, state.asked).then(
      ({ drawings }) => shown.append(...drawings.map(drawn)),
      (error) => shown.append(make("p", { class: "hint" }, `No drawing: ${wrong(error)}`)),
    );
    return shown;
  },
  why: async (connector) => {
    try {
      return standing(await call(`v1/choices/why?connector=${encodeURIComponent(connector)}`, state.asked));
    } catch (error) {
      return [make("p", { class: "error" }, wrong(error))];
    }
  },
};

function drawn({ svg, text }) {
  const image = svg ? [make("img", { src: `data:image/svg+xml,${encodeURIComponent(svg)}`, alt: "" })] : [];
  return make("figure", {}, ...image, make("figcaption", {}, text));
}

// --- the link ------------------------------------------------------------------------------

// The question stands in the part of the address that is sent to no server.
function fragment(question) {
  return `#${state.call}=${encodeURIComponent(JSON.stringify(question))}`;
}

function keep(question) {
  const wanted = fragment(question);
  if (location.hash !== wanted) history.pushState(null, "", wanted);
}

async function open() {
  const [, name, text] = /^#(\w+)=(.*)$/s.exec(location.hash) ?? [];
  if (name === undefined) return false;
  try {
    if (!Object.hasOwn(ANSWERS, name)) throw new TypeError("no call");
    const question = JSON.parse(decodeURIComponent(text));
    if (typeof question !== "object" || question === null || Array.isArray(question)) throw new TypeError("no question");
    if (name !== state.call || !state.form) choose(name);
    state.form.write(question);
  } catch {
    state.asking?.abort();
    state.asked = undefined;
    edited();
    say("The link holds no question that can be read.");
    at("answer").replaceChildren(make("p", { class: "headline error" }, "There is no answer: the link holds no question that can be read."));
    return false;
  }
  await ask();
  return true;
}

function shared(question) {
  const text = JSON.stringify(question, undefined, 2);
  const link = new URL(fragment(question), location.href).href;
  const copied = make("span", { role: "status" });
  const copy = (what) => async () => {
    try {
      await navigator.clipboard.writeText(what);
      copied.textContent = " Copied.";
    } catch {
      copied.textContent = " This browser does not let it be copied; the text can be marked.";
    }
  };
  return [
    folded("The question as JSON, and a link to it", [
      make("pre", { tabindex: "0", role: "region", "aria-label": "The question as JSON" }, text),
      make("p", {}, make("a", { href: fragment(question), id: "link" }, "Link to this question")),
      make("p", {}, button("Copy the JSON", copy(text)), " ", button("Copy the link", copy(link)), copied),
    ]),
  ];
}

// --- the line ------------------------------------------------------------------------------

async function readLine() {
  const problems = at("line-problems");
  problems.replaceChildren();
  try {
    const found = await call("v1/questions", { text: at("line").value });
    if (found.problems.length) {
      const column = ({ pointer }) => pointer.replace(/^\/column\/(\d+)$/, "column $1");
      problems.append(...found.problems.map((one) => make("li", {}, `${column(one)}: ${one.says}`)));
      const first = /^\/column\/(\d+)$/.exec(found.problems[0].pointer);
      at("line").focus();
      if (first) at("line").setSelectionRange(first[1] - 1, first[1] - 1);
      return;
    }
    const kept = Object.entries(state.form.read()).filter(([name]) => !JOINT.includes(name));
    state.form.write({ ...Object.fromEntries(kept), ...found.question });
    edited();
    const read = taken(found);
    say(`This is how the line was understood${read ? `: it read ${read}` : ""}. Look it over, then ask.`);
    at("ask").focus();
  } catch (error) {
    problems.append(make("li", {}, wrong(error)), ...(error.errors ?? []).map((one) => make("li", {}, one.says)));
  }
}

// --- names -------------------------------------------------------------------------------

// Catalogues tell their names, and those of their connectors; where they don't, any is typed and judged by the service.
const NAMES = {
  "names-catalogues": async () => (await call("v1/catalogues")).catalogues.map((one) => [one.name, one.note]),
  "names-connectors": async () => {
    const field = state.form.fieldAt("/catalogue");
    const found = await call(`v1/catalogues/${encodeURIComponent(field.read() ?? field.part.assumed)}`);
    return found.connectors.map((one) => [one.id, one.name]);
  },
};

async function offer({ target }) {
  const [name, place] = [target.list?.id, target.list];
  if (!(name in NAMES)) return;
  const names = await NAMES[name]().catch(() => []);
  place.replaceChildren(...names.map(([value, told]) => make("option", { value }, told)));
}

// --- what is pressed -----------------------------------------------------------------------

function on(id, happens, does) {
  at(id).addEventListener(happens, (event) => {
    event.preventDefault();
    does(event);
  });
}

on("question", "submit", () => state.form && ask());
on("question", "reset", () => {
  state.form?.write({});
  edited();
});
on("short", "submit", () => state.form && readLine());
on("key-form", "submit", () => (state.form ? say("The key is sent with what is asked next.") : begin()));
for (const happens of ["input", "change"]) at("question").addEventListener(happens, edited);
at("question").addEventListener("focusin", offer);
at("calls").addEventListener("change", (event) => state.lists && choose(event.target.value));
addEventListener("popstate", () => state.lists && open());
begin();
