//! I and J records: which bytes of B and K lines hold what.

use super::fields::{Code, Values};
use crate::builder::LogBuilder;
use crate::lines::Line;
use crate::number::parse_digits;
use driftless_units::excerpt;

/// The fields a record type carries beyond its fixed part.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Extensions {
    fields: Vec<Field>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Field {
    code: Code,
    from: usize,
    to: usize,
}

impl Extensions {
    /// Parses `INN` and then `SSFFCCC` per field (bytes counted from 1, both ends included). Fields that reach into
    /// the fixed part of `fixed` bytes, run backwards, or overlap an earlier one are refused.
    pub(super) fn parse(line: &Line<'_>, fixed: usize, builder: &mut LogBuilder) -> Self {
        let mut fields = Vec::<Field>::new();
        let mut taken = fixed;
        let body = line.bytes.get(1..).unwrap_or_default();
        let announced = body.get(..2).and_then(parse_digits);
        let groups = body.get(2..).unwrap_or_default();
        let mut read = 0;
        for group in groups.chunks(7) {
            let Some((from, to, name)) = split_group(group) else { break };
            read += 1;
            if from <= taken || to < from {
                builder.warn(
                    "bad-extension",
                    line.source,
                    || {
                        format!(
                            "the field {} overlaps another and was not read: {}",
                            excerpt(name),
                            excerpt(line.bytes)
                        )
                    },
                    "the positions are not touched by this",
                );
                continue;
            }
            taken = to;
            if let Some(code) = Code::of(name) {
                fields.push(Field { code, from: from - 1, to });
            }
        }
        if announced != Some(read) {
            builder.warn(
                "bad-extension",
                line.source,
                || {
                    format!(
                        "the record announces another number of fields than it has ({read}): {}",
                        excerpt(line.bytes)
                    )
                },
                "the fields that could be read were used",
            );
        }
        Self { fields }
    }

    /// The width of the field with this code, if it is wider than the three digits of a direction.
    pub(super) fn wide(&self, code: Code) -> Option<usize> {
        self.fields.iter().find(|f| f.code == code).map(|f| f.to - f.from).filter(|&width| width > 3)
    }

    /// What there is.
    pub(super) fn codes(&self) -> impl Iterator<Item = Code> {
        self.fields.iter().map(|field| field.code)
    }

    /// Cuts a line by these fields.
    pub(super) fn values(&self, line: &[u8]) -> Values {
        let mut values = Values::default();
        for field in &self.fields {
            match line.get(field.from..field.to) {
                Some(text) => values.set(field.code, text),
                None => values.incomplete = true,
            }
        }
        values
    }
}

fn split_group(group: &[u8]) -> Option<(usize, usize, &[u8])> {
    let number = |digits: Option<&[u8]>| usize::try_from(parse_digits(digits?)?).ok();
    let name = group.get(4..7)?;
    Some((number(group.get(0..2))?, number(group.get(2..4))?, name))
}
