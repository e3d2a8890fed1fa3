// Draft: what is typed into a card and not yet checked, kept in this browser so that a reload loses nothing. The browser's own
// store serves even when the computation is gone; it holds one entry for each card of each learner.

class Draft {
  constructor(name) {
    this.name = name && `tractionlab-draft ${name}`;
  }

  read() {
    try {
      return JSON.parse(localStorage.getItem(this.name)) ?? {};
    } catch {
      return {};   // no store in a private window, or an entry that cannot be read
    }
  }

  keep(values) {
    if (!this.name) return;
    try {
      localStorage.setItem(this.name, JSON.stringify(values));
    } catch { /* no store: the text lives as long as the page */ }
  }

  drop() {
    try {
      localStorage.removeItem(this.name);
    } catch { /* nothing was kept */ }
  }
}
