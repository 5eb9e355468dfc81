// @ts-check
/** The host of this page is the program `driftless serve`: requests go to where the page came from. */

/** @typedef {{name: string, fileName?: string, bytes: Uint8Array | Blob}} Part */
/** @typedef {{status: number, type: string, location: string | null, download: string | null, body: Uint8Array}} Answer */

/** Whether addresses of the app are those of the browser; otherwise they stand behind the `#`. */
export const ownAddresses = true;

/**
 * @param {string} method "GET" or "POST"
 * @param {string} path below the root
 * @param {[string, string][]} query
 * @param {Part[]} parts fields and files of a form
 * @param {(words: string) => void} onProgress
 * @param {AbortSignal} [signal]
 * @returns {Promise<Answer>}
 */
export async function request(method, path, query, parts, onProgress, signal) {
  const search = new URLSearchParams(query).toString();
  /** @type {RequestInit} */
  const init = { method, signal, redirect: "follow", credentials: "same-origin" };
  if (method === "POST") {
    const form = new FormData();
    for (const part of parts) {
      if (part.fileName === undefined) form.append(part.name, part.bytes instanceof Blob ? await part.bytes.text() : new TextDecoder().decode(part.bytes));
      else form.append(part.name, part.bytes instanceof Blob ? part.bytes : new Blob([/** @type {BlobPart} */ (part.bytes)]), part.fileName);
    }
    init.body = form;
  }
  onProgress(method === "POST" && parts.some((part) => part.fileName !== undefined) ? "Reading the files" : "Working");
  const response = await fetch(path + (search ? "?" + search : ""), init);
  const url = new URL(response.url);
  const name = /filename\*=UTF-8''([^;]+)/.exec(response.headers.get("content-disposition") || "");
  return {
    status: response.status,
    type: response.headers.get("content-type") || "",
    location: response.redirected ? url.pathname + url.search : null,
    download: name ? decodeURIComponent(name[1]) : null,
    body: new Uint8Array(await response.arrayBuffer()),
  };
}
