//! Work on other threads, while the caller may press Ctrl-C.

use crate::faults::Fault;
use pyo3::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

/// How often signals are looked for: soon enough for whoever waits, seldom enough to cost nothing.
const LOOK: Duration = Duration::from_millis(100);

/// So many threads; `None` is one for each core.
pub(crate) fn pool(jobs: Option<usize>) -> Result<ThreadPool, Fault> {
    if jobs == Some(0) {
        return Err(Fault::Call(
            "jobs is the number of threads, 1 or more; leave it out for one on each core".to_owned(),
        ));
    }
    let cannot = |error| Fault::Call(format!("cannot start {} threads: {error}", jobs.unwrap_or(0)));
    ThreadPoolBuilder::new().num_threads(jobs.unwrap_or(0)).build().map_err(cannot)
}

/// Does the work on a pool of its own, detached from the interpreter. When a signal comes, the work is told by its flag to
/// begin nothing new, and what Python makes of the signal is raised.
pub(crate) fn interruptible<T: Send>(
    py: Python<'_>,
    pool: &ThreadPool,
    work: impl FnOnce(&AtomicBool) -> T + Send,
) -> PyResult<T> {
    let stop = AtomicBool::new(false);
    py.detach(|| {
        std::thread::scope(|scope| {
            let (done, waiting) = channel();
            let stop = &stop;
            let worker = scope.spawn(move || {
                // Nobody waits any more where the caller was interrupted.
                let _ = done.send(pool.install(|| work(stop)));
            });
            loop {
                match waiting.recv_timeout(LOOK) {
                    Ok(result) => return Ok(result),
                    Err(RecvTimeoutError::Timeout) => {
                        if let Err(error) = Python::attach(|py| py.check_signals()) {
                            stop.store(true, Ordering::Relaxed);
                            return Err(error);
                        }
                    }
                    // The work panicked: as it would have on this thread.
                    Err(RecvTimeoutError::Disconnected) => match worker.join() {
                        Err(panic) => std::panic::resume_unwind(panic),
                        Ok(()) => unreachable!("work that ends without a panic sends its result"),
                    },
                }
            }
        })
    })
}
