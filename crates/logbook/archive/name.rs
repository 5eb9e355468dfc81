//! What a file in an archive may be called.

use super::ArchiveError;

/// Longest name, bytes: as long as paths are on most disks.
const LONGEST: usize = 1024;

/// The name, if it is a plain path down into a folder.
pub(super) fn checked(bytes: &[u8]) -> Result<&str, ArchiveError> {
    let refused = |why| ArchiveError::Name { name: shown(bytes), why };
    let name = std::str::from_utf8(bytes).map_err(|_| refused("is no UTF-8 text"))?;
    let path = name.strip_suffix('/').unwrap_or(name);
    let why = if name.len() > LONGEST {
        "is too long"
    } else if name.chars().any(char::is_control) {
        "holds characters that cannot be shown"
    } else if name.contains('\\') {
        "holds a backslash"
    } else if name.starts_with('/') || name.contains(':') {
        "begins at the root of a disk"
    } else if path.split('/').any(|part| part == "..") {
        "leads out of its folder"
    } else if path.split('/').any(|part| part.is_empty() || part == ".") {
        "is no plain path"
    } else {
        return Ok(name);
    };
    Err(refused(why))
}

/// A name in quotes, short, with nothing that acts on a terminal.
fn shown(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes.get(..bytes.len().min(100)).unwrap_or_default()).into_owned();
    format!("{text:?}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_plain_paths_down_are_taken() {
        for name in ["a", "a/b.igc", "logs/", "zw\u{f6}lf/\u{65e5}.igc", "a..b", "...", "a b/c"] {
            assert_eq!(checked(name.as_bytes()), Ok(name));
        }
        let long = "x".repeat(LONGEST + 1);
        for name in [
            "",
            "/",
            "/etc/passwd",
            "..",
            "../a",
            "a/../b",
            "a/..",
            "./a",
            "a//b",
            "a/./b",
            "a\\b",
            "..\\a",
            "C:/a",
            "C:a",
            "a\0b",
            "a\nb",
            "\u{1b}[2J",
            &long,
        ] {
            assert!(matches!(checked(name.as_bytes()), Err(ArchiveError::Name { .. })), "{name:?}");
        }
        assert!(checked(b"a\xff").is_err());
    }
}
