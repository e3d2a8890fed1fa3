// One press chooses the whole class; nothing is deleted by it.

document.querySelector("#all")?.addEventListener("click", () => {
  for (const box of document.querySelectorAll("input[type=checkbox]")) {
    /** @type {HTMLInputElement} */ (box).checked = true;
  }
});
