// Elements made in one place: text goes in as text only, never as markup.

export function make(name, given = {}, ...inner) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(given)) {
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (key === "class") made.className = value;
    else if (value === true) made.setAttribute(key, "");
    else if (value !== false && value !== undefined) made.setAttribute(key, String(value));
  }
  made.append(...inner.filter((one) => one !== undefined && one !== null));
  return made;
}

export function button(text, pressed, given = {}) {
  return make("button", { type: "button", onclick: pressed, ...given }, text);
}

// A part that is told on demand; what it holds may be made when it is first opened.
export function folded(title, inner, given = {}) {
  const made = make("details", given, make("summary", {}, title));
  if (typeof inner !== "function") {
    made.append(...inner);
    return made;
  }
  made.addEventListener("toggle", () => made.append(...inner()), { once: true });
  return made;
}

export function list(items, given = {}) {
  return make("ul", given, ...items.map((one) => make("li", {}, ...[one].flat())));
}
