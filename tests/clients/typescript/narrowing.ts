// What must not compile. A line after `@ts-expect-error` that compiles is itself an error.
import type { components } from "./splicewright.js";

type Schemas = components["schemas"];

export function answers(answer: Schemas["Answer"]): unknown {
  // @ts-expect-error `dubious` is no outcome
  if (answer.outcome === "dubious") return 1;
  // @ts-expect-error findings are there only where they were included
  if (answer.outcome === "options") return answer.findings.length;
  const asked: number = answer.counts.demands;
  // @ts-expect-error demands are a list, where they were included; `counts` has their number
  const demands: number = answer.demands;
  // @ts-expect-error what a caution says is there only where cautions were included
  const says: string = answer.cautions[0]?.says;
  return [asked, demands, says];
}

export function barred(answer: Schemas["Answer"]): Schemas["OptionsAnswer"] | undefined {
  // @ts-expect-error a barred answer is not one with options
  if (answer.outcome === "barred") return answer;
  if (answer.outcome === "options") return answer;
  return undefined;
}

export function remedies(remedy: Schemas["Remedy"]): unknown {
  // @ts-expect-error each joint of a split has a patch of its own
  if (remedy.kind === "split") return remedy.patch;
  // @ts-expect-error to alter makes no joints
  if (remedy.kind === "alter") return remedy.joints;
  // @ts-expect-error not every remedy has questions to ask
  return remedy.questions;
}

export function verdicts(found: Schemas["CheckAnswer"]): Schemas["UnsoundCheck"] | undefined {
  // @ts-expect-error an unproven splice is not an unsound one
  if (found.verdict === "unproven") return found;
  return found.verdict === "unsound" ? found : undefined;
}

export function problems(problem: Schemas["JobProblem"]): unknown {
  // @ts-expect-error a line in error has errors and no reasons
  if (problem.outcome === "error") return problem.because;
  return problem.outcome === "box-too-small" ? problem.smallest : undefined;
}

export const questions: Schemas["Question"][] = [
  { joint: { conductors: [{ size: "12 AWG" }] } }, // all else may be left out
  // @ts-expect-error `burried` is no exposure
  { joint: { conductors: [{ size: "12 AWG" }] }, place: { exposure: "burried" } },
  // @ts-expect-error a count is a number
  { joint: { conductors: [{ size: "12 AWG", count: "2" }] } },
  // @ts-expect-error there is no part `circut`
  { joint: { conductors: [{ size: "12 AWG" }] }, circut: {} },
  // @ts-expect-error a joint must be given
  { place: {} },
];

export const patch: Schemas["AlterRemedy"]["patch"] = [{ op: "add", path: "/place/reach", value: "accessible" }];
export const when: Schemas["Rule"]["when"] = [{ place: { exposure: "wet" } }];
