// Messages between a page and the kernel behind its forms, as bytes: the number of offsets, the
// offsets, the channel, header, parent, metadata and content as JSON, then buffers (Jupyter's
// protocol v1 for web sockets, little-endian 64-bit integers).

export const PROTOCOL = "v1.kernel.websocket.jupyter.org";

/**
 * @param {string} channel
 * @param {any[]} parts header, parent, metadata and content
 */
export function packed(channel, parts) {
  const text = new TextEncoder();
  const pieces = [channel, ...parts.map((part) => JSON.stringify(part))].map((piece) =>
    text.encode(piece)
  );
  let at = 8 * (pieces.length + 2);
  const offsets = [at, ...pieces.map((piece) => at += piece.length)];
  const message = new Uint8Array(at), view = new DataView(message.buffer);
  view.setBigUint64(0, BigInt(offsets.length), true);
  offsets.forEach((offset, i) => view.setBigUint64(8 * (i + 1), BigInt(offset), true));
  pieces.forEach((piece, i) => message.set(piece, offsets[i]));
  return message;
}

/** @param {ArrayBuffer} message */
export function unpacked(message) {
  const view = new DataView(message);
  const number = (i) => Number(view.getBigUint64(8 * i, true));
  const offsets = Array.from({ length: number(0) }, (_, i) => number(i + 1));
  const piece = (i) => new DataView(message, offsets[i], offsets[i + 1] - offsets[i]);
  const text = new TextDecoder(), json = (i) => JSON.parse(text.decode(piece(i)));
  const buffers = Array.from({ length: offsets.length - 6 }, (_, i) => piece(i + 5));
  return { header: json(1), parent: json(2), content: json(4), buffers };
}
