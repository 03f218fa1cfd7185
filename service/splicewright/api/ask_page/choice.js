// The answer to a question: what to use and what to mind first, the rest on demand.
import { button, folded, list, make } from "./elements.js";
import { alsoNotJudged, amended, assumed, demo, findings, judgedOf, labeled, mind, notJudged, points, readAs, table } from "./parts.js";
import { bothUnits, changesText, cited, figureText, fillText, listingText, named, ofConductor, valueText } from "./words.js";

const TOOLS = { none: "closed by hand", matched: "tool: the one its instructions name" };
const LISTED_FIRST = "Its listing names this mix; what follows is a reading.";
const REASONS = 2;
const NEXT = 2;

export function choice(answer, page) {
  const headline = { options: used, barred, refer, "no-connector": none }[answer.outcome];
  return [
    ...headline(answer, page),
    make("dl", {},
      ...(answer.outcome === "options" ? making(answer.options[0]) : []),
      ...[mind(answer.cautions), ...because(answer)].filter(Boolean),
      ...[...judgedOf(judged(answer), page), readAs(answer), amended(answer), ...assumed(answer)[0]].filter(Boolean)),
    page.drawings(),
    alsoNotJudged(judged(answer), page),
    assumed(answer)[1],
    ...onDemand(answer, page),
  ];
}

// A joint that may not be made, or is another tool's, is judged no further.
function judged(answer) {
  return ["options", "no-connector"].includes(answer.outcome) ? answer.judged : [];
}

function head(answer, text) {
  return [make("p", { class: `headline ${answer.outcome}` }, text), demo(answer.catalogue)];
}

function used(answer, page) {
  const [best] = answer.options;
  const unjudged = notJudged(answer.judged, page);
  return [...head(answer, `Use ${best.connector}: ${best.method}, ${fillText(best.fill)}.`), unjudged && make("p", { class: "open" }, unjudged)];
}

function barred(answer, page) {
  return [...head(answer, "Barred: this joint may not be made as posed."), findings(answer.bars, answer.rules), ...wouldDo(answer, page)];
}

function refer(answer) {
  const sources = answer.referrals.map((one) => answer.rules?.[one.rule]?.source).filter((one) => one?.kind === "published");
  const see = [...new Set(sources.map((one) => one.section))].join("; ");
  return [...head(answer, `Outside this tool${see ? `: see ${see}` : ""}.`), findings(answer.referrals, answer.rules)];
}

function none(answer, page) {
  const { unproven, not_carried: kept } = answer.counts ?? {};
  const nearest = new Map();
  for (const one of byNearness(answer.refusals)) if (!nearest.has(one.method)) nearest.set(one.method, one);
  const told = [...nearest.values()].slice(0, 3).map((one) =>
    `${one.connector}: ${"not_stated" in one ? "unproven; " : ""}${one.because.map((reason) => `${shortly(reason)} [${reason.rule}]`).join("; ")}`);
  if (unproven) told.push(`${unproven} unproven: would do, if the listing stated what is asked`);
  if (kept) told.push(`${kept} that the question does not keep to were not looked at`);
  const unjudged = notJudged(answer.judged, page);
  return [...head(answer, "No connector of the catalogue takes it."), unjudged && make("p", { class: "open" }, unjudged), list(told), ...wouldDo(answer, page)];
}

function shortly(reason) {
  const [says, here] = reason.says.split(" Here: ");
  return (here ?? says.split(";")[0]).replace(/\.$/, "");
}

function byNearness(refusals = []) {
  const key = (one) => [Number(!("not_stated" in one)), one.because.length];
  return [...refusals].sort((one, other) => key(one)[0] - key(other)[0] || key(one)[1] - key(other)[1] || (one.connector < other.connector ? -1 : 1));
}

function making(best) {
  const told = [
    best.strip && `strip ${bothUnits(best.strip)}`,
    best.tool && (TOOLS[best.tool] ?? `tool: ${best.tool}`),
    best.torque && `torque ${valueText(best.torque)}`,
  ].filter(Boolean);
  return [
    labeled("Make it", told.join("; ")),
    labeled("By each", (best.by_conductor ?? []).map(ofConductor)),
    best.source && labeled("Listing", listingText(best.source)),
  ].filter(Boolean);
}

// What puts the best before the next: the strongest reason that the next lacks, then those that few others have.
function because({ options = [] }) {
  if (!options.length) return [];
  const [best, ...others] = options;
  const holding = (rule) => others.filter((one) => one.preferred?.some((reason) => reason.rule === rule)).length;
  const held = new Set(others[0]?.preferred?.map((one) => one.rule));
  const preferred = best.preferred ?? [];
  const first = preferred.filter((one) => !held.has(one.rule)).slice(0, 1);
  const rest = preferred.filter((one) => !first.includes(one) && 2 * holding(one.rule) <= others.length);
  rest.sort((one, other) => holding(one.rule) - holding(other.rule));
  const listed = others.length && others[0].fill.basis !== best.fill.basis ? [LISTED_FIRST] : [];
  const told = [...listed, ...[...first, ...rest].map((one) => one.says)].slice(0, REASONS);
  return [labeled("Because", told.join(" ")), labeled("Then", others.slice(0, NEXT).map(named))];
}

function wouldDo(answer, page) {
  const remedies = answer.remedies ?? [];
  if (!remedies.length) return [];
  return [make("h3", {}, "What would do"), list(remedies.map((one) => remedy(one, page)))];
}

function remedy(one, page) {
  if (one.kind === "connector") return `one that is not in this catalogue, listed for ${one.takes}: ${one.methods.join(", ")}`;
  if (one.kind !== "alter") {
    const joints = one.joints.map((joint) => `${joint.takes} in ${named(joint.best)}`).join("; ");
    const wire = one.jumpers[0];
    const tied = `${one.jumpers.length} of ${valueText(wire.size)} ${wire.construction} ${wire.material}, ${valueText(wire.length)}`;
    return `by ${one.kind === "pigtail" ? "pigtails" : "a split"}: ${one.joints.length} joints (${joints}), tied by jumpers: ${tied}`;
  }
  const then = [one.best, ...(one.then ?? [])].map(named).join(", ");
  const told = [one.do?.join("; "), changesText(one.patch)].filter(Boolean).join(": ");
  return [`${told}; then ${then} `, one.patch ? button("Ask it so", () => page.askChanged(one.patch)) : ""];
}

function onDemand(answer, page) {
  const { options = [], refusals = [], rules } = answer;
  const [best] = options;
  const whys = [
    points("What follows from the question", answer.findings, rules),
    points("What the joint asks for", answer.demands, rules),
    points("Methods that may not be used", answer.method_bars, rules),
    points("What holds of every joint", answer.cautions?.filter((one) => one.kind === "always"), rules),
  ].filter(Boolean);
  return [
    whys.length ? folded("Why", whys) : undefined,
    best?.make_up && folded(`Steps for ${best.connector}`, [steps(best)]),
    options.length > 0 && folded(`Options: ${options.length} of ${answer.counts?.options ?? options.length}`, [
      table("Options, the best first", ["", "connector", "method", "fill"], options.map((one) => [one.rank, one.connector, one.method, fillText(one.fill)])),
      list(options.map((one) => whyOf(one, page))),
    ]),
    refusals.length > 0 && folded(`${refusals.length} connectors refused`, () => [
      list(byNearness(refusals).map((one) => [
        make("strong", {}, one.connector), ` (${one.method}): `, one.because.map((reason) => `${reason.says} [${reason.rule}]`).join(" "), " ", ...whyOf(one, page),
      ])),
    ]),
  ].filter(Boolean);
}

function steps(option) {
  return make("ol", {}, ...option.make_up.map((one) =>
    make("li", {}, make("span", { class: "rule" }, `${one.phase}: `), one.do, one.value ? ` [${figureText(one.value)}]` : "")));
}

// A way to what decides about one connector, told beneath when it has come.
function whyOf(one, page) {
  const told = make("div", { "aria-live": "polite" });
  const asking = button(`Why ${one.connector}`, async () => told.replaceChildren(...(await page.why(one.connector))));
  return [asking, told];
}

export function standing(why) {
  const { connector: one } = why;
  const facts = (from = []) => from.map((fact) =>
    fact.fact ? `${fact.fact} is ${valueText(fact.value)}${fact.assumed ? " (assumed)" : ""}` : [`${fact.says ?? fact.rule} [${cited(fact.rule)}]`, list(facts(fact.from))]);
  const asks = (reason) => (reason.asks ?? []).map((ask) => `it asks ${ask.attribute} ${testText(ask.test)}; listed: ${ask.listed}`);
  const against = (one.because ?? []).map((reason) => [
    `${reason.says}${reason.here ? ` Here: ${reason.here}.` : ""} [${reason.rule}]`, list([...facts(reason.from), ...asks(reason)]),
  ]);
  const changes = (one.changes ?? []).map((change) => `${change.says} (then it ranks ${change.rank})`);
  return [
    make("p", {}, one.rank ? `${one.name} (${one.method}) ranks ${one.rank}.` : `${one.name} (${one.method}): ${one.standing}.`),
    one.preferred?.length ? make("p", {}, `For it: ${one.preferred.map((reason) => reason.says).join(" ")}`) : undefined,
    one.before_it?.length ? make("p", {}, `The best has before it: ${one.before_it.map((reason) => reason.says).join(" ")}`) : undefined,
    against.length ? list(against) : undefined,
    changes.length ? make("p", {}, "Single changes that make it an option:") : undefined,
    changes.length ? list(changes) : undefined,
    one.tried && !changes.length ? make("p", {}, `None of ${one.tried} single changes that were tried makes it an option.`) : undefined,
  ].filter(Boolean);
}

function testText(test) {
  return Object.entries(test).map(([how, values]) => `${how.replaceAll("-", " ")} ${[values].flat().map(valueText).join(" or ")}`).join(", ");
}
