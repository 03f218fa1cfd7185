// Parts of answers in words, as the command line has them.

export function valueText(value) {
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (Array.isArray(value)) return value.map(valueText).join(", ");
  if (value && typeof value === "object" && "unit" in value) return `${value.value} ${value.unit}`;
  return typeof value === "object" ? JSON.stringify(value) : String(value);
}

export function pointerWords(pointer) {
  const steps = pointer.split("/").slice(1);
  return steps.reduce((told, step) => (/^\d+$/.test(step) ? `${told}[${Number(step) + 1}]` : `${told}${told && "."}${step}`), "");
}

export function sourceText(source) {
  if (source.kind === "common-practice") return "common practice";
  const cited = ["document", "edition", "section"].filter((key) => key in source).map((key) => source[key]).join(" ");
  return source.obtained === "memory" ? `${cited}, from memory` : cited;
}

export function cited(rule, rules = {}) {
  return rule in rules ? `${rule} — ${sourceText(rules[rule].source)}` : rule;
}

export function fillText(fill) {
  if (fill.basis === "listed") {
    const spare = fill.spare_ports;
    return spare ? `listed, ${spare} port${spare > 1 ? "s" : ""} empty` : "listed";
  }
  return fill.between ? `bracketed: a reading between ${fill.between.join(" and ")}, not a listing` : "bracketed: a reading";
}

export function named(option) {
  return option.fill ? `${option.connector} (${option.method}; ${fillText(option.fill)})` : `${option.connector} (${option.method})`;
}

function inches(sixteenths) {
  const whole = Math.floor(sixteenths / 16);
  let [part, of] = [sixteenths % 16, 16];
  while (part && part % 2 === 0) [part, of] = [part / 2, of / 2];
  return [whole || !part ? String(whole) : "", part ? `${part}/${of}` : ""].filter(Boolean).join(" ");
}

// A length in inches and millimetres, one of them rounded: `7/16 in (11 mm)`.
export function bothUnits(length) {
  const [above, below = "1"] = String(length.value).split("/");
  const value = Number(above) / Number(below);
  if (!Number.isFinite(value) || !["in", "mm", "cm"].includes(length.unit)) return valueText(length);
  if (length.unit === "in") {
    const exact = Number.isInteger(value * 16) ? inches(value * 16) : String(value);
    return `${exact} in (${Math.round(value * 25.4)} mm)`;
  }
  const millimetres = length.unit === "cm" ? value * 10 : value;
  return `${inches(Math.round((millimetres / 25.4) * 16))} in (${valueText(length)})`;
}

export function figureText(value) {
  return ["mm", "cm", "in"].includes(value.unit) ? bothUnits(value) : valueText(value);
}

export function ofConductor(one) {
  return `${one.figure} ${one.size.value} ${one.size.unit} ${one.material}: ${one.value ? valueText(one.value) : "none listed"}`;
}

export function listingText(source) {
  return [source.document, source.where, source.read_on && `read ${source.read_on}`].filter(Boolean).join(", ");
}

export function volumeText(volume) {
  return volume ? `${volume.in3} in3 (${volume.cm3} cm3)` : "not known";
}

// Leaves that a patch writes, each with its value.
export function changesText(patch = []) {
  return patch
    .filter((one) => "value" in one)
    .map((one) => `${pointerWords(one.path)} → ${valueText(one.value)}`)
    .join(", ");
}
