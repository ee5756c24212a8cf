// Elements of HTML and SVG with their attributes and children.

const SVG = "http://www.w3.org/2000/svg";

function filled(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== false && value !== null) element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children);
  return element;
}

/** An HTML element. */
export function html(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

/** An SVG element. */
export function svg(tag, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), attributes, children);
}

/** A picture with words in its place for a screen reader; its parts are not read out. */
export function picture(attributes, words, parts) {
  return svg("svg", { role: "img", "aria-label": words, ...attributes }, svg("g", { "aria-hidden": "true" }, ...parts));
}

/**
 * A mark for a tone with its degree inside: the root of the chord a filled square, its other tones
 * filled and round, those of a scale hollow, those to pass through small with a broken line. at: its name
 * in a drawing, by which it is lit while it sounds.
 */
export function toneMark(x, y, size, { kind, degree }, at = null) {
  const half = kind === "passing" ? 0.86 * size : size;
  const shape =
    kind === "root"
      ? svg("rect", { x: x - half, y: y - half, width: 2 * half, height: 2 * half, rx: 3 })
      : svg("circle", { cx: x, cy: y, r: half });
  const tight = degree.length > 2; // a double flat
  const place = { x, y, "text-anchor": "middle", "dominant-baseline": "central" };
  const text = svg("text", { ...place, class: tight ? "tight" : null }, degree);
  return svg("g", { class: `tone ${kind}`, "data-at": at }, shape, text);
}
