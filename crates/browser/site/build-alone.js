// The one file: worker and engine stand in it as text.

export const hasServiceWorker = false;

/** @param {string} id */
function textOf(id) {
  const text = document.getElementById(id)?.textContent;
  if (!text) throw new Error(`this file is not whole: ${id} is missing; get it anew`);
  return text;
}

// Read at once, because the page is replaced by the first screen.
const worker = textOf("worker");
const packed = textOf("engine");

/** @type {Promise<ArrayBuffer> | undefined} */
let unpacked;

export async function newWorker() {
  const address = URL.createObjectURL(new Blob([worker], { type: "text/javascript" }));
  return new Worker(address, { type: "module", name: "Driftless" });
}

export async function wasm() {
  unpacked ??= unpack();
  return unpacked;
}

async function unpack() {
  const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).arrayBuffer();
}
