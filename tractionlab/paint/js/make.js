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
