// Makes elements of the page, and changes a text only when it is another one, so that nothing is
// read out twice.

/**
 * An element; `true` stands for an attribute without a value, false and null leave it out.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Object<string, any>} attributes
 * @param {...(Node | string)} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) node.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) {
      node.setAttribute(name, value);
    }
  }
  node.append(...children);
  return node;
}

/**
 * Where a text is there it gets other letters and stays in its place: a new one would make the
 * browser look through the whole page for rules with `:has()` (8 ms in a lesson, against 0.3).
 * @param {Node} node @param {string} text
 */
export function say(node, text) {
  if (node.textContent === text) return;
  const [only, ...more] = node.childNodes;
  if (text && only instanceof Text && !more.length) only.data = text;
  else node.textContent = text;
}

let nameCount = 0;

/**
 * A name that no other element of the page has: each widget loads these lines for itself, so
 * counting alone would give the same names again.
 */
export const freshName = () => `tl-${Math.random().toString(36).slice(2, 8)}-${++nameCount}`;
