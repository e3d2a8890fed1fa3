// All that a panel or a card brings with it: finds its module in the page, or loads it from the
// text that the kernel has, once for all that have the same.

const name = "MODULE"; // put in for each module (shared_module.py)

async function load(model) {
  const number = model.get("module_text").replace("IPY_MODEL_", "");
  const text = (await model.widget_manager.get_model(number)).get("text");
  const address = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
  const module = await import(address);
  URL.revokeObjectURL(address);
  return module.default;
}

async function render(shown) {
  const known = globalThis.tractionlabModules ??= new Map();
  if (!known.has(name)) {
    const coming = load(shown.model);
    coming.catch(() => known.delete(name));
    known.set(name, coming);
  }
  return (await known.get(name)).render(shown);
}

export default { render };
