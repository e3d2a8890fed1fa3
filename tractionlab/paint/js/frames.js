// Frames: which frame of a rising row of times is meant, and a value between two of them.

/** @param {ArrayLike<number>} times rising @param {number} time */
export function frameBefore(times, time) {
  let low = 0, high = times.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (times[middle] <= time) low = middle;
    else high = middle;
  }
  return time >= times[high] ? high : low;
}

/** Frame nearest to `time`. @param {ArrayLike<number>} times @param {number} time */
export function frameNear(times, time) {
  const i = frameBefore(times, time), next = Math.min(i + 1, times.length - 1);
  return time - times[i] > times[next] - time ? next : i;
}

/**
 * Value at `x` of a curve through points with rising `xs`; the ends go on level.
 * @param {ArrayLike<number>} xs @param {ArrayLike<number>} ys @param {number} x
 */
export function between(xs, ys, x) {
  const i = frameBefore(xs, x), next = Math.min(i + 1, xs.length - 1);
  if (next === i || x <= xs[i]) return ys[i];
  return ys[i] + (ys[next] - ys[i]) * (x - xs[i]) / (xs[next] - xs[i]);
}
