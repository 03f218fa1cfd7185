// Parts that answers have in common: findings, cautions, what was not judged, what was assumed.
import { button, folded, list, make } from "./elements.js";
import { cited, pointerWords, sourceText, valueText } from "./words.js";

// What stands under a label; nothing where there is nothing to say.
export function labeled(label, ...told) {
  const items = told.flat().filter((one) => one !== undefined && one !== "");
  return items.length ? make("div", { class: "told" }, make("dt", {}, label), ...items.map((one) => make("dd", {}, one))) : undefined;
}

export function findings(found = [], rules) {
  const seen = new Map(found.map((one) => [`${one.rule} ${one.says}`, one]));
  return list([...seen.values()].map((one) => [one.says, " ", make("span", { class: "rule" }, `[${cited(one.rule, rules)}]`)]));
}

export function points(title, found = [], rules) {
  return found.length ? make("section", {}, make("h3", {}, title), findings(found, rules)) : undefined;
}

// What was not judged, each once, apart by whether the vocabulary says that it can hurt.
function open(judged = [], page) {
  const each = new Map(judged.filter((one) => "why" in one).map((one) => [`${one.concern} ${one.asks ?? one.article}`, one]));
  const those = (hurts) => [...each.values()].filter((one) => Boolean(page.concern(one.concern)?.hurts) === hurts);
  return { first: those(true), rest: those(false) };
}

export function notJudged(judged, page) {
  const names = new Set(open(judged, page).first.map((one) => one.concern));
  return names.size ? `Not judged: ${[...names].join(", ")}` : "";
}

export function demo(catalogue) {
  return catalogue?.demo
    ? make("p", { class: "demo" }, `Demo: these connectors are invented; the catalogue ${catalogue.name} is no shelf of yours.`)
    : undefined;
}

// A way to the part of the form that a pointer names.
export function toPart(pointer, go) {
  return button(pointerWords(pointer), () => go(pointer), { class: "link" });
}

export function mind(cautions = [], ofBox = []) {
  const told = cautions.filter((one) => one.kind === "mind" && one.says).map((one) => `${one.says} [${one.rule}]`);
  return labeled("Mind", [...ofBox.map((one) => `${one.says} [${sourceText(one.source)}]`), ...new Set(told)]);
}

export function judgedOf(judged, page) {
  const { first } = open(judged, page);
  const asked = [...new Set(first.map((one) => one.asks).filter(Boolean))];
  const others = new Set(first.filter((one) => !one.asks).map((one) => `${one.concern}, see ${one.article}`));
  const ways = asked.flatMap((one, at) => [at ? ", " : "state ", toPart(one, page.go)]);
  return [
    ways.length ? labeled("To judge", make("span", {}, ...ways)) : undefined,
    others.size ? labeled("No rule", [...others].join("; ")) : undefined,
  ];
}

// The rest of what was not judged, with what each asks.
export function alsoNotJudged(judged, page) {
  const { rest } = open(judged, page);
  const told = rest.map((one) => [
    `${one.concern}: ${page.concern(one.concern)?.means ?? ""} `,
    ...(one.asks ? ["State ", toPart(one.asks, page.go)] : [`No rule; see ${one.article}`]),
  ]);
  return told.length ? folded(`Also not judged: ${new Set(rest.map((one) => one.concern)).size}`, [list(told)]) : undefined;
}

// What was sent in other words, and what it was taken for, each once; nothing of what is told as it was sent.
export function taken(answer) {
  const told = (answer.read_as ?? []).map((one) => [valueText(one.sent), valueText(one.taken)]);
  return [...new Set(told.filter(([sent, as]) => sent !== as).map((one) => one.join(" as ")))].join("; ");
}

export function readAs(answer) {
  return labeled("Read", taken(answer));
}

export function amended(answer) {
  const names = answer.rulesets?.amendments ?? [];
  if (!names.length) return undefined;
  const aside = (answer.amended ?? []).map((one) => `${one.rule} ${one.did} by ${one.amendment}: ${one.says}`);
  return labeled("Amended", `by ${names.join(", ")}`, aside);
}

// What was not stated and something in the answer rests on.
function matters(answer) {
  const told = [answer.findings, answer.demands, answer.bars, answer.method_bars, answer.cautions, answer.violations, answer.confirmed];
  const facts = told.flatMap((some) => some ?? []).flatMap((one) => one.from ?? []).filter((fact) => fact.assumed);
  const pointers = new Set(facts.flatMap((fact) => fact.at ?? []).filter((pointer) => pointer in answer.assumed));
  const leaf = (pointer) => pointer.slice(pointer.lastIndexOf("/") + 1).replaceAll("_", " ");
  // A circuit is a label of anyone's own: it says nothing without its conductor.
  const of = (pointer) => /\/(\d+)\/circuit$/.exec(pointer)?.[1];
  const conductor = (pointer) => (of(pointer) === undefined ? "" : ` (conductor ${Number(of(pointer)) + 1})`);
  return [...new Set([...pointers].map((pointer) => `${leaf(pointer)} ${valueText(answer.assumed[pointer].value)}${conductor(pointer)}`))].join(", ");
}

// Each thing that was not stated, with what stands in its place, whoever said it.
export function assumed(answer) {
  const told = Object.entries(answer.assumed ?? {}).filter(([, one]) => !(Array.isArray(one.value) && !one.value.length));
  const line = ([pointer, one]) => `${pointerWords(pointer)} ${valueText(one.value)}`;
  const by = (from) => told.filter(([, one]) => one.from === from).map(line);
  const others = told.filter(([, one]) => one.from !== "default").map(([pointer, one]) => `${line([pointer, one])} (${one.from})`);
  return [
    [labeled("Assumed", matters(answer)), labeled("Said here", others.join("; "))],
    by("default").length ? folded(`All that is assumed: ${by("default").length} parts`, [list(by("default"))]) : undefined,
  ];
}

export function table(caption, heads, rows) {
  return make("div", { class: "wide", tabindex: "0", role: "region", "aria-label": caption },
    make("table", {},
      make("caption", {}, caption),
      make("thead", {}, make("tr", {}, ...heads.map((one) => make("th", { scope: "col" }, one)))),
      make("tbody", {}, ...rows.map((row) => make("tr", {}, ...row.map((one) => make("td", {}, String(one ?? ""))))))));
}
