// Look: colours, dashes and pipe styles, the same as in the package's view (a test compares
// them).

export const COLOURS = ["#000000", "#0072B2", "#D55E00", "#009E73", "#CC79A7"];
export const DASHES = [[], [8, 4], [2, 3], [10, 3, 2, 3], [14, 5]];

/** Colour of the lines of kept runs. */
export const PALE = "#808080";

/**
 * A pressure [bar] from which a pipe is drawn in the next style, and the style in words.
 * @type {[number, string][]}
 */
export const PIPE_STEPS = [
  [0.5, "no pressure"],
  [20, "under 20 bar"],
  [80, "20 to 80 bar"],
  [Infinity, "over 80 bar"],
];

/**
 * Per style: line width and dashes in pixels.
 * @type {[number, number[]][]}
 */
export const PIPE_LOOKS = [[1, [4, 4]], [1.4, []], [3, []], [5, []]];
