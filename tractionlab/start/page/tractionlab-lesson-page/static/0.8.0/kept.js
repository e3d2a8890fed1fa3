// What the page keeps in the browser's own store: choices of the person, the place in a lesson.

const CHOICES = "tractionlab-page";

/** @param {string} name @returns {any} */
function read(name) {
  try {
    return JSON.parse(localStorage.getItem(name)) ?? {};
  } catch {
    return {}; // no store in a private window, or an entry that cannot be read
  }
}

/** @param {string} name @param {Object<string, any>} values */
function write(name, values) {
  try {
    localStorage.setItem(name, JSON.stringify(values));
  } catch { /* no store: the choice lives as long as the page */ }
}

/** Choices of the person: `tools` (all of Jupyter is shown), `size` (per cent). */
export const choices = () => read(CHOICES);

/** @param {Object<string, any>} more */
export const choose = (more) => write(CHOICES, { ...choices(), ...more });

/** Where somebody stood in a notebook: `cell` (its id) and `below` its upper edge, in pixels. */
export const placeIn = (path) => read(`tractionlab-place ${path}`);

export const keepPlace = (path, place) => write(`tractionlab-place ${path}`, place);

/** What was done in the tasks of a notebook: { id of the panel's cell: { at, done, saw } }. */
export const tasksIn = (path) => read(`tractionlab-tasks ${path}`);

export const keepTasks = (path, cell, state) =>
  write(`tractionlab-tasks ${path}`, { ...tasksIn(path), [cell]: state });
