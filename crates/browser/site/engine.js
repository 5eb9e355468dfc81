// A worker with the engine in it: started, asked, ended.

import { newWorker, wasm } from "./build.js";

/** @typedef {import("./messages.js").ToWorker} ToWorker */
/** @typedef {import("./messages.js").FromWorker} FromWorker */
/** @typedef {import("./messages.js").Place} Place */
/** @typedef {import("./messages.js").Response} Response */
/** @typedef {Omit<Extract<ToWorker, {what: "request"}>, "what" | "id">} Asked */

let lastId = 0;

export class Engine {
  /**
   * @param {Worker} worker
   * @param {Place} place
   */
  constructor(worker, place) {
    this.worker = worker;
    this.place = place;
  }

  /**
   * Starts a worker and opens the logbook.
   *
   * @param {Place} place
   * @param {Uint8Array} [image] what a logbook in memory held before
   * @returns {Promise<Engine | {code: string, words: string, said: string, image?: Uint8Array}>} the engine, or why there is none
   */
  static async start(place, image) {
    // Between making a worker and listening to it nothing is waited for, so that no fault of it is missed.
    const bytes = await wasm();
    const worker = newWorker();
    const message = await tell(worker, { what: "start", place, image, wasm: bytes });
    if (message.what === "ready") return new Engine(worker, place);
    worker.terminate();
    if (message.what === "refused") return message;
    throw new Error(`unexpected answer: ${message.what}`);
  }

  /** Removes the logbook that is kept in this browser. */
  static async removeLogbook() {
    const bytes = await wasm();
    const worker = newWorker();
    try {
      await tell(worker, { what: "remove", wasm: bytes });
    } finally {
      worker.terminate();
    }
  }

  /**
   * @param {Asked} asked
   * @param {(words: string) => void} onProgress
   * @param {AbortSignal} [signal]
   * @returns {Promise<{response: Response, image?: Uint8Array}>} rejected when the worker is gone, by a fault or by the signal
   */
  async ask(asked, onProgress, signal) {
    const id = (lastId += 1);
    const stop = new Promise((_, reject) => {
      signal?.addEventListener("abort", () => reject(signal.reason), { once: true });
    });
    try {
      const message = await Promise.race([tell(this.worker, { what: "request", id, ...asked }, onProgress), stop]);
      if (message.what !== "answer") throw new Error(`unexpected answer: ${message.what}`);
      return message;
    } catch (error) {
      this.end();
      throw error;
    }
  }

  /** Ends the worker at once. */
  end() {
    this.worker.terminate();
  }
}

/**
 * Sends a message and waits for what is no word of progress.
 *
 * @param {Worker} worker
 * @param {ToWorker} message
 * @param {(words: string) => void} [onProgress]
 * @returns {Promise<FromWorker>} rejected when the worker says that it failed, or cannot be loaded
 */
function tell(worker, message, onProgress) {
  return new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => {
      const said = /** @type {FromWorker} */ (data);
      if (said.what === "progress") onProgress?.(said.words);
      else if (said.what === "failed") reject(new Error(said.words));
      else resolve(said);
    };
    worker.onmessageerror = () => reject(new Error("the answer of the engine could not be read"));
    worker.onerror = (event) => {
      event.preventDefault();
      reject(new Error(event.message || "the engine could not be loaded"));
    };
    worker.postMessage(message);
  });
}
