// What the host and its worker say to each other; types alone.

/** @typedef {"lasting" | "memory"} Place */
/** @typedef {{name: string, fileName?: string, bytes: Uint8Array}} Part */
/** @typedef {{words: string, action?: string, label?: string}} Notice */
/** @typedef {{status: number, type: string, location?: string, download?: string, body: Uint8Array}} Response */
/** @typedef {Error & {code: string, said: string, image?: Uint8Array}} Refused */

/**
 * @typedef {{what: "start", place: Place, image?: Uint8Array, wasm?: ArrayBuffer}
 *   | {what: "remove", wasm?: ArrayBuffer}
 *   | {what: "request", id: number, method: string, path: string, query: [string, string][], parts: Part[], notices: Notice[]}
 * } ToWorker
 */

/**
 * @typedef {{what: "ready"}
 *   | {what: "refused", code: string, words: string, said: string, image?: Uint8Array}
 *   | {what: "progress", id: number, words: string}
 *   | {what: "answer", id: number, response: Response, image?: Uint8Array}
 *   | {what: "failed", words: string}
 * } FromWorker
 */

export {};
