// What .ci/site does with what was built: `node pack.mjs style STAGE` prints the app's style sheet, which stands in the
// engine; `node pack.mjs alone STAGE NPM INDEX` prints the one file, made of the staged parts.

import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { gzipSync } from "node:zlib";

const [what, stage, npm, index] = process.argv.slice(2);
const engineFile = join(stage, "driftless_browser_bg.wasm");

async function style() {
  const engine = await import(pathToFileURL(resolve(stage, "driftless_browser.js")).href);
  engine.initSync({ module: readFileSync(engineFile) });
  return Buffer.from(engine.asset("/assets/page.css"));
}

/** Puts a module and what it imports into one text: a module ("esm") or a plain script ("iife"). */
async function bundle(entry, format) {
  const esbuild = createRequire(resolve(npm, "package.json"))("esbuild");
  const { outputFiles } = await esbuild.build({
    entryPoints: [join(stage, entry)],
    bundle: true,
    format,
    // A plain script has no address; the engine is handed to it.
    logOverride: { "empty-import-meta": "silent" },
    target: "es2022",
    legalComments: "none",
    minifyWhitespace: true,
    write: false,
    plugins: [{
      name: "alone",
      setup(build) {
        build.onResolve({ filter: /^\.\/build\.js$/ }, () => ({ path: resolve(stage, "build-alone.js") }));
      },
    }],
  });
  return outputFiles[0].text;
}

/** Text that cannot end the element it stands in. */
const inElement = (text) => text.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");

async function alone() {
  const page = inElement(await bundle("page.js", "esm"));
  const worker = inElement(await bundle("worker.js", "iife"));
  const engine = gzipSync(readFileSync(engineFile), { level: 9 }).toString("base64");
  const css = readFileSync(join(stage, "page.css"), "utf8");
  const hash = createHash("sha256").update(page).digest("base64");
  const policy =
    `default-src 'none'; script-src 'sha256-${hash}' 'wasm-unsafe-eval'; style-src 'unsafe-inline'; img-src data: blob:; ` +
    "worker-src blob:; frame-src blob:; base-uri 'none'; form-action 'self'; object-src 'none'";
  const icon = readFileSync(join(stage, "../../../crates/browser/site/icons/icon.svg")).toString("base64");
  const replaced = (text, from, to) => {
    if (!from.test(text)) throw new Error(`index.html has nothing like ${from}`);
    return text.replace(from, () => to);
  };
  let html = readFileSync(index, "utf8");
  html = replaced(html, /(?<=Content-Security-Policy" content=")[^"]*/, policy);
  html = replaced(html, /<link rel="icon"[^>]*>\n/, `<link rel="icon" href="data:image/svg+xml;base64,${icon}">\n`);
  html = replaced(html, /<link rel="apple-touch-icon"[^>]*>\n/, "");
  html = replaced(html, /<link rel="manifest"[^>]*>\n/, "");
  html = replaced(html, /<link rel="stylesheet"[^>]*>\n/, `<style>${css}</style>\n`);
  html = replaced(html, /<script type="module"[^>]*><\/script>\n/, "");
  html = replaced(html, /At the first visit[^<]*/, "This takes a moment.");
  html = replaced(
    html,
    /<script src="[^"]*begin.js"><\/script>\n/,
    `<script type="text/plain" id="worker">${worker}</script>\n` +
      `<script type="text/plain" id="engine">${engine}</script>\n` +
      `<script type="module">${page}</script>\n`,
  );
  return html;
}

const tasks = { style, alone };
process.stdout.write(await tasks[what]());
