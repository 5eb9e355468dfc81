// @ts-check
/**
 * Links and forms of the app go to whichever host there is (host.js), and its answer takes the place of the page: with words
 * while it works, with a way to break off, and with the reader's place kept. Without this script the pages work too, where
 * a server gives them.
 */
import { ownAddresses, request } from "./host.js";
import { mountPlots } from "./plot.js";

/** @typedef {import("./host.js").Part} Part */

/** @type {AbortController | null} */
let running = null;

/** The address within the app that is shown now. */
function here() {
  if (ownAddresses) return location.pathname + location.search;
  return location.hash.startsWith("#/") ? location.hash.slice(1) : "/";
}

/**
 * Path and query of an address within the app.
 * @param {string} address
 * @returns {{path: string, query: [string, string][], anchor: string}}
 */
function taken(address) {
  const url = new URL(address, "http://app.invalid");
  return { path: decodeURIComponent(url.pathname), query: [...url.searchParams], anchor: url.hash.slice(1) };
}

/** @param {string | null} words what is being done; null when it is done */
function busy(words) {
  let bar = document.getElementById("busy");
  if (!bar) {
    bar = document.createElement("div");
    bar.id = "busy";
    bar.className = "busy";
    const said = document.createElement("span");
    said.setAttribute("role", "status");
    const stop = document.createElement("button");
    stop.type = "button";
    stop.textContent = "Break off";
    stop.addEventListener("click", () => running?.abort());
    bar.append(said, stop);
    document.body.append(bar);
  }
  bar.hidden = words === null;
  const said = bar.firstElementChild;
  if (said) said.textContent = words === null ? "" : words + " …";
}

/**
 * Something that the reader has to know, above everything else.
 * @param {string} words
 */
function tell(words) {
  const told = document.createElement("div");
  told.className = "told wrong";
  told.setAttribute("role", "alert");
  const paragraph = document.createElement("p");
  paragraph.textContent = words;
  told.append(paragraph);
  document.getElementById("main")?.prepend(told);
  told.scrollIntoView({ block: "nearest" });
}

/**
 * Saves bytes under a name.
 * @param {Uint8Array} bytes
 * @param {string} type
 * @param {string} name
 */
function save(bytes, type, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([/** @type {BlobPart} */ (bytes)], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/**
 * Asks the host, and shows what it answers.
 * @param {string} method
 * @param {string} address
 * @param {Part[]} parts
 * @param {{history: "push" | "keep"}} how
 */
async function go(method, address, parts, how) {
  running?.abort();
  const own = new AbortController();
  running = own;
  // Quick answers come without words.
  let words = "Working";
  const shown = setTimeout(() => busy(words), 150);
  const progress = (/** @type {string} */ now) => {
    words = now;
    if (document.getElementById("busy")?.hidden === false) busy(words);
  };
  const { path, query, anchor } = taken(address);
  try {
    const answer = await request(method, path, query, parts, progress, own.signal);
    if (answer.download) {
      save(answer.body, answer.type, answer.download);
    } else if (answer.type.startsWith("text/html")) {
      const same = method === "POST" || taken(here()).path === path;
      const scrolled = window.scrollY;
      show(new TextDecoder().decode(answer.body));
      const at = answer.location ?? address;
      if (how.history === "push" && answer.status < 400) history.pushState(null, "", ownAddresses ? at : "#" + at);
      const target = anchor ? document.getElementById(anchor) : null;
      if (target) target.scrollIntoView();
      else window.scrollTo(0, same && !document.querySelector(".told") ? scrolled : 0);
    }
  } catch (error) {
    if (own.signal.aborted) tell("Broken off. What was confirmed before is kept.");
    else tell("The program does not answer. It may have been ended: start it again, and load this page. (" + String(error) + ")");
  } finally {
    clearTimeout(shown);
    if (running === own) {
      running = null;
      busy(null);
    }
  }
}

/**
 * Puts a document in the place of the one that is shown.
 * @param {string} text
 */
function show(text) {
  const next = new DOMParser().parseFromString(text, "text/html");
  document.title = next.title;
  const paper = next.documentElement.dataset.paper;
  if (paper) document.documentElement.dataset.paper = paper;
  else delete document.documentElement.dataset.paper;
  document.body.replaceChildren(...next.body.childNodes);
  enhance();
  document.getElementById("main")?.focus({ preventScroll: true });
}

/** What the pages gain by the script. */
function enhance() {
  if (!ownAddresses) {
    for (const link of document.querySelectorAll('a[href^="/"]')) {
      const address = link.getAttribute("href") ?? "/";
      if (link instanceof HTMLAnchorElement) {
        link.dataset.address = address;
        link.href = "#" + address;
      }
    }
  }
  for (const zone of document.querySelectorAll("[data-drop]")) if (zone instanceof HTMLFormElement) dropZone(zone);
  for (const field of document.querySelectorAll("[data-this-zone]")) if (field instanceof HTMLElement) thisZone(field);
  mountPlots({ request, post: (address, parts) => void go("POST", address, parts, { history: "push" }) });
}

/** @param {HTMLFormElement} form */
function dropZone(form) {
  const input = form.querySelector("input[type=file]");
  if (!(input instanceof HTMLInputElement)) return;
  const words = document.createElement("p");
  words.textContent = "Or drop them here.";
  form.querySelector(".row")?.append(words);
  form.addEventListener("dragover", (event) => {
    event.preventDefault();
    form.classList.add("over");
  });
  form.addEventListener("dragleave", () => form.classList.remove("over"));
  form.addEventListener("drop", (event) => {
    event.preventDefault();
    form.classList.remove("over");
    if (!event.dataTransfer?.files.length) return;
    input.files = event.dataTransfer.files;
    form.requestSubmit();
  });
}

/**
 * Offers the zone of this device.
 * @param {HTMLElement} field
 */
function thisZone(field) {
  const select = field.querySelector("select");
  if (!select) return;
  const east = -new Date().getTimezoneOffset();
  const two = (/** @type {number} */ number) => String(Math.floor(number)).padStart(2, "0");
  const name = east === 0 ? "utc" : (east < 0 ? "-" : "+") + two(Math.abs(east) / 60) + ":" + two(Math.abs(east) % 60);
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = "Time of this device (" + (east === 0 ? "UTC" : "UTC" + name) + ")";
  button.addEventListener("click", () => (select.value = name));
  field.append(button);
}

document.addEventListener("click", (event) => {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (!link) return;
  const href = link.dataset.address ?? link.getAttribute("href") ?? "";
  if (href.startsWith("#")) {
    // Within this page; where the part behind the # is an address, it must not become one.
    if (ownAddresses) return;
    event.preventDefault();
    const target = document.getElementById(href.slice(1));
    if (target?.parentElement instanceof HTMLElement) target.closest("details")?.setAttribute("open", "");
    target?.scrollIntoView();
    return;
  }
  if (!href.startsWith("/")) return;
  event.preventDefault();
  void go("GET", href, [], { history: "push" });
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement)) return;
  event.preventDefault();
  const data = new FormData(form, event.submitter);
  const action = form.getAttribute("action") ?? "/";
  if (form.method === "get") {
    const query = new URLSearchParams();
    for (const [name, value] of data) if (typeof value === "string" && value !== "") query.append(name, value);
    const search = query.toString();
    void go("GET", action + (search ? "?" + search : ""), [], { history: "push" });
    return;
  }
  void partsOf(data).then((parts) => go("POST", action, parts, { history: "push" }));
});

/**
 * @param {FormData} data
 * @returns {Promise<Part[]>}
 */
async function partsOf(data) {
  /** @type {Part[]} */
  const parts = [];
  for (const [name, value] of data) {
    if (typeof value === "string") parts.push({ name, bytes: new TextEncoder().encode(value) });
    else if (value.size > 0 || value.name) parts.push({ name, fileName: value.webkitRelativePath || value.name, bytes: new Uint8Array(await value.arrayBuffer()) });
  }
  return parts;
}

window.addEventListener("popstate", () => void go("GET", here(), [], { history: "keep" }));

if (ownAddresses) enhance();
else void go("GET", here(), [], { history: "keep" });
