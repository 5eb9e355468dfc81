//! Why the logbook cannot be opened in a browser, in words with a way out.

/// Why a browser does not give the logbook a lasting place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// The browser has no such place, or not here: a private window, a page opened from a file, an old browser.
    NoPlace,
    /// Another tab or window has it open.
    InUse,
    /// The browser's storage is full.
    Full,
    /// It is there, and is no logbook that this program can read: damaged, or of a newer program.
    Unreadable,
}

impl Refusal {
    /// What a browser's or the pool's error means; `name` is that of the exception (`SecurityError`), where there is one.
    pub fn of_exception(name: &str) -> Self {
        match name {
            "NoModificationAllowedError" | "InvalidStateError" => Self::InUse,
            "QuotaExceededError" => Self::Full,
            _ => Self::NoPlace,
        }
    }

    /// How JavaScript names it.
    pub const fn code(self) -> &'static str {
        match self {
            Self::NoPlace => "no-place",
            Self::InUse => "in-use",
            Self::Full => "full",
            Self::Unreadable => "unreadable",
        }
    }

    /// What it means and what can be done, as two or three sentences.
    pub const fn words(self) -> &'static str {
        match self {
            Self::NoPlace => {
                "This browser gives the logbook no lasting place here, so it is kept in memory and is gone when this tab is \
                 closed. Export what you want to keep. A logbook lasts in an ordinary window, not a private one, of a current \
                 browser, on a page that was opened from a web address and not from a file."
            }
            Self::InUse => {
                "The logbook is open in another tab or window. Close that one and load this page again, or open it here."
            }
            Self::Full => {
                "This browser has no room left for the logbook, so it is kept in memory and is gone when this tab is closed. \
                 Make room on the disk, or remove data of other sites in the browser's settings, and load this page again."
            }
            Self::Unreadable => "The logbook in this browser cannot be read. Nothing was changed in it.",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exceptions_of_browsers_are_told_apart() {
        assert_eq!(Refusal::of_exception("NoModificationAllowedError"), Refusal::InUse);
        assert_eq!(Refusal::of_exception("QuotaExceededError"), Refusal::Full);
        assert_eq!(Refusal::of_exception("SecurityError"), Refusal::NoPlace);
        assert_eq!(Refusal::of_exception(""), Refusal::NoPlace);
    }

    #[test]
    fn each_has_its_own_code_and_words() {
        let all = [Refusal::NoPlace, Refusal::InUse, Refusal::Full, Refusal::Unreadable];
        for (at, one) in all.iter().enumerate() {
            for other in &all[at + 1..] {
                assert_ne!(one.code(), other.code());
                assert_ne!(one.words(), other.words());
            }
            assert!(one.words().ends_with('.'));
        }
    }
}
