// The service worker: keeps a copy of this folder, so that it opens without a network, and brings new versions whole.

import { hasServiceWorker } from "./build.js";

/** @type {ServiceWorkerRegistration | null} */
let registration = null;

/** @param {() => void} ready is called when a new version has been fetched and waits */
export async function watchForUpdates(ready) {
  if (!hasServiceWorker || !("serviceWorker" in navigator)) return;
  const container = navigator.serviceWorker;
  // At the first visit the worker comes to a page that has everything; later a change means another version.
  const hadOne = container.controller !== null;
  container.addEventListener("controllerchange", () => hadOne && location.reload());
  try {
    registration = await container.register(new URL("../sw.js", import.meta.url), { updateViaCache: "none" });
  } catch {
    // A private window or an old browser: the page works, but not without a network.
    return;
  }
  const look = () => registration?.waiting && hadOne && ready();
  look();
  registration.addEventListener("updatefound", () => registration?.installing?.addEventListener("statechange", look));
}

/** Puts the version that waits in the place of this one; every tab is loaded anew. */
export function updateNow() {
  registration?.waiting?.postMessage("take over");
}
