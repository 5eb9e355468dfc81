//! Kept corpora as the tests replay them, shared by those of the readers and of the program.

use flate2::read::GzDecoder;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// Gives every input that a target of a fuzz package keeps to that target.
pub(crate) fn replay(package: &Path, name: &str, mut target: impl FnMut(&[u8])) {
    let path = package.join(format!("kept/{name}.tar.gz"));
    let file = File::open(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let mut replayed = 0;
    for entry in tar::Archive::new(GzDecoder::new(file)).entries().expect("an archive") {
        let mut bytes = Vec::new();
        entry.expect("an entry").read_to_end(&mut bytes).expect("an input");
        target(&bytes);
        replayed += 1;
    }
    // A corpus of a few inputs is one that was not packed well.
    assert!(replayed > 50, "{name}: {replayed} inputs");
}
