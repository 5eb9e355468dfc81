//! Records of constants: what a crate believes, tunes and refuses by, with unit and source, so that the method page has its
//! tables from the code.

/// A figure that code rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Constant {
    /// What it is.
    pub what: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
    /// Where it comes from: a publication, an argument, or the plain word that there is neither.
    pub source: &'static str,
}

/// Constants of one kind: a table of the method page.
#[derive(Debug, Clone, Copy)]
pub struct Group {
    /// Name of its place on the page.
    pub name: &'static str,
    /// What they have in common.
    pub title: &'static str,
    /// Themselves.
    pub constants: &'static [Constant],
}

/// Source of what whoever builds such a thing would take.
pub const JUDGEMENT: &str = "engineering judgement";
/// Source of what the trade goes by, and nobody has published.
pub const TRADE: &str = "common practice, no source";

/// A constant, on one line.
pub const fn constant(what: &'static str, value: f64, unit: &'static str, source: &'static str) -> Constant {
    Constant { what, value, unit, source }
}

impl Constant {
    /// The value of one that counts.
    pub const fn count(&self) -> usize {
        self.value as usize
    }
}
