//! Where reports go that have no place of their own, one after the other.

use super::done::Content;
use super::parquet_sink::ParquetSink;
use super::plan::{Plan, Shared};
use crate::args::ReportFormat;
use crate::output::{WholeFile, cannot_write, to_stdout};
use std::io::Write;
use std::path::PathBuf;

/// What takes them.
pub(super) enum Sink {
    Text(TextSink),
    Parquet(Box<ParquetSink>),
}

/// Text, on standard output as it comes or in one file that is there when all is done.
pub(super) struct TextSink {
    format: Option<ReportFormat>,
    reports: usize,
    /// `None`: standard output.
    file: Option<(PathBuf, Option<WholeFile>)>,
}

impl Sink {
    pub(super) fn open(plan: &Plan<'_>) -> anyhow::Result<Self> {
        let text = |file| Self::Text(TextSink { format: plan.args.format, reports: 0, file });
        Ok(match plan.shared() {
            Shared::Stdout => text(None),
            Shared::Text(path) => text(Some((path, None))),
            Shared::Parquet(place) => Self::Parquet(Box::new(ParquetSink::one_file(place, &plan.asked)?)),
            Shared::ParquetByYear(folder) => Self::Parquet(Box::new(ParquetSink::by_year(folder, &plan.asked))),
        })
    }

    pub(super) fn put(&mut self, content: Content) -> anyhow::Result<()> {
        match (self, content) {
            (Self::Text(sink), Content::Text(text)) => sink.put(&text),
            (Self::Parquet(sink), Content::Rows(rows)) => sink.put(rows),
            // What was kept in one format is never found in a run of another: the format is part of its key.
            (Self::Text(_), Content::Rows(_)) | (Self::Parquet(_), Content::Text(_)) => Ok(()),
        }
    }

    /// Puts in its place what is to be there whole or not at all.
    pub(super) fn finish(self) -> anyhow::Result<()> {
        match self {
            Self::Text(TextSink { file: Some((path, Some(file))), .. }) => file.finish().map_err(cannot_write(&path)),
            Self::Text(_) => Ok(()),
            Self::Parquet(sink) => sink.finish(),
        }
    }
}

impl TextSink {
    fn put(&mut self, report: &str) -> anyhow::Result<()> {
        let first = self.reports == 0;
        self.reports += 1;
        let joined = joined(self.format, report, first);
        let Some((path, file)) = &mut self.file else { return to_stdout(joined.as_bytes()) };
        if file.is_none() {
            *file = Some(WholeFile::begin(path).map_err(cannot_write(path))?);
        }
        let written = file.as_mut().map_or(Ok(()), |file| file.write_all(joined.as_bytes()));
        written.map_err(cannot_write(path))
    }
}

/// A report as it stands after others: without what stands once, and set off where it is to be read.
fn joined(format: Option<ReportFormat>, report: &str, first: bool) -> String {
    match format {
        Some(ReportFormat::Csv) if !first => report.split_once('\n').map_or("", |(_, rows)| rows).to_owned(),
        Some(ReportFormat::Text) if !first => format!("\n{}\n{report}", "=".repeat(80)),
        _ => report.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_once_is_not_repeated() {
        assert_eq!(joined(Some(ReportFormat::Csv), "file,window\na,1\nb,2\n", true), "file,window\na,1\nb,2\n");
        assert_eq!(joined(Some(ReportFormat::Csv), "file,window\nc,1\n", false), "c,1\n");
        assert_eq!(joined(Some(ReportFormat::Csv), "file,window\n", false), "");
        assert_eq!(joined(Some(ReportFormat::Json), "{}\n", false), "{}\n");
        assert!(joined(Some(ReportFormat::Text), "x", false).ends_with("=\nx"));
    }
}
