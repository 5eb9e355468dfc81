//! What the fuzzers of the whole road found, through what their targets do.

#[path = "../../crates/report/fuzz/held/mod.rs"]
#[expect(unreachable_pub, dead_code, reason = "the fuzzers use more of it than the tests")]
mod held;
#[path = "../../crates/formats/fuzz/replay.rs"]
mod replay;

use crate::run::repository;

#[test]
fn corpora_of_the_fuzzers_break_nothing() {
    let package = repository().join("crates/report/fuzz");
    for (name, target) in held::targets::TARGETS {
        replay::replay(&package, name, |bytes| drop(target(bytes)));
    }
}
