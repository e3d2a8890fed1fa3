// A candidate's page in the exam room: asks the server for its forms, shows them, and comes back by
// itself when the line or the machine was away.

import { packed, PROTOCOL, unpacked } from "./wire.js";
import { Forms, Model, withBuffers } from "./widgets.js";

/** Codes with which the server closes a line; milliseconds between two tries to come back. */
const ELSEWHERE = 4001, ENDED = 4002, TOO_FAST = 4003, AGAIN = 1000;

/** @type {HTMLElement} */
const head = document.querySelector(".tl-room-head");
const said = document.getElementById("line");
const place = document.getElementById("desk");

class Page {
  constructor(begun) {
    this.name = begun.line;
    this.view = begun.view;
    this.count = 0;
    this.control = `${begun.line}-control`;
    this.kernel = { status: "idle", connectionStatus: "connecting" };
    this.forms = new Forms();
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    this.line = new WebSocket(
      `${scheme}://${location.host}/line?session_id=${this.name}`,
      PROTOCOL,
    );
    this.line.binaryType = "arraybuffer";
    this.line.addEventListener("open", () => this.ask());
    this.line.addEventListener("message", ({ data }) => this.hear(data));
    this.line.addEventListener("close", ({ code }) => this.lost(code));
  }

  message(type, content, metadata = {}) {
    if (this.line.readyState !== WebSocket.OPEN) throw new Error("the line is closed");
    const header = {
      msg_id: `${this.name}_${this.count++}`,
      msg_type: type,
      session: this.name,
      username: "",
      version: "5.4",
      date: new Date().toISOString(),
    };
    this.line.send(packed("shell", [header, {}, metadata, content]));
  }

  send(id, data) {
    this.message("comm_msg", { comm_id: id, data });
  }

  /** The form of this number, as the module of another one asks for it. */
  async get_model(id) {
    return this.forms.model(id);
  }

  /** Ask the kernel for all its forms. */
  ask() {
    this.kernel.connectionStatus = "connected";
    const open = { comm_id: this.control, target_name: "jupyter.widget.control", data: {} };
    this.message("comm_open", open, { version: "1.0.0" });
    this.send(this.control, { method: "request_states" });
  }

  hear(data) {
    if (typeof data === "string") return this.finish();
    const { header, content, buffers } = unpacked(data);
    if (header.msg_type === "status") return this.hearStatus(content.execution_state);
    const id = content.comm_id;
    if (id === this.control) return this.layOut(content.data, buffers);
    if (header.msg_type === "comm_open") this.add(id, content.data, buffers);
    else if (header.msg_type === "comm_msg") this.forms.models.get(id)?.hear(content.data, buffers);
    else this.forms.models.delete(id);
  }

  hearStatus(state) {
    this.kernel.status = state;
    if (["starting", "restarting", "dead"].includes(state)) this.line.close();
  }

  add(id, { state, buffer_paths }, buffers) {
    this.forms.models.set(id, new Model(id, withBuffers(state, buffer_paths, buffers), this));
  }

  async layOut({ states, buffer_paths }, buffers) {
    withBuffers(states, buffer_paths, buffers);
    for (const [id, { state }] of Object.entries(states)) {
      this.add(id, { state, buffer_paths: [] }, []);
    }
    place.replaceChildren();
    await this.forms.show(this.view, place);
    said.textContent = "Connected";
    this.foldCover();
  }

  /** The cover page is open until the paper is begun. */
  foldCover() {
    const desk = [...this.forms.models.values()].find((model) => model.get("face")?.phase);
    const fold = () => {
      const cover = /** @type {HTMLDetailsElement} */ (document.getElementById("cover"));
      if (desk.get("face").phase !== "ready") cover.open = false;
    };
    desk?.on("change:face", fold);
    if (desk) fold();
  }

  /** The supervisor ends the sitting: what is being typed is sent, then the page closes. */
  finish() {
    said.textContent = "The sitting ends now";
    /** @type {HTMLElement} */ (document.activeElement)?.blur?.();
  }

  lost(code) {
    this.kernel.connectionStatus = "disconnected";
    if (code === ELSEWHERE) {
      said.textContent = "Your paper is open in another window. Close this one.";
      place.replaceChildren();
    } else if (code === ENDED) location.reload();
    else if (code === TOO_FAST) {
      said.textContent = "This page sent too much and was closed. Tell the supervisor, then load " +
        "it again (F5).";
    } else {
      said.textContent = "The line is lost. What you type is kept in this window \u2026";
      comeBack();
    }
  }
}

/** Try until the server is there again, then load the page afresh: what had no answer is sent
    again. */
async function comeBack() {
  const there = await fetch("/favicon.ico").then((answer) => answer.ok, () => false);
  if (there) location.reload();
  else setTimeout(comeBack, AGAIN);
}

async function begin() {
  said.textContent = "Connecting \u2026";
  try {
    const headers = { "X-XSRFToken": head.dataset.token };
    const answer = await fetch("/begin", { method: "POST", headers });
    const begun = await answer.json();
    if (begun.view) new Page(begun);
    else place.innerHTML = begun.words;
  } catch {
    said.textContent = "The machine does not answer yet \u2026";
    setTimeout(comeBack, AGAIN);
  }
}

begin();
