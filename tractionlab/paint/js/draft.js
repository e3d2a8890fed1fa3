// Draft: what is typed and not yet confirmed, kept by the browser so that a reload loses nothing.
// The browser's own store serves even when the computation is gone.

export class Draft {
  /**
   * @param {string} name of the card, the note, the paper and whose it is; "" keeps nothing
   * @param {() => Storage} store `localStorage` outlives the window, `sessionStorage` does not;
   *   asked for each time, since a browser may refuse it
   */
  constructor(name, store = () => localStorage) {
    this.name = name && `tractionlab-draft ${name}`;
    this.store = store;
  }

  /** What was kept, or undefined. */
  read() {
    try {
      return JSON.parse(this.store().getItem(this.name)) ?? undefined;
    } catch {
      return undefined; // no store in a private window, or an entry that cannot be read
    }
  }

  keep(values) {
    if (!this.name) return;
    try {
      this.store().setItem(this.name, JSON.stringify(values));
    } catch { /* no store: the text lives as long as the page */ }
  }

  drop() {
    try {
      this.store().removeItem(this.name);
    } catch { /* nothing was kept */ }
  }
}
