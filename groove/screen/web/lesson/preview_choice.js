// Parts that both previews share: a field to choose one of some values, and what went wrong.

import { html } from "../../practice/screen/svg.js";

/**
 * A field of a name with a label. titles: by the values, the first of which is chosen at first. changed:
 * called when another one is chosen. `value` is the one that is chosen.
 */
export function chosen(name, label, titles, changed) {
  const id = `preview-${name}`;
  const options = Object.entries(titles).map(([value, title]) => html("option", { value }, title));
  const select = html("select", { id }, ...options);
  select.addEventListener("change", changed);
  return {
    element: html("div", { class: "field" }, html("label", { for: id }, label), select),
    get value() {
      return select.value;
    },
  };
}

/** The server's words of an error, or "failed" where it gave none or could not be reached. */
export function troubleOf(error) {
  return error instanceof TypeError ? "failed" : error.message;
}
