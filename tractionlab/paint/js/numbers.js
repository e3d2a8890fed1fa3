// Numbers: nice ticks, axes that do not flicker, reading a curve, writing a value.

export function niceStep(span, count) {
  const rough = span / Math.max(1, count);
  const power = 10 ** Math.floor(Math.log10(rough));
  const lead = rough / power;
  return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
}

export function ticksBetween(low, high, count) {
  const step = niceStep(high - low, count);
  const ticks = [];
  for (let i = Math.ceil(low / step - 1e-9); i * step <= high + step * 1e-9; i++) {
    ticks.push(i * step);
  }
  return { ticks, digits: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
}

export function inWords(value, digits) {
  if (!Number.isFinite(value)) return "";
  const text = value.toFixed(digits);
  return (Number(text) === 0 ? text.replace("-", "") : text).replace("-", "\u2212");
}

export function digitsFor(span) {
  return Math.max(0, Math.min(4, 2 - Math.floor(Math.log10(span || 1))));
}

// An axis range that grows at once and shrinks only when it has become much too large.
export class SteadyRange {
  constructor() {
    this.low = null;
  }

  // Where it holds, for runs to be compared, it never shrinks.
  follow(low, high, hold = false) {
    if (!Number.isFinite(low) || !Number.isFinite(high)) [low, high] = [0, 1];
    if (hold && this.low !== null) {
      [low, high] = [Math.min(low, this.low), Math.max(high, this.high)];
    }
    if (high - low < 1e-9) [low, high] = [low - 0.5, high + 0.5];
    const inside = this.low !== null && low >= this.low && high <= this.high;
    if (inside && high - low > 0.4 * (this.high - this.low)) return this;
    if (low > 0 && low < 0.5 * high) low = 0;
    const step = niceStep(high - low, 4);
    const room = 0.03 * (high - low);
    this.low = Math.floor((low < 0 ? low - room : low) / step + 1e-6) * step;
    this.high = Math.ceil((high > 0 ? high + room : high) / step - 1e-6) * step;
    return this;
  }

  cover(low, high) {
    return this.low === null
      ? this.fix(low, high)
      : this.fix(Math.min(low, this.low), Math.max(high, this.high));
  }

  fix(low, high) {
    this.low = low;
    this.high = high;
    return this;
  }
}

export function extremes(arrays) {
  let low = Infinity, high = -Infinity;
  for (const array of arrays) {
    for (const v of array) {
      if (v < low) low = v;
      if (v > high) high = v;
    }
  }
  return [low, high];
}

// Index of the last entry of rising `x` that is not after `at`, at most n - 2; and how far on to
// the next (0..1).
export function placeIn(x, at) {
  let left = 0, right = x.length - 1;
  while (right - left > 1) {
    const middle = (left + right) >> 1;
    if (x[middle] <= at) left = middle;
    else right = middle;
  }
  const width = x[right] - x[left];
  return {
    i: left,
    next: right,
    part: width > 0 ? Math.max(0, Math.min(1, (at - x[left]) / width)) : 0,
  };
}

export function rises(x) {
  for (let i = 1; i < x.length; i++) if (x[i] < x[i - 1]) return false;
  return x.length > 0;
}

export function valueAt(line, at) {
  if (!line.rising || at < line.x[0] || at > line.x[line.x.length - 1]) return NaN;
  const { i, next, part } = placeIn(line.x, at);
  return line.y[i] * (1 - part) + line.y[next] * part;
}
