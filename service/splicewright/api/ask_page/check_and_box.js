// The answers to a check and about a box.
import { folded, list, make } from "./elements.js";
import { alsoNotJudged, amended, assumed, demo, judgedOf, labeled, mind, notJudged, points, readAs, table, toPart } from "./parts.js";
import { cited, fillText, named, sourceText, volumeText } from "./words.js";

const VERDICTS = {
  sound: "Sound: nothing speaks against it, and all that is asked is said.",
  unsound: "Unsound: it may not stay as it is.",
  unproven: "Unproven: nothing speaks against it, but not all that is asked is said.",
};
const SOUND_SO_FAR = "Sound in what was judged.";

export function check(answer, page) {
  const open = notJudged(answer.judged, page);
  const { rules } = answer;
  const headline = answer.verdict === "sound" && open ? SOUND_SO_FAR : VERDICTS[answer.verdict];
  return [
    make("p", { class: `headline ${answer.verdict}` }, headline),
    demo(answer.catalogue),
    open && make("p", { class: "open" }, open),
    points("Against it", answer.violations, rules),
    unproven(answer, page),
    points("Outside this tool", answer.referrals, rules),
    make("dl", {}, ...[
      labeled("Checked", proposed(answer.proposed)),
      labeled("No rule", (answer.unjudged ?? []).map((one) => `${one.said}. ${one.says}`)),
      mind(answer.cautions),
      ...judgedOf(answer.judged, page),
      readAs(answer),
      amended(answer),
      labeled("Instead", answer.verdict === "sound" ? [] : (answer.options ?? []).map(named)),
      ...assumed(answer)[0],
    ].filter(Boolean)),
    alsoNotJudged(answer.judged, page),
    assumed(answer)[1],
    answer.confirmed?.length ? folded(`${answer.confirmed.length} points borne out`, [points("Borne out", answer.confirmed, rules)]) : undefined,
  ];
}

function proposed(one = {}) {
  if (!("connector" in one)) return `some ${one.method} connector`;
  return `${one.connector} (${one.method})${one.fill ? `, fill ${fillText(one.fill)}` : ""}`;
}

function unproven({ unproven: found = [], rules }, page) {
  if (!found.length) return undefined;
  const told = found.map((one) => [...(one.asks ? ["state ", toPart(one.asks, page.go), ": "] : []), `${one.says} [${cited(one.rule, rules)}]`]);
  return make("section", {}, make("h3", {}, "Not said, but asked"), list(told));
}

function fit({ fits, volume, required, left, referrals }) {
  const needs = volumeText(required);
  if (!volume) return `No box given: at least ${needs} ${referrals?.length ? "are needed" : "will do"}.`;
  const has = volumeText(volume);
  if (fits === null) return `Not judged: what has a volume here needs ${needs} of the ${has} in the box; the rest is outside this tool.`;
  return fits ? `Fits: ${needs} needed, ${has} in the box, ${volumeText(left)} left.` : `Falls short: ${needs} needed, ${has} in the box.`;
}

export function box(answer, page) {
  const { joints = [], smallest = [] } = answer;
  const outcome = answer.fits === null ? "open-box" : answer.fits ? "fits" : "short";
  const boxes = smallest.map((one) => `${one.name}${one.gangs ? `, ${one.gangs} gang${one.gangs > 1 ? "s" : ""}` : ""} (${one.volume.in3} in3)`);
  const judged = [...(answer.judged ?? []), ...joints.flatMap((one) => one.judged ?? [])];
  const told = joints.flatMap((one, at) => [...(one.referrals ?? []), ...(one.bars ?? []), ...(one.errors ?? [])].map((why) => `Joint ${at + 1}: ${why.says}`));
  return [
    make("p", { class: `headline ${outcome}` }, fit(answer)),
    demo(joints.find((one) => one.catalogue)?.catalogue),
    list((answer.problems ?? []).map((one) => [toPart(one.pointer, page.go), `: ${one.says}`])),
    answer.referrals?.length ? make("section", {}, make("h3", {}, "Not covered by this reckoning"),
      list(answer.referrals.map((one) => `${one.says} [${sourceText(one.source)}]`))) : undefined,
    table("What takes the room", ["for", "allowances", "each in3", "in3", "source"],
      answer.allowances.map((one) => [one.for, one.count, one.each?.in3 ?? "—", one.total?.in3 ?? "—", sourceText(one.source)])),
    page.drawings(),
    boxes.length || answer.referrals?.length ? undefined
      : make("p", {}, "No standard box would do; take one with a larger marked volume, or add an extension."),
    joints.length ? table("The joints in it", ["", "joint", "outcome", "first choice", "fill"], joints.map((one, at) => [
      at + 1, one.id, one.outcome === "error" ? "in error" : one.outcome, one.options?.[0]?.connector, one.options?.[0] ? fillText(one.options[0].fill) : ""])) : undefined,
    told.length ? list(told) : undefined,
    make("dl", {}, ...[
      labeled("Boxes", boxes.length ? `least that would do: ${boxes.slice(0, 3).join("; ")}` : ""),
      answer.free_length && labeled("Length", `${answer.free_length.says} [${sourceText(answer.free_length.source)}]`),
      mind(joints.flatMap((one) => one.cautions ?? []), answer.cautions),
      ...judgedOf(judged, page),
      readAs(answer),
      ...assumed(answer)[0],
    ].filter(Boolean)),
    alsoNotJudged(judged, page),
    assumed(answer)[1],
    boxes.length > 3 ? folded(`All ${boxes.length} standard boxes that would do`, [list(boxes)]) : undefined,
  ];
}
