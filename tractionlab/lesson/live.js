// A page that changes in place: only the words that are new are changed, so focus and what the
// reader unfolded stay as they are.

import { make } from "../paint/js/make.js";

export function patch(old, fresh) {
  const alike = old.nodeName === fresh.nodeName &&
    old.childNodes.length === fresh.childNodes.length;
  if (!alike) return old.replaceWith(fresh);
  if (old.nodeType === Node.TEXT_NODE && old.data !== fresh.data) old.data = fresh.data;
  if (old.nodeType === Node.ELEMENT_NODE) {
    for (const { name, value } of fresh.attributes) {
      if (old.getAttribute(name) !== value) old.setAttribute(name, value);
    }
    for (const { name } of [...old.attributes]) {
      if (name !== "open" && !fresh.hasAttribute(name)) old.removeAttribute(name);
    }
  }
  // Taken first: a child that replaces an old one leaves its list.
  const others = [...fresh.childNodes];
  [...old.childNodes].forEach((child, i) => patch(child, others[i]));
}

function render({ model, el }) {
  const root = make("div", { class: "tl-live" });
  const show = () => {
    const fresh = make("div", { class: "tl-live" });
    fresh.innerHTML = model.get("html");
    patch(root, fresh);
  };
  root.innerHTML = model.get("html");
  el.append(root);
  model.on("change:html", show);
  return () => model.off("change:html", show);
}

export default { render };
