// A JSON Patch (RFC 6902) of the kinds that remedies have: add, replace, remove.

function stepsOf(pointer) {
  return pointer.split("/").slice(1).map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"));
}

export function changed(question, patch) {
  const found = structuredClone(question);
  for (const { op, path, value } of patch) {
    const steps = stepsOf(path);
    const last = steps.pop();
    const place = steps.reduce((inner, step) => inner[step], found);
    if (!Array.isArray(place)) {
      if (op === "remove") delete place[last];
      else place[last] = value;
    } else if (op === "add") place.splice(last === "-" ? place.length : Number(last), 0, value);
    else if (op === "remove") place.splice(Number(last), 1);
    else place[Number(last)] = value;
  }
  return found;
}
