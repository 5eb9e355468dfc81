//! Reading tables of a TOML document with every value's place; whatever is wrong is noted, and reading goes on.

use super::fault::{CampaignFileError, Fault};
use super::source::Source;
use super::suggest::{listed, suggestion};
use chrono::NaiveDate;
use driftless_track::{InputLimit, InputLimits};
use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A file being read, and what is wrong in it so far.
pub(super) struct Reading<'t> {
    pub(super) source: Source<'t>,
    pub(super) limits: InputLimits,
    faults: RefCell<Vec<Fault>>,
    /// Faults behind the limit of those that are kept.
    more: Cell<usize>,
}

impl<'t> Reading<'t> {
    pub(super) fn new(file: &'t str, text: &'t str, limits: InputLimits) -> Self {
        Self { source: Source::new(file, text), limits, faults: RefCell::default(), more: Cell::default() }
    }

    /// Notes what is wrong at a span.
    pub(super) fn fault(&self, span: Range<usize>, message: impl Into<String>, help: Option<String>) {
        self.take(vec![self.source.fault(span, message.into(), help)]);
    }

    /// Takes over faults of another file.
    pub(super) fn take(&self, faults: Vec<Fault>) {
        let mut kept = self.faults.borrow_mut();
        let left = self.limits.of(InputLimit::Problems).saturating_sub(kept.len());
        self.more.set(self.more.get() + faults.len().saturating_sub(left));
        kept.extend(faults.into_iter().take(left));
    }

    /// Everything noted, in the order of the file; nothing where nothing is wrong.
    pub(super) fn into_error(self) -> Option<CampaignFileError> {
        let (mut faults, more) = (self.faults.into_inner(), self.more.get());
        faults.sort_by_key(|f| (f.file != self.source.file, f.line, f.column));
        (!faults.is_empty() || more > 0).then_some(CampaignFileError { faults, more })
    }
}

/// A table of the document.
pub(super) struct Table<'r, 't, 'd> {
    reading: &'r Reading<'t>,
    table: &'d DeTable<'t>,
    /// What it is, for messages: `set-up "bare"`.
    what: String,
    /// Where it begins.
    span: Range<usize>,
    used: RefCell<BTreeSet<&'static str>>,
}

impl<'r, 't, 'd> Table<'r, 't, 'd> {
    pub(super) fn new(reading: &'r Reading<'t>, table: &'d DeTable<'t>, what: String, span: Range<usize>) -> Self {
        Self { reading, table, what, span, used: RefCell::default() }
    }

    pub(super) fn own_span(&self) -> Range<usize> {
        self.span.clone()
    }

    pub(super) const fn reading(&self) -> &'r Reading<'t> {
        self.reading
    }

    pub(super) fn line(&self) -> usize {
        self.reading.source.line(self.span.start)
    }

    fn value(&self, key: &'static str) -> Option<&'d Spanned<DeValue<'t>>> {
        self.used.borrow_mut().insert(key);
        self.table.get(key)
    }

    /// Whether the key is there, right or wrong.
    pub(super) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// The place of a key's value, else of the table.
    pub(super) fn span(&self, key: &str) -> Range<usize> {
        self.table.get(key).map_or(self.span.clone(), Spanned::span)
    }

    /// Notes what is wrong with a key's value, or with the table where the key is missing.
    pub(super) fn fault(&self, key: &str, message: impl Into<String>, help: Option<String>) {
        self.reading.fault(self.span(key), message, help);
    }

    fn wrong_type(&self, key: &str, wanted: &str, value: &Spanned<DeValue<'_>>) {
        let found = match value.get_ref().type_str() {
            "string" => "text",
            "datetime" => "a date",
            other => other,
        };
        self.fault(key, format!("`{key}` of {} must be {wanted}; this is {found}", self.what), None);
    }

    /// A text that is not empty.
    pub(super) fn text(&self, key: &'static str) -> Option<String> {
        let value = self.value(key)?;
        match value.get_ref().as_str() {
            Some(text) if text.trim().is_empty() => {
                self.fault(key, format!("`{key}` of {} is empty", self.what), Some("leave the line out".to_owned()));
                None
            }
            Some(text) => {
                let text = text.trim();
                if let Err(over) = self.reading.limits.hold(InputLimit::NameCharacters, text.chars().count(), None) {
                    self.fault(key, format!("`{key}` of {} has {over}", self.what), None);
                    return None;
                }
                Some(text.to_owned())
            }
            None => {
                self.wrong_type(key, "text in quotation marks", value);
                None
            }
        }
    }

    /// A number between two limits.
    pub(super) fn number(&self, key: &'static str, low: f64, high: f64) -> Option<f64> {
        let value = self.value(key)?;
        let number = match value.get_ref() {
            DeValue::Float(float) => float.as_str().replace('_', "").parse().ok(),
            DeValue::Integer(int) => {
                i64::from_str_radix(&int.as_str().replace('_', ""), int.radix()).ok().map(|n| n as f64)
            }
            _ => {
                self.wrong_type(key, "a number", value);
                return None;
            }
        };
        // Written so that NaN fails.
        match number {
            Some(number) if number >= low && number <= high => Some(number),
            _ => {
                let text = self.reading.source.text.get(value.span()).unwrap_or_default();
                let message = format!("`{key}` of {} is {text}; it must lie between {low} and {high}", self.what);
                self.fault(key, message, Some("check the unit, which stands in the name".to_owned()));
                None
            }
        }
    }

    /// A whole number between two limits.
    pub(super) fn whole(&self, key: &'static str, low: u32, high: u32) -> Option<u32> {
        let number = self.number(key, f64::from(low), f64::from(high))?;
        if number.fract() == 0.0 {
            return Some(number as u32);
        }
        self.fault(key, format!("`{key}` of {} must be a whole number", self.what), None);
        None
    }

    /// Yes or no.
    pub(super) fn flag(&self, key: &'static str) -> Option<bool> {
        let value = self.value(key)?;
        let flag = value.get_ref().as_bool();
        if flag.is_none() {
            self.wrong_type(key, "true or false", value);
        }
        flag
    }

    /// A day, with or without quotation marks.
    pub(super) fn date(&self, key: &'static str) -> Option<NaiveDate> {
        let value = self.value(key)?;
        let text = match value.get_ref() {
            DeValue::Datetime(date) => date.to_string(),
            DeValue::String(text) => text.to_string(),
            _ => String::new(),
        };
        let date = text.get(..10).unwrap_or(&text).parse().ok();
        if date.is_none() {
            self.fault(key, format!("`{key}` of {} must be a day like 2026-05-14", self.what), None);
        }
        date
    }

    /// One of several words.
    pub(super) fn word<T: Copy>(&self, key: &'static str, words: &[(&'static str, T)]) -> Option<T> {
        let text = self.text(key)?;
        let found = words.iter().find(|(word, _)| *word == text).map(|(_, meaning)| *meaning);
        if found.is_none() {
            let names: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            let message = format!("`{key}` of {} is \"{text}\"; it may be {}", self.what, listed(&names));
            self.fault(key, message, super::suggest::nearest(&text, names).map(|n| format!("did you mean `{n}`?")));
        }
        found
    }

    /// A list of texts, or one text.
    pub(super) fn texts(&self, key: &'static str) -> Vec<(String, Range<usize>)> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let items: Vec<&Spanned<DeValue<'_>>> = match value.get_ref() {
            DeValue::Array(items) => items.iter().collect(),
            _ => vec![value],
        };
        items
            .into_iter()
            .filter_map(|item| {
                let text = item.get_ref().as_str().map(|text| (text.to_owned(), item.span()));
                if text.is_none() {
                    self.wrong_type(key, "text, or a list of texts", item);
                }
                text
            })
            .collect()
    }

    /// A list of whole numbers, or one.
    pub(super) fn wholes(&self, key: &'static str) -> Vec<u32> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let items: Vec<&Spanned<DeValue<'_>>> = match value.get_ref() {
            DeValue::Array(items) => items.iter().collect(),
            _ => vec![value],
        };
        let numbers: Vec<Option<u32>> =
            items.iter().map(|item| item.get_ref().as_integer().and_then(|n| n.as_str().parse().ok())).collect();
        if numbers.contains(&None) {
            self.fault(key, format!("`{key}` of {} must be whole numbers", self.what), None);
        }
        numbers.into_iter().flatten().collect()
    }

    /// A table inside.
    pub(super) fn table(&self, key: &'static str, what: impl Into<String>) -> Option<Self> {
        let value = self.value(key)?;
        let Some(table) = value.get_ref().as_table() else {
            self.wrong_type(key, "a table", value);
            return None;
        };
        Some(Self::new(self.reading, table, what.into(), value.span()))
    }

    /// Named tables inside a table, in the order of the file: `[wings.NAME]`.
    pub(super) fn named(&self, key: &'static str, what: &str) -> Vec<(String, Self)> {
        let Some(group) = self.table(key, key) else { return Vec::new() };
        let mut found: Vec<_> = group
            .table
            .iter()
            .filter_map(|(name, value)| {
                let length = name.get_ref().chars().count();
                if let Err(over) = self.reading.limits.hold(InputLimit::NameCharacters, length, None) {
                    self.reading.fault(name.span(), format!("the name of this {what} has {over}"), None);
                    return None;
                }
                let Some(table) = value.get_ref().as_table() else {
                    self.reading.fault(
                        value.span(),
                        format!("`{}` must be a table", name.get_ref()),
                        Some(format!("write [{key}.{}] and its values below", name.get_ref())),
                    );
                    return None;
                };
                let title = format!("{what} \"{}\"", name.get_ref());
                Some((
                    name.span().start,
                    name.get_ref().to_string(),
                    Self::new(self.reading, table, title, name.span()),
                ))
            })
            .collect();
        found.sort_by_key(|(start, ..)| *start);
        found.into_iter().map(|(_, name, table)| (name, table)).collect()
    }

    /// Tables of a list: `[[flights]]`.
    pub(super) fn list(&self, key: &'static str, what: &str) -> Vec<Self> {
        let Some(value) = self.value(key) else { return Vec::new() };
        let Some(items) = value.get_ref().as_array() else {
            self.fault(key, format!("`{key}` must be a list"), Some(format!("write [[{key}]] above each")));
            return Vec::new();
        };
        items
            .iter()
            .enumerate()
            .filter_map(|(i, item)| {
                let title = format!("{what} {}", i + 1);
                let table = item.get_ref().as_table();
                if table.is_none() {
                    self.wrong_type(key, &format!("a list of tables, [[{key}]]"), item);
                }
                table.map(|table| Self::new(self.reading, table, title, item.span()))
            })
            .collect()
    }

    /// Notes that a key that must be there is not.
    pub(super) fn missing(&self, key: &str, example: &str) {
        // A value that is there but wrong was noted before.
        if self.table.get(key).is_none() {
            let message = format!("{} lacks `{key}`", self.what);
            self.reading.fault(self.span.clone(), message, Some(format!("add a line like {key} = {example}")));
        }
    }

    /// Notes keys that nobody asked for.
    pub(super) fn done(&self) {
        let used = self.used.borrow();
        let known: Vec<&str> = used.iter().copied().collect();
        for key in self.table.keys().filter(|key| !used.contains(key.get_ref().as_ref())) {
            let message = format!("unknown key `{}` in {}", key.get_ref(), self.what);
            self.reading.fault(key.span(), message, suggestion(key.get_ref(), &known));
        }
    }

    pub(super) fn what(&self) -> &str {
        &self.what
    }
}
