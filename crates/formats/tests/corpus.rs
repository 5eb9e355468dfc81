//! What the fuzzers of the readers found, through what their targets do.

mod held;
#[path = "../fuzz/replay.rs"]
mod replay;
#[expect(unreachable_pub, reason = "the fuzzers are a crate that shares it")]
mod targets;

use std::path::Path;

#[test]
fn corpora_of_the_fuzzers_break_nothing() {
    let package = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz");
    for (name, target) in targets::TARGETS {
        replay::replay(&package, name, target);
    }
}
