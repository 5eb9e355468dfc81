// The host of the page in a browser: answers requests by the engine in a worker, with the logbook that this browser keeps.
//
// There is no server: nothing that is asked here leaves the machine. page.js calls `request` and shows what it gets.

import { Engine } from "./engine.js";
import { askOthersToLetGo, letGo, onAskedToLetGo, takeLock } from "./lock.js";
import * as pages from "./pages.js";
import { updateNow, watchForUpdates } from "./updates.js";

/** @typedef {import("./messages.js").Notice} Notice */
/** @typedef {{name: string, fileName?: string, bytes: Uint8Array | Blob}} Part */
/** @typedef {{status: number, type: string, location: string | null, download: string | null, body: Uint8Array}} Answer */
/** @typedef {{code: string, words: string, said: string, image?: Uint8Array}} Refusal */

/** Whether addresses of the app are those of the browser; otherwise they stand behind the `#`. */
export const ownAddresses = false;

/** Paths that this host answers by itself. */
const OWN = "/in-this-browser/";
/** How long another tab that is just being closed is waited for, in milliseconds. (Engineering judgement.) */
const PATIENCE_MS = 1000;
/** How long the files of a worker that was just ended are waited for, in milliseconds. (Engineering judgement.) */
const FILES_PATIENCE_MS = 5000;

/** @type {Promise<Engine | Refusal> | null} */
let opened = null;
/** Whether this tab works in memory, by choice or because nothing else is possible; then it stays so. */
let inMemoryFromNow = false;
/** @type {Uint8Array | undefined} What a logbook in memory held after the last change. */
let image;
/** @type {Notice | null} Why the logbook is in memory. */
let memoryNotice = null;
/** @type {Notice | null} */
let updateNotice = null;
let askedToPersist = false;
/** @type {Promise<unknown>} The request before; one is answered after the other. */
let before = Promise.resolve();

watchForUpdates(() => {
  updateNotice = { words: "A new version of Driftless is ready.", action: OWN + "update", label: "Use the new version" };
});
onAskedToLetGo(async () => {
  const engine = await opened;
  if (!(engine instanceof Engine) || engine.place !== "lasting") return;
  engine.end();
  letGo();
  // This tab asks again, is told that the logbook is open elsewhere, and says so.
  location.reload();
});

/**
 * Answers a request; follows where the answer leads.
 *
 * @param {string} method "GET" or "POST"
 * @param {string} path below the root
 * @param {[string, string][]} query
 * @param {Part[]} parts fields and files of a form
 * @param {(words: string) => void} onProgress
 * @param {AbortSignal} [signal] ends the worker, which is the only way to stop it; a change that is not finished is taken back
 * @returns {Promise<Answer>}
 */
export function request(method, path, query, parts, onProgress, signal) {
  const answered = before.then(async () => {
    signal?.throwIfAborted();
    const bytes = await Promise.all(parts.map(withBytes));
    return follow(await once(method, path, query, bytes, onProgress, signal), onProgress, signal);
  });
  before = answered.catch(() => {});
  return answered;
}

/** @param {Part} part */
async function withBytes(part) {
  const { name, fileName, bytes } = part;
  return { name, fileName, bytes: bytes instanceof Blob ? new Uint8Array(await bytes.arrayBuffer()) : bytes };
}

/**
 * @param {Answer} answer
 * @param {(words: string) => void} onProgress
 * @param {AbortSignal} [signal]
 */
async function follow(answer, onProgress, signal) {
  let location = null;
  for (let steps = 0; answer.status === 303 && answer.location !== null && steps < 5; steps += 1) {
    const to = new URL(answer.location, "http://driftless.invalid/");
    location = to.pathname + to.search;
    answer = await once("GET", decodeURIComponent(to.pathname), [...to.searchParams], [], onProgress, signal);
  }
  return { ...answer, location };
}

/**
 * @param {string} method
 * @param {string} path
 * @param {[string, string][]} query
 * @param {{name: string, fileName?: string, bytes: Uint8Array}[]} parts
 * @param {(words: string) => void} onProgress
 * @param {AbortSignal} [signal]
 * @returns {Promise<Answer>}
 */
async function once(method, path, query, parts, onProgress, signal) {
  if (path.startsWith(OWN)) return own(path.slice(OWN.length), parts);
  if (!opened) onProgress("Opening the logbook");
  /** @type {Engine | Refusal} */
  let engine;
  try {
    engine = await (opened ??= open());
  } catch (error) {
    // Not kept: with the network or memory back, the next request may go better.
    opened = null;
    return pages.notLoaded(error instanceof Error ? error.message : String(error));
  }
  if (!(engine instanceof Engine)) return pages.refused(engine);
  try {
    const answer = await engine.ask({ method, path, query, parts, notices: notices() }, onProgress, signal);
    if (method === "POST") await keep(engine, answer.image);
    const { status, type, location, download, body } = answer.response;
    return { status, type, location: location ?? null, download: download ?? null, body };
  } catch (error) {
    // The worker is gone, by a fault or because it was told to stop; the next request starts another one.
    opened = null;
    if (signal?.aborted) throw signal.reason;
    return pages.stopped(error instanceof Error ? error.message : String(error));
  }
}

/** @returns {Notice[]} */
function notices() {
  return [memoryNotice, updateNotice].filter((notice) => notice !== null);
}

/**
 * @param {Engine} engine
 * @param {Uint8Array | undefined} newImage
 */
async function keep(engine, newImage) {
  if (newImage) image = newImage;
  if (engine.place === "lasting" && !askedToPersist) {
    askedToPersist = true;
    // Without this a browser that runs short of room may remove the logbook; it decides, with or without asking.
    await navigator.storage?.persist?.().catch(() => false);
  }
}

/** @returns {Promise<Engine | Refusal>} */
async function open() {
  if (inMemoryFromNow) return Engine.start("memory", image);
  if (!(await takeLock(PATIENCE_MS))) return refusalInUse();
  const until = Date.now() + FILES_PATIENCE_MS;
  for (;;) {
    const started = await Engine.start("lasting");
    if (started instanceof Engine) return started;
    if (started.code === "in-use" && Date.now() < until) {
      await new Promise((go) => setTimeout(go, 100));
    } else if (started.code === "no-place" || started.code === "full") {
      letGo();
      memoryNotice = { words: started.words };
      inMemoryFromNow = true;
      return Engine.start("memory", image);
    } else {
      letGo();
      return started;
    }
  }
}

/** @returns {Refusal} */
function refusalInUse() {
  return { code: "in-use", words: "", said: "" };
}

/**
 * @param {string} what
 * @param {{name: string, bytes: Uint8Array}[]} parts
 * @returns {Promise<Answer>}
 */
async function own(what, parts) {
  const refusal = await Promise.resolve(opened).catch(() => null);
  const refused = refusal && !(refusal instanceof Engine) ? refusal : null;
  if (what === "update") {
    updateNow();
  } else if (what === "open-here" && refused) {
    askOthersToLetGo();
    if (!(await takeLock(3 * PATIENCE_MS))) return pages.noAnswer();
    opened = null;
  } else if (what === "memory" && refused) {
    inMemoryFromNow = true;
    memoryNotice = { words: pages.memoryWords(refused.code) };
    opened = null;
  } else if (what === "logbook-file" && refused?.image) {
    return { status: 200, type: "application/octet-stream", location: null, download: "logbook.sqlite", body: refused.image };
  } else if (what === "remove" && refused?.code === "unreadable") {
    if (!parts.some(({ name }) => name === "sure")) return pages.refused(refused);
    await Engine.removeLogbook();
    opened = null;
  }
  return { status: 303, type: "text/html; charset=utf-8", location: "/", download: null, body: new Uint8Array() };
}
