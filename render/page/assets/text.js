// Small helpers: elements made without a line of markup, and figures put as the sketch puts them.

const SVG = "http://www.w3.org/2000/svg";

// el makes an element of the page. What comes from a sketch goes in as text only.
export function el(name, attributes = {}, ...children) {
  return fill(document.createElement(name), attributes, children);
}

// draw makes an element of a drawing.
export function draw(name, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG, name), attributes, children);
}

function fill(node, attributes, children) {
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else if (value !== undefined && value !== false) node.setAttribute(key, value === true ? "" : value);
  }
  node.append(...children.filter((c) => c !== undefined && c !== null));
  return node;
}

// byId is an element of the page.
export const byId = (id) => document.getElementById(id);

// lengthText is a length, mm, in the unit of the sketch, with its usual decimals.
export function lengthText(scene, mm) {
  if (mm === null || Number.isNaN(mm)) return "–";
  return numberText(mm / scene.perUnit, scene.decimals);
}

// numberText is a number with so many decimals. Half of the last place is rounded up, as people do and as the other answers are.
export function numberText(v, decimals = 4) {
  const ten = 10 ** decimals;
  const text = (Math.sign(v) * Math.round(Math.abs(v) * ten + 1e-6) / ten).toFixed(decimals);
  return /^-0\.?0*$/.test(text) ? text.slice(1) : text;
}

// angleText is an angle of the turn with at most so many decimals, without empty ones.
export function angleText(degrees, decimals = 2) {
  const text = numberText(degrees, decimals);
  return (text.includes(".") ? text.replace(/\.?0+$/, "") : text) + "°";
}

// travelText is where a travel stands. A stop has the words of the sketch.
export function travelText(scene, i, value) {
  const t = scene.travels[i];
  const stop = t.stops.findIndex((s) => Math.abs(s - value) < 1e-9);
  if (stop >= 0) return t.labels[stop];
  if (t.kind === "angle") return angleText((value * 180) / Math.PI);
  return t.kind === "length" ? lengthText(scene, value) : numberText(value);
}

// within keeps a number between two others.
export const within = (x, low, high) => Math.min(Math.max(x, low), high);

// calm is whether whoever reads has asked for little motion.
export const calm = () => matchMedia("(prefers-reduced-motion: reduce)").matches;
