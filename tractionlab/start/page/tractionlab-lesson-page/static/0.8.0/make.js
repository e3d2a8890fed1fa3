// Makes elements of the page.

/**
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Object<string, string>} attributes
 * @param {...(Node | string)} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function make(tag, attributes, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
}
