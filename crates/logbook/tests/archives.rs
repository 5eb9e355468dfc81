//! Archives of anybody: taken apart as far as they are harmless, refused in words where not.

use driftless_analysis::{InputLimit, InputLimits};
use driftless_logbook::archive::{ArchiveError, pack, unpack};
use flate2::Compression;
use flate2::write::DeflateEncoder;
use std::io::Write;

/// A file of an archive made by hand, as honest or not as a test wants.
#[derive(Clone)]
struct Made {
    name: Vec<u8>,
    data: Vec<u8>,
    method: u16,
    flags: u16,
    size: u32,
    crc: u32,
    attributes: u32,
}

impl Made {
    fn stored(name: &str, content: &[u8]) -> Self {
        let mut crc = flate2::Crc::new();
        crc.update(content);
        let size = u32::try_from(content.len()).expect("small");
        let name = name.as_bytes().to_vec();
        Self { name, data: content.to_vec(), method: 0, flags: 0, size, crc: crc.sum(), attributes: 0o100_644 << 16 }
    }

    fn deflated(name: &str, content: &[u8]) -> Self {
        let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
        encoder.write_all(content).expect("packed");
        Self { data: encoder.finish().expect("packed"), method: 8, ..Self::stored(name, content) }
    }

    /// What both headers have in common. (APPNOTE 4.3.7, 4.3.12.)
    fn common(&self) -> Vec<u8> {
        let length = |bytes: &[u8]| u32::try_from(bytes.len()).expect("small");
        let mut head = Vec::new();
        for word in [20, self.flags, self.method, 0, 0x21] {
            head.extend(u16::to_le_bytes(word));
        }
        for word in [self.crc, length(&self.data), self.size, length(&self.name)] {
            head.extend(u32::to_le_bytes(word));
        }
        head
    }
}

fn archive(files: &[Made]) -> Vec<u8> {
    let (mut all, mut directory) = (Vec::new(), Vec::new());
    for file in files {
        let at = u32::try_from(all.len()).expect("small");
        all.extend(b"PK\x03\x04");
        all.extend(file.common());
        all.extend(&file.name);
        all.extend(&file.data);
        directory.extend(b"PK\x01\x02");
        // Made by a Unix program, whose rights stand in the attributes.
        directory.extend([20, 3]);
        directory.extend(file.common());
        directory.extend([0; 6]);
        directory.extend(file.attributes.to_le_bytes());
        directory.extend(at.to_le_bytes());
        directory.extend(&file.name);
    }
    let (at, size) = (u32::try_from(all.len()).expect("small"), u32::try_from(directory.len()).expect("small"));
    let count = u16::try_from(files.len()).expect("few").to_le_bytes();
    all.extend(directory);
    all.extend(b"PK\x05\x06\0\0\0\0");
    all.extend([count, count].concat());
    all.extend(size.to_le_bytes());
    all.extend(at.to_le_bytes());
    all.extend([0; 2]);
    all
}

#[track_caller]
fn refused(files: &[Made]) -> ArchiveError {
    unpack(&archive(files), &InputLimits::default()).expect_err("refused")
}

#[test]
fn what_is_packed_comes_back_and_the_same_files_give_the_same_bytes() {
    let large: Vec<u8> = (0..200_000_u32).flat_map(|n| (n.wrapping_mul(2_654_435_761) >> 7).to_le_bytes()).collect();
    let files = [("campaign.toml", &b"title = \"x\""[..]), ("logs/zw\u{f6}lf.igc", b""), ("logs/b.igc.gz", &large)];
    let packed = pack(files).expect("packed");
    assert_eq!(packed, pack(files).expect("packed"));
    let back = unpack(&packed, &InputLimits::default()).expect("unpacked");
    assert_eq!(back.len(), files.len());
    assert!(files.iter().all(|(path, bytes)| back[*path] == *bytes));
    assert_eq!(unpack(&pack([]).expect("packed"), &InputLimits::default()).expect("unpacked").len(), 0);
    assert!(pack([("../a", &b""[..])]).is_err() && pack([("a", &b""[..]), ("a", b"")]).is_err());
}

#[test]
fn honest_archives_made_by_hand_are_read() {
    let mut folder = Made::stored("club/", b"");
    folder.attributes = 0o040_755 << 16;
    let files = [folder, Made::stored("club/a", b"stored"), Made::deflated("club/b", b"deflated")];
    let back = unpack(&archive(&files), &InputLimits::default()).expect("unpacked");
    assert_eq!(
        back.into_iter().collect::<Vec<_>>(),
        [("club/a".to_owned(), b"stored".to_vec()), ("club/b".to_owned(), b"deflated".to_vec())]
    );
}

#[test]
fn names_that_lead_elsewhere_are_refused() {
    for name in ["/etc/passwd", "../a", "logs/../../a", "..\\a", "C:\\a", "C:a", "logs//a", "./a", "a\nb", ""] {
        let error = refused(&[Made::stored("good", b"x"), Made::stored(name, b"x")]);
        assert!(matches!(error, ArchiveError::Name { .. }), "{name:?}: {error:?}");
        assert!(!error.to_string().contains('\n'), "{error}");
    }
    let mut not_text = Made::stored("ab", b"x");
    not_text.name = vec![b'a', 0xff];
    assert!(matches!(refused(&[not_text]), ArchiveError::Name { .. }));
}

#[test]
fn links_passwords_doubles_and_strange_methods_are_refused() {
    let good = Made::stored("a", b"/etc/passwd");
    assert_eq!(refused(&[good.clone(), good.clone()]), ArchiveError::Twice("a".to_owned()));
    assert_eq!(refused(&[Made { attributes: 0o120_777 << 16, ..good.clone() }]), ArchiveError::Link("a".to_owned()));
    for flags in [1, 1 | 1 << 6] {
        assert_eq!(refused(&[Made { flags, ..good.clone() }]), ArchiveError::Encrypted("a".to_owned()));
    }
    for method in [1, 9, 12, 14, 93, 99] {
        assert_eq!(refused(&[Made { method, ..good.clone() }]), ArchiveError::Method("a".to_owned()));
    }
}

/// However small it says it is.
#[test]
fn bombs_are_refused_while_they_unpack() {
    let zeros = vec![0; 8 << 20];
    let bomb = Made::deflated("bomb", &zeros);
    assert!(bomb.data.len() < 10_000);
    let limits = InputLimits::default().with(InputLimit::Bytes, 1 << 20);
    for size in [bomb.size, 10, 0] {
        let error = unpack(&archive(&[Made { size, ..bomb.clone() }]), &limits).expect_err("refused");
        assert!(matches!(error, ArchiveError::TooLarge { .. } | ArchiveError::Broken(_)), "{size}: {error:?}");
    }
    assert_eq!(unpack(&archive(&[bomb]), &limits), Err(ArchiveError::TooLarge { most: 1 << 20 }));
    // Many files that are each within the limit are not, together.
    let part = vec![0; 300 << 10];
    let parts: Vec<Made> = (0..4).map(|n| Made::deflated(&n.to_string(), &part)).collect();
    assert!(unpack(&archive(&parts[..3]), &limits).is_ok());
    assert_eq!(unpack(&archive(&parts), &limits), Err(ArchiveError::TooLarge { most: 1 << 20 }));
}

#[test]
fn the_number_of_files_is_held_to_its_limit() {
    let files: Vec<Made> = (0..11).map(|n| Made::stored(&n.to_string(), b"x")).collect();
    let limits = InputLimits::default().with(InputLimit::Runs, 10);
    assert!(unpack(&archive(&files[..10]), &limits).is_ok());
    assert_eq!(unpack(&archive(&files), &limits), Err(ArchiveError::TooManyFiles { most: 10 }));
}

/// Cut anywhere, or with any byte changed: never a panic, and never content that is not what was packed.
#[test]
fn damaged_archives_give_no_false_content() {
    let files = [Made::stored("a", b"stored"), Made::deflated("b/c", &b"deflated ".repeat(9))];
    let whole = archive(&files);
    let content = unpack(&whole, &InputLimits::default()).expect("whole");
    for length in 0..whole.len() {
        assert!(unpack(&whole[..length], &InputLimits::default()).is_err(), "{length}");
    }
    for at in 0..whole.len() {
        for bit in [0, 3, 7] {
            let mut damaged = whole.clone();
            damaged[at] ^= 1 << bit;
            if let Ok(found) = unpack(&damaged, &InputLimits::default()) {
                let known = |bytes: &Vec<u8>| content.values().any(|other| other == bytes);
                assert!(found.values().all(known), "byte {at}, bit {bit}");
            }
        }
    }
}
