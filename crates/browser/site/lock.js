// One tab has the logbook at a time.
//
// The files themselves are held by one worker alone; this lock says so before a worker is started, and lets tabs ask each
// other to let go. Where a browser has no locks, the files decide.

const NAME = "driftless-logbook";

/** @type {(() => void) | null} */
let release = null;
/** @type {BroadcastChannel | null} */
let channel = null;
try {
  channel = new BroadcastChannel(NAME);
} catch {
  // A page opened from a file has no channel in some browsers; there the other tab has to be closed by hand.
}

/**
 * @param {number} patience how long it is waited for, in milliseconds
 * @returns {Promise<boolean>} whether this tab has it now
 */
export function takeLock(patience) {
  if (release || !navigator.locks) return Promise.resolve(true);
  return new Promise((taken) => {
    const held = () => {
      taken(true);
      return /** @type {Promise<void>} */ (new Promise((resolve) => (release = resolve)));
    };
    const signal = AbortSignal.timeout(patience);
    navigator.locks.request(NAME, { signal }, held).catch((error) => taken(error.name === "SecurityError"));
  });
}

/** Lets another tab have it. */
export function letGo() {
  release?.();
  release = null;
}

/** Asks the tab that has it to let go. */
export function askOthersToLetGo() {
  channel?.postMessage("let go");
}

/** @param {() => void} asked is called when another tab wants it */
export function onAskedToLetGo(asked) {
  channel?.addEventListener("message", ({ data }) => data === "let go" && asked());
}
