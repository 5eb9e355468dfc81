//! What the fuzzers found, replayed: the kept corpora of `crates/formats/fuzz/kept` through what their targets do.

mod held;
#[expect(unreachable_pub, reason = "the fuzzers are a crate that shares it")]
mod targets;

use flate2::read::GzDecoder;
use std::fs::File;
use std::io::Read;
use std::path::Path;

#[test]
fn corpora_of_the_fuzzers_break_nothing() {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/kept");
    for (name, target) in targets::TARGETS {
        let file = File::open(kept.join(format!("{name}.tar.gz"))).unwrap_or_else(|e| panic!("corpus of {name}: {e}"));
        let mut archive = tar::Archive::new(GzDecoder::new(file));
        let mut replayed = 0;
        for entry in archive.entries().expect("an archive") {
            let mut entry = entry.expect("an entry");
            let mut bytes = Vec::new();
            entry.read_to_end(&mut bytes).expect("an input");
            target(&bytes);
            replayed += 1;
        }
        assert!(replayed > 50, "{name}: {replayed} inputs");
    }
}
