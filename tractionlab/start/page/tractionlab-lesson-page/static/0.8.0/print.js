// Fingerprint of what is written in a notebook's cells, the same as start/own_notebooks.py makes:
// SHA-256 of a list of [kind, source] as JSON. Written out here since a browser hands its own
// SHA-256 only to pages of this machine or with a certificate, not to a class room's network.

/** @param {number} value @param {number} by */
const turn = (value, by) => (value >>> by) | (value << (32 - by));

/** First 32 bits behind the point of the square or cube roots of the first primes (FIPS 180-4). */
function constants() {
  const primes = [];
  for (let n = 2; primes.length < 64; n++) if (primes.every((prime) => n % prime)) primes.push(n);
  const bits = (root) => Math.floor((root % 1) * 2 ** 32);
  return [
    Uint32Array.from(primes.slice(0, 8), (prime) => bits(Math.sqrt(prime))),
    Uint32Array.from(primes, (prime) => bits(Math.cbrt(prime))),
  ];
}

/** SHA-256 of a text in UTF-8, as 64 hexadecimal digits. @param {string} text */
export function sha256(text) {
  const bytes = new TextEncoder().encode(text);
  const padded = new Uint8Array(((bytes.length + 8 >> 6) + 1) << 6);
  padded.set(bytes);
  padded[bytes.length] = 0x80;
  const words = new DataView(padded.buffer);
  words.setBigUint64(padded.length - 8, BigInt(bytes.length) * 8n);
  const [state, table] = constants(), w = new Uint32Array(64);
  for (let start = 0; start < padded.length; start += 64) {
    for (let i = 0; i < 64; i++) {
      if (i < 16) {
        w[i] = words.getUint32(start + 4 * i);
        continue;
      }
      const early = w[i - 15], late = w[i - 2];
      w[i] = w[i - 16] + w[i - 7] + (turn(early, 7) ^ turn(early, 18) ^ (early >>> 3)) +
        (turn(late, 17) ^ turn(late, 19) ^ (late >>> 10));
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let i = 0; i < 64; i++) {
      const one = h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + table[i] +
        w[i];
      const two = (turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
      [a, b, c, d, e, f, g, h] = [(one + two) | 0, a, b, c, (d + one) | 0, e, f, g];
    }
    [a, b, c, d, e, f, g, h].forEach((value, i) => state[i] += value);
  }
  return [...state].map((value) => value.toString(16).padStart(8, "0")).join("");
}

/** Fingerprint of the cells of an open notebook. @param {any} content its `panel.content` */
export function printOf(content) {
  const cells = content.widgets.map(({ model }) => [model.type, model.sharedModel.getSource()]);
  return sha256(JSON.stringify(cells));
}
