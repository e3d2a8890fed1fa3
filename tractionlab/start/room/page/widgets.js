// The forms on a page: a model for each widget of the kernel, and how boxes, texts and the course's
// own widgets are shown.

/** Puts buffers into a state, each at its path. */
export function withBuffers(state, paths = [], buffers = []) {
  paths.forEach((path, i) => {
    const inner = path.slice(0, -1).reduce((at, name) => at[name], state);
    inner[path.at(-1)] = buffers[i];
  });
  return state;
}

export class Model {
  /**
   * @param {string} id
   * @param {Object<string, any>} state
   * @param {{send: (id: string, data: object) => void, kernel: object}} room
   */
  constructor(id, state, room) {
    this.id = id;
    this.state = state;
    this.room = room;
    this.widget_manager = room;
    this.changed = {};
    this.heard = new Map();
  }

  get(name) {
    return this.state[name];
  }

  set(name, value) {
    this.state[name] = this.changed[name] = value;
  }

  save_changes() {
    const state = this.changed;
    this.changed = {};
    this.room.send(this.id, { method: "update", state, buffer_paths: [] });
  }

  send(content) {
    this.room.send(this.id, { method: "custom", content });
  }

  on(event, act) {
    this.heard.set(event, [...(this.heard.get(event) ?? []), act]);
  }

  off(event, act) {
    this.heard.set(event, (this.heard.get(event) ?? []).filter((one) => act && one !== act));
  }

  tell(event, ...said) {
    for (const act of this.heard.get(event) ?? []) act(...said);
  }

  /** What the kernel says of this widget. */
  hear(data, buffers) {
    if (data.method === "custom") this.tell("msg:custom", data.content, buffers);
    if (data.method !== "update") return;
    Object.assign(this.state, withBuffers(data.state, data.buffer_paths, buffers));
    for (const name of Object.keys(data.state)) this.tell(`change:${name}`);
    this.tell("change");
  }
}

const loaded = new Map();

/** The module of a widget, loaded once for all that have the same. */
function moduleOf(source) {
  if (!loaded.has(source)) {
    const address = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
    loaded.set(source, import(address).then((module) => module.default));
  }
  return loaded.get(source);
}

export class Forms {
  constructor() {
    this.models = new Map();
  }

  model(reference) {
    return this.models.get(reference.replace("IPY_MODEL_", ""));
  }

  /**
   * Shows a widget in `place`, and goes on doing so.
   * @param {HTMLElement} place
   */
  async show(id, place) {
    const model = this.model(id);
    const kind = model.get("_model_name");
    if (kind === "VBoxModel") return this.showBox(model, place);
    if (kind === "HTMLModel") return this.showText(model, place);
    const widget = await moduleOf(model.get("_esm"));
    const end = await widget.render({ model, el: place });
    place.addEventListener("tl-away", () => end?.(), { once: true });
  }

  showText(model, place) {
    const show = () => place.innerHTML = model.get("value");
    model.on("change:value", show);
    show();
  }

  async showBox(model, place) {
    place.classList.add("tl-box");
    const layout = model.get("layout") && this.model(model.get("layout"));
    const fold = () => place.hidden = layout?.get("display") === "none";
    layout?.on("change:display", fold);
    fold();
    let shown = [];
    const fill = async () => {
      for (const old of shown) leave(old);
      shown = model.get("children").map(() => document.createElement("div"));
      place.replaceChildren(...shown);
      await Promise.all(model.get("children").map((child, i) => this.show(child, shown[i])));
    };
    model.on("change:children", fill);
    await fill();
  }
}

/** Tells everything inside that it is no longer shown. */
function leave(node) {
  for (const one of [node, ...node.querySelectorAll("div")]) {
    one.dispatchEvent(new CustomEvent("tl-away"));
  }
}
