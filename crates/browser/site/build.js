// What differs between the folder and the one file: where the worker and the engine come from. This is the folder;
// build-alone.js stands in its place in the one file.

/** Whether this build has a service worker beside it. */
export const hasServiceWorker = true;

export function newWorker() {
  return new Worker(new URL("./worker.js", import.meta.url), { type: "module", name: "Driftless" });
}

/** @returns {Promise<ArrayBuffer | undefined>} the engine, where the worker cannot fetch it by itself */
export async function wasm() {
  return undefined;
}
