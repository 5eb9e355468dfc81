// What the host says by itself, where the engine cannot: complete pages, as the engine makes them.

/** @typedef {{status: number, type: string, location: string | null, download: string | null, body: Uint8Array}} Answer */

/**
 * @param {number} status
 * @param {string} title
 * @param {string} inner markup
 * @returns {Answer}
 */
function page(status, title, inner) {
  const text =
    `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>${title} – Driftless</title></head>` +
    `<body><main id="main" tabindex="-1"><h1>${title}</h1>${inner}</main></body></html>`;
  return { status, type: "text/html; charset=utf-8", location: null, download: null, body: new TextEncoder().encode(text) };
}

/** @param {string} words */
const paragraph = (words) => `<p>${escaped(words)}</p>`;

/** @param {string} words */
function escaped(words) {
  return words.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");
}

/**
 * @param {string} what
 * @param {string} label
 * @param {string} [inner]
 */
const button = (what, label, inner = "") =>
  `<form method="post" action="/in-this-browser/${what}">${inner}<p><button>${label}</button></p></form>`;

const again = `<p><a class="button" href="/">Try again</a></p>`;

/** @param {{code: string, words: string, said: string, image?: Uint8Array}} refusal */
export function refused({ code, words, said, image }) {
  if (code === "in-use") {
    return page(
      423,
      "The logbook is open in another tab",
      paragraph("One tab or window at a time can have it, so that nothing is written over. Go on in the other one, or:") +
        button("open-here", "Open it here") +
        paragraph("The other tab then lets it go; what was entered there and not saved is lost.") +
        button("memory", "Work without the logbook"),
    );
  }
  const save = image ? `<p><a class="button" href="/in-this-browser/logbook-file">Save the logbook's file</a></p>` : "";
  const sure = `<p><label><input type="checkbox" name="sure" value="yes" required> I have saved its file, or can do without it</label></p>`;
  return page(
    500,
    "The logbook in this browser cannot be read",
    paragraph(`${words} ${said}`) +
      save +
      button("memory", "Work without the logbook") +
      button("remove", "Remove it and begin a new one", sure),
  );
}

/** @param {string} code why the pilot works in memory */
export function memoryWords(code) {
  const why = code === "in-use" ? "the logbook is open in another tab" : "the logbook in this browser cannot be read";
  return `This tab works without the logbook, because ${why}. What you add here is gone when this tab is closed: export what you want to keep.`;
}

export function noAnswer() {
  return page(
    423,
    "The other tab does not let go",
    paragraph("It may be busy or asleep. Look for it among your tabs and windows, close it, and try again.") + again,
  );
}

/** @param {string} said */
export function notLoaded(said) {
  return page(
    503,
    "The engine could not be loaded",
    paragraph(
      "Driftless needs a current browser, and at its first visit a network. Close other tabs if memory is short, load this page " +
        `again, or try another browser. The browser says: ${said}.`,
    ) + again,
  );
}

/** @param {string} said */
export function stopped(said) {
  return page(
    500,
    "The engine stopped",
    paragraph(
      "It met something that it cannot handle, or ran out of memory. Nothing of this step was kept; everything before it is. It " +
        `starts again by itself. It said: ${said}`,
    ) + again,
  );
}
