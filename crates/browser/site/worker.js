// The worker: holds the engine and the logbook, and answers one request after the other.
//
// The host (host.js) sends a message and waits for the answer before it sends the next one. Whoever ends this worker ends
// what it is doing; a change that was not finished is taken back when the logbook is opened again.

import load, { last_panic, remove_logbook, start } from "./driftless_browser.js";

/** @typedef {import("./messages.js").ToWorker} ToWorker */
/** @typedef {import("./messages.js").FromWorker} FromWorker */

/** @type {import("./driftless_browser.js").Engine | null} */
let engine = null;

/**
 * @param {FromWorker} message
 * @param {Transferable[]} [handedOver]
 */
function say(message, handedOver = []) {
  self.postMessage(message, { transfer: handedOver });
}

/** @param {Uint8Array | undefined} bytes */
const owned = (bytes) => (bytes ? [bytes.buffer] : []);

/** @param {Extract<ToWorker, {what: "start"}>} message */
async function open({ place, image, wasm }) {
  await load({ module_or_path: wasm ?? new URL("driftless_browser_bg.wasm", import.meta.url) });
  try {
    engine = await start(place, image);
    say({ what: "ready" });
  } catch (error) {
    const { code, message, said, image: bytes } = /** @type {import("./messages.js").Refused} */ (error);
    if (!code) throw error;
    say({ what: "refused", code, words: message, said, image: bytes }, owned(bytes));
  }
}

/** @param {Extract<ToWorker, {what: "request"}>} message */
function answer({ id, method, path, query, parts, notices }) {
  if (!engine) throw new Error("asked before the logbook was open");
  const response = /** @type {import("./messages.js").Response & {body: Uint8Array<ArrayBuffer>}} */ (engine.handle(method, path, query, parts, Date.now(), notices, (/** @type {string} */ words) =>
    say({ what: "progress", id, words }),
  ));
  const image = method === "POST" ? engine.image() : undefined;
  say({ what: "answer", id, response, image }, [response.body.buffer, ...owned(image)]);
}

/** @param {unknown} error */
function inWords(error) {
  let panic = "";
  try {
    panic = last_panic();
  } catch {
    // The module was not loaded, so that it has nothing to say.
  }
  return panic || (error instanceof Error ? error.message : String(error));
}

self.onmessage = async ({ data }) => {
  const message = /** @type {ToWorker} */ (data);
  try {
    if (message.what === "start") await open(message);
    else if (message.what === "remove") {
      await load({ module_or_path: message.wasm ?? new URL("driftless_browser_bg.wasm", import.meta.url) });
      await remove_logbook();
      say({ what: "ready" });
    } else answer(message);
  } catch (error) {
    say({ what: "failed", words: inWords(error) });
  }
};
