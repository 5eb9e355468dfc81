//! Reading what the user names: logs, marks, mappings, scenarios; `-` is standard input.

use anyhow::{Context, bail};
use sha2::{Digest, Sha256};
use std::io::Read;
use std::path::Path;

/// The name that stands for standard input.
const STDIN: &str = "-";

/// Whether a path means standard input (or output).
pub(crate) fn is_dash(path: &Path) -> bool {
    path.as_os_str() == STDIN
}

/// The name of an input in messages and reports.
pub(crate) fn name_of(path: &Path) -> String {
    if is_dash(path) { "standard input".to_owned() } else { path.display().to_string() }
}

/// All bytes of a file or of standard input.
pub(crate) fn bytes(path: &Path) -> anyhow::Result<Vec<u8>> {
    if is_dash(path) {
        let mut bytes = Vec::new();
        std::io::stdin().lock().read_to_end(&mut bytes).context("cannot read standard input")?;
        return Ok(bytes);
    }
    let name = name_of(path);
    if path.is_dir() {
        bail!("{name} is a folder; name the files in it, for example {}", path.join("*.igc").display());
    }
    std::fs::read(path).with_context(|| match path.try_exists() {
        Ok(false) => format!("there is no file {name}; check the spelling and the folder"),
        _ => format!("cannot read {name}; check that you may read it"),
    })
}

/// The text of a small file.
pub(crate) fn text(path: &Path) -> anyhow::Result<String> {
    String::from_utf8(bytes(path)?).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        anyhow::anyhow!("{}, byte {at}: not UTF-8 text; save the file as UTF-8", name_of(path))
    })
}

/// SHA-256 in lower-case hex.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The command line as typed, quoted where a shell would need it; the program by its bare name.
pub(crate) fn command_line() -> String {
    let arguments = std::env::args_os().skip(1).map(|argument| quoted(&argument.to_string_lossy()));
    std::iter::once("driftless".to_owned()).chain(arguments).collect::<Vec<_>>().join(" ")
}

fn quoted(argument: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "-_./,:=+@%°".contains(c);
    if !argument.is_empty() && argument.chars().all(plain) {
        return argument.to_owned();
    }
    format!("'{}'", argument.replace('\'', r"'\''"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-2, appendix B.1: the one-block message "abc".
    #[test]
    fn published_sha256_of_abc() {
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn arguments_are_quoted_where_a_shell_needs_it() {
        assert_eq!(quoted("demo-tracks/a.igc"), "demo-tracks/a.igc");
        assert_eq!(quoted("my flight.igc"), "'my flight.igc'");
        assert_eq!(quoted("it's"), r"'it'\''s'");
        assert_eq!(quoted(""), "''");
    }
}
