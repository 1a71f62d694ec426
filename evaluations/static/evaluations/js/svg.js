// Parts of a drawing.

export function element(name, attributes, ...inside) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  set(made, attributes);
  made.append(...inside);
  return made;
}

export function set(node, attributes) {
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
}
