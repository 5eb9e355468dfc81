//! What the fuzz targets do, which the tests of the readers do too: `crates/formats/tests/corpus.rs` replays what was found.

#[path = "../tests/held/mod.rs"]
mod held;
#[path = "../tests/targets/mod.rs"]
pub mod targets;
