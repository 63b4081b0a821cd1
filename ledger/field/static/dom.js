/** Elements without markup strings: nothing that people typed is ever parsed as HTML. */

/**
 * h("button", { class: "ok", onclick: run, disabled: false, dataset: { n: 1 } }, "OK", node, null)
 *
 * Keys that begin with "on" are listeners; `dataset` and `style` are set by name; true gives an
 * empty attribute; false, null and undefined give none. Children that are false or null are left out.
 */
export function h(tag, attributes, ...children) {
  const node = document.createElement(tag);
  return fill(node, attributes, children);
}

const SVG = "http://www.w3.org/2000/svg";

export function svg(tag, attributes, ...children) {
  return fill(document.createElementNS(SVG, tag), attributes, children);
}

function fill(node, attributes, children) {
  for (const [key, value] of Object.entries(attributes ?? {})) {
    if (value === false || value === null || value === undefined) continue;
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else if (key === "dataset") Object.assign(node.dataset, value);
    else if (key === "style") for (const [name, set] of Object.entries(value)) node.style.setProperty(name, set);
    else node.setAttribute(key, value === true ? "" : String(value));
  }
  node.append(...flat(children));
  return node;
}

function flat(children) {
  return children.flat(Infinity).filter((one) => one !== null && one !== undefined && one !== false);
}

/** Puts these nodes in place of all that `root` holds. */
export function replace(root, ...nodes) {
  root.replaceChildren(...flat(nodes));
}
