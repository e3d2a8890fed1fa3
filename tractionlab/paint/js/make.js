// Makes elements of the page, and changes a text only when it is another one, so that nothing is read out twice. Every script begins with this piece.
function make(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) node.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(name, value);
  }
  node.append(...children);
  return node;
}

function say(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

// A name that no other element of the page has: each widget loads these lines for itself, so counting alone would give the same names again.
let nameCount = 0;
const freshName = () => `tl-${Math.random().toString(36).slice(2, 8)}-${++nameCount}`;

// What is typed into `box` stays in this window of the browser, for a reload or a new start. Gives what to call after a script has changed the box.
function keepDraft(box, name) {
  const key = `tractionlab ${name}`;
  const keep = () => { try { sessionStorage.setItem(key, box.value); } catch { /* private mode */ } };
  try { box.value = sessionStorage.getItem(key) ?? ""; } catch { /* private mode */ }
  box.addEventListener("input", keep);
  return keep;
}
