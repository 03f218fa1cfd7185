// Asks through the calls that openapi-ts made with its validators: what is sent and what comes back is parsed by zod.
// It prints what it saw, one JSON object a line, and ends with an error where a validator does not take an answer whole.
import { deepStrictEqual } from "node:assert";
import { readFileSync } from "node:fs";
import jsonpatch from "fast-json-patch";
import type { z } from "zod";
import { client } from "./client/client.gen.js";
import { batch, check, choose, fillBox, planJob } from "./client/sdk.gen.js";
import type { Answer, BatchItem, BatchQuestion, BoxFill, Job, Proposal, Question } from "./client/types.gen.js";
import * as zod from "./client/zod.gen.js";

client.setConfig({ baseUrl: process.argv[2] ?? "http://127.0.0.1:8000" });

type Answered<T> = { data?: T; error?: unknown };

/** Gives an answer; throws where there is none, and where the validator loses something of it. */
function whole<T>(answered: Answered<T>, validator: z.ZodType): T {
  if (answered.data === undefined) throw answered.error;
  deepStrictEqual(validator.parse(answered.data), answered.data);
  return answered.data;
}

function show(name: string, seen: object): void {
  console.log(JSON.stringify({ name, ...seen }));
}

async function ask(body: Question): Promise<Answer> {
  return whole(await choose({ body }), zod.zAnswer);
}

function unexpected(found: unknown): never {
  throw new Error(`not expected: ${JSON.stringify(found)}`);
}

/** Tells the outcome of an answer, or the verdict of a check. */
function told(answer: BatchItem): string {
  return "verdict" in answer ? answer.verdict : answer.outcome;
}

const joint = { conductors: [{ size: "12 AWG", count: 2 }] };

const brief = await ask({ joint, explain: "brief" });
if (brief.outcome !== "options") unexpected(brief);
show("brief", { best: brief.options[0]?.connector, demands: brief.demands !== undefined });

const included = await ask({ joint, include: ["demands", "make_up"] });
if (included.outcome !== "options") unexpected(included);
const first = included.options[0]?.make_up?.[0]?.phase;
show("included", { demands: included.demands?.length === included.counts.demands, first });

const hidden: Question = { joint, place: { reach: "concealed" }, explain: "brief" };
const barred = await ask(hidden);
if (barred.outcome !== "barred") unexpected(barred);
const remedy = barred.remedies[0];
if (remedy?.kind !== "alter" || !remedy.patch) unexpected(remedy);
const patch = remedy.patch;
const operations = patch.map(({ op, path, value }) => (op === "remove" ? { op, path } : { op, path, value }));
const changed = jsonpatch.applyPatch<unknown>(hidden, operations, true, false).newDocument;
const again = await ask(zod.zQuestion.parse(changed));
if (again.outcome !== "options") unexpected(again);
const best = again.options[0]?.connector;
show("barred", { rule: barred.bars[0]?.rule, patch, best, as_told: best === remedy.best.connector });

const strip = { value: 30, unit: "mm" } as const;
const proposal: Proposal = { connector: "twist-on-medium", strip, tugged: true };
const verdict = whole(await check({ body: { joint, proposal } }), zod.zCheckAnswer);
if (verdict.verdict !== "unsound") unexpected(verdict);
show("check", { at: verdict.violations[0]?.at, asks: verdict.unproven.map((one) => one.asks) });

const three = { conductors: [{ size: "14 AWG", count: 3 }] };
const filling: BoxFill = {
  box: { name: "4 x 1-1/2 square" },
  wires: [{ size: "14 AWG", count: 6 }],
  joints: [{ joint: three }, { joint: three, catalogue: "nowhere" }],
};
const filled = whole(await fillBox({ body: filling }), zod.zBoxFillAnswer);
show("box", { fits: filled.fits, required: filled.required?.in3, joints: (filled.joints ?? []).map(told) });

const job: Job = {
  joints: [
    { id: "lights", quantity: 6, joint: { conductors: [{ size: "12 AWG", count: 3 }] } },
    { joint, place: { reach: "concealed" } },
  ],
  stock: { carry: ["lever-3-port"] },
};
const planned = whole(await planJob({ body: job }), zod.zJobAnswer);
show("job", {
  takeoff: planned.takeoff.map((one) => [one.connector, one.count]),
  made: planned.stock_plan?.counts.made,
  problems: planned.problems.map((one) => one.outcome),
});

const many: BatchQuestion[] = [
  { joint, explain: "brief" },
  { joint, proposal, explain: "brief" },
  { joint, catalogue: "nowhere" },
];
show("batch", { told: whole(await batch({ body: many }), zod.zBatchResponse).map(told) });

const { data, error } = await choose({ body: { joint, catalogue: "nowhere" } });
if (data !== undefined) unexpected(data);
const { status, code, errors } = whole({ data: error }, zod.zProblem);
show("refused", { status, code, errors: errors.map((one) => [one.pointer, one.code]) });

const forms: Record<string, z.ZodType> = { ...zod };
const examples: [string, unknown][] = JSON.parse(readFileSync("examples.json", "utf8"));
show("examples", { taken: examples.map(([name, value]) => forms[`z${name}`]?.parse(value)) });
