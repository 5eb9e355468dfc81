//! The host of the page in a browser: the app of `driftless-page` and a logbook, as one module for a dedicated worker.
//!
//! The worker (`site/worker.js`) calls `start` once and `Engine::handle` for every request. Whatever needs a browser is
//! compiled for `wasm32-unknown-unknown` alone; elsewhere this crate is the plain functions that the rest is made of, so
//! that they can be tested where everything else is.
//!
//! * [`asked`]: what JavaScript says, as a request of the app.
//! * [`refusal`]: why the logbook cannot be opened, in words with a way out.
//! * [`notice`]: a sentence of the host on top of a page.
//! * `engine`, `store` (in a browser): the calls, and the logbook in the origin-private file system or in memory.
//!
//! How the module is built (profile `browser`): opt-level 3 and thin LTO give 5.8 MB, 2.24 MB gzip-ed. `wasm-opt -O2` made that
//! 5.5 MB, 2.17 MB gzip-ed, and an hour of flight take 3.3 to 4.2 s of the processor instead of 2.1 to 2.6 s: it is left out.

pub mod asked;
pub mod notice;
pub mod refusal;

#[cfg(all(target_arch = "wasm32", target_os = "unknown"))]
mod engine;
#[cfg(all(target_arch = "wasm32", target_os = "unknown"))]
mod store;
