// A foreman's app over a bad connection: it asks, tells every outcome apart by its type, and asks again where the
// connection drops. It prints what it saw, one JSON object a line; the test reads that.
import createClient from "openapi-fetch";
import type { components, paths } from "./splicewright.js";

type Schemas = components["schemas"];

const address = process.argv[2] ?? "http://127.0.0.1:8000";
const patience = Number(process.argv[3] ?? 10_000); // milliseconds

/** Tries again where the connection fails or takes too long. A question changes nothing, so it may be asked twice. */
async function patient(request: Request): Promise<Response> {
  const { url, method, headers } = request;
  const body = method === "GET" ? null : await request.text(); // kept, for a body can be sent once only
  for (let attempt = 1; ; attempt++) {
    const gaveUp = new AbortController();
    const timer = setTimeout(() => gaveUp.abort(), patience);
    try {
      const response = await fetch(url, { method, headers, body, signal: gaveUp.signal });
      return new Response(await response.arrayBuffer(), response); // a body may be cut off too
    } catch (error) {
      if (attempt === 5) throw error;
      console.log(JSON.stringify({ dropped: attempt }));
    } finally {
      clearTimeout(timer);
    }
  }
}

const api = createClient<paths>({ baseUrl: address, fetch: patient });

function never(value: never): never {
  throw new Error(`not expected: ${JSON.stringify(value)}`);
}

function remedy(found: Schemas["Remedy"]): string {
  switch (found.kind) {
    case "alter":
      return `alter ${JSON.stringify(found.patch)} for ${found.best.connector}`;
    case "split":
      return `split into ${found.joints.length} with ${found.jumpers.length} jumpers`;
    case "pigtail":
      return `pigtails, ${found.joints.length} joints`;
    case "connector":
      return `find another: ${found.methods.join(", ")}`;
    default:
      return never(found);
  }
}

function told(answer: Schemas["Answer"]): string {
  if (answer.findings) return `whole, ${answer.findings.length > 0 ? "with" : "without"} findings`;
  switch (answer.outcome) {
    case "options":
      return answer.options.map((one) => `${one.rank} ${one.method}`)[0] ?? "nothing";
    case "no-connector":
      return answer.remedies.map(remedy)[0] ?? "no remedy";
    case "barred":
      return answer.remedies.map(remedy)[0] ?? "no remedy";
    case "refer":
      return answer.referrals.map((one) => one.rule)[0] ?? "no reason";
    default:
      return never(answer);
  }
}

function verdict(found: Schemas["CheckAnswer"]): string {
  switch (found.verdict) {
    case "sound":
      return "nothing speaks against it";
    case "unsound":
      return found.violations.map((one) => one.at?.[0]).join(" ");
    case "unproven":
      return found.unproven.map((one) => one.asks).join(" ");
    default:
      return never(found);
  }
}

async function choose(name: string, body: Schemas["Question"], explain: Schemas["Explain"] = "brief"): Promise<void> {
  const { data, error } = await api.POST("/v1/choices", { params: { query: { explain } }, body });
  if (error !== undefined) {
    console.log(JSON.stringify({ name, status: error.status, errors: error.errors }));
    return;
  }
  console.log(JSON.stringify({ name, outcome: data.outcome, told: told(data) }));
}

async function check(name: string, proposal: Schemas["Proposal"]): Promise<void> {
  const body = { joint: { conductors: [{ size: "12 AWG", count: 2 }] }, proposal, explain: "brief" as const };
  const { data, error } = await api.POST("/v1/checks", { body });
  if (error !== undefined) throw new Error(error.detail);
  console.log(JSON.stringify({ name, verdict: data.verdict, told: verdict(data) }));
}

const pair = { conductors: [{ size: "12 AWG", count: 2 }] };
await choose("pair", { joint: pair });
await choose("whole", { joint: pair }, "full");
await choose("hidden", { joint: pair, place: { reach: "concealed" } });
await choose("many", { joint: { conductors: [{ size: "10 AWG", count: 11 }] } });
await choose("service", { joint: pair, circuit: { kind: "service" } });
await choose("wrong", { joint: { conductors: [{ size: "12", count: 0 }] } });
const good = { strip: { value: 13, unit: "mm" }, pre_twisted: true, tugged: true } as const;
await check("all said", { connector: "twist-on-medium", ...good });
await check("too long", { connector: "twist-on-medium", ...good, strip: { value: 30, unit: "mm" } });
await check("little said", { connector: "twist-on-medium" });

const { data: words } = await api.GET("/v1/vocabulary", { params: { query: { list: "exposure" } } });
console.log(JSON.stringify({ name: "words", words: words?.lists[0]?.words.map((one) => one.word) }));
const { data: job } = await api.POST("/v1/jobs", {
  body: { joints: [{ id: "hall", quantity: 3, joint: pair }, { joint: pair, place: { reach: "concealed" } }] },
});
const problems = (job?.problems ?? []).map((one) => (one.outcome === "barred" ? `${one.pointer} ${one.because[0]?.rule}` : one.outcome));
console.log(JSON.stringify({ name: "job", problems, made: job?.counts.made }));
