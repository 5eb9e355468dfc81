//! The fixtures of KML and FIT are written by the few lines in `tests/made`, and stand in the repository as these write
//! them. After a wanted change: `cargo test -p driftless-formats --test made_fixtures -- --ignored` writes them anew.

#[path = "made/fit.rs"]
mod fit;
#[path = "made/kml.rs"]
mod kml;
#[path = "made/turn.rs"]
mod turn;

use std::path::{Path, PathBuf};

/// Its place below `fixtures/formats`, and its bytes.
type Made = (String, Vec<u8>);

fn all() -> Vec<Made> {
    [kml::all(), fit::all()].concat()
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/formats")
}

#[test]
fn fixtures_are_as_the_generator_makes_them() {
    let made = all();
    for (name, bytes) in &made {
        let kept = std::fs::read(root().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(kept == *bytes, "{name} differs from what tests/made writes");
    }
    for format in ["kml", "fit"] {
        for kind in ["good", "odd", "hostile"] {
            for entry in std::fs::read_dir(root().join(format).join(kind)).expect("a fixture folder") {
                let name = format!("{format}/{kind}/{}", entry.expect("an entry").file_name().display());
                assert!(made.iter().any(|(known, _)| *known == name), "{name} is written by nothing");
            }
        }
    }
}

#[test]
#[ignore = "writes the fixtures"]
fn write_the_fixtures() {
    for (name, bytes) in all() {
        let path = root().join(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        std::fs::write(path, bytes).expect("a file");
    }
}
