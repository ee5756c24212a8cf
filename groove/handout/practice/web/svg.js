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

/** A mark for a chord tone: square for the root, round for the others, its degree inside. */
export function toneMark(x, y, size, tone) {
  const root = tone.degree === "1";
  const shape = root
    ? svg("rect", { x: x - size, y: y - size, width: 2 * size, height: 2 * size, rx: 3 })
    : svg("circle", { cx: x, cy: y, r: size });
  const tight = tone.degree.length > 2; // a double flat
  const place = { x, y, "text-anchor": "middle", "dominant-baseline": "central" };
  const text = svg("text", { ...place, class: tight ? "tight" : null }, tone.degree);
  return svg("g", { class: root ? "tone root" : "tone" }, shape, text);
}
