//! Rows of windows as a Parquet file: the columns of [`WINDOW_COLUMNS`], each of which may hold nothing.

use driftless_report::{Cell, ColumnKind, WINDOW_COLUMNS, WINDOW_ROWS_SCHEMA, WindowRow};
use parquet::basic::{Compression, LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DataType, DoubleType, Int64Type};
use parquet::errors::Result;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::types::{Type, TypePtr};
use std::io::Write;
use std::sync::Arc;

/// Rows of one group: some 5 MB of memory, and a season of a club in one group.
const GROUP: usize = 4096;

/// A file that takes rows.
pub(super) struct RowsFile<W: Write + Send> {
    writer: SerializedFileWriter<W>,
    rows: Vec<WindowRow>,
}

impl<W: Write + Send> RowsFile<W> {
    /// Begins one; the words of the command and the version stand in its metadata.
    pub(super) fn begin(writer: W, made_by: &[(&str, &str)]) -> Result<Self> {
        let said = std::iter::once(&("schema", WINDOW_ROWS_SCHEMA)).chain(made_by);
        let said = said.map(|(key, words)| KeyValue::new(format!("driftless.{key}"), (*words).to_owned())).collect();
        let properties =
            WriterProperties::builder().set_compression(Compression::SNAPPY).set_key_value_metadata(Some(said)).build();
        let writer = SerializedFileWriter::new(writer, schema()?, Arc::new(properties))?;
        Ok(Self { writer, rows: Vec::new() })
    }

    /// Takes rows.
    pub(super) fn put(&mut self, rows: impl IntoIterator<Item = WindowRow>) -> Result<()> {
        for row in rows {
            self.rows.push(row);
            if self.rows.len() == GROUP {
                self.write_group()?;
            }
        }
        Ok(())
    }

    /// Writes what is left and the end of the file; gives back what was written into.
    pub(super) fn finish(mut self) -> Result<W> {
        if !self.rows.is_empty() {
            self.write_group()?;
        }
        self.writer.into_inner()
    }

    fn write_group(&mut self) -> Result<()> {
        let mut group = self.writer.next_row_group()?;
        for (place, column) in WINDOW_COLUMNS.iter().enumerate() {
            let cells = || self.rows.iter().map(move |row| row.get(place));
            match column.kind {
                ColumnKind::Text => write_column::<ByteArrayType, _>(&mut group, cells().map(text)),
                ColumnKind::Flag => write_column::<BoolType, _>(&mut group, cells().map(flag)),
                ColumnKind::Count | ColumnKind::Time => write_column::<Int64Type, _>(&mut group, cells().map(whole)),
                ColumnKind::Number => write_column::<DoubleType, _>(&mut group, cells().map(number)),
            }?;
        }
        group.close()?;
        self.rows.clear();
        Ok(())
    }
}

fn text(cell: Option<&Cell>) -> Option<ByteArray> {
    let Some(Cell::Text(words)) = cell else { return None };
    Some(ByteArray::from(words.as_str()))
}

const fn flag(cell: Option<&Cell>) -> Option<bool> {
    let Some(Cell::Flag(flag)) = cell else { return None };
    Some(*flag)
}

const fn whole(cell: Option<&Cell>) -> Option<i64> {
    let Some(Cell::Count(whole) | Cell::Time(whole)) = cell else { return None };
    Some(*whole)
}

const fn number(cell: Option<&Cell>) -> Option<f64> {
    let Some(Cell::Number(number)) = cell else { return None };
    Some(*number)
}

/// Writes the next column: what is known, and by levels where that stands (1) and where nothing does (0).
fn write_column<T: DataType, W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    cells: impl Iterator<Item = Option<T::T>>,
) -> Result<()> {
    let (mut known, mut levels) = (Vec::new(), Vec::new());
    for cell in cells {
        levels.push(i16::from(cell.is_some()));
        known.extend(cell);
    }
    if let Some(mut column) = group.next_column()? {
        column.typed::<T>().write_batch(&known, Some(&levels), None)?;
        column.close()?;
    }
    Ok(())
}

fn schema() -> Result<TypePtr> {
    let field = |column: &driftless_report::WindowColumn| {
        let (physical, logical) = match column.kind {
            ColumnKind::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
            ColumnKind::Flag => (Physical::BOOLEAN, None),
            ColumnKind::Count => (Physical::INT64, None),
            ColumnKind::Number => (Physical::DOUBLE, None),
            ColumnKind::Time => (Physical::INT64, Some(LogicalType::timestamp(true, TimeUnit::MILLIS))),
        };
        let builder = Type::primitive_type_builder(column.name, physical).with_repetition(Repetition::OPTIONAL);
        builder.with_logical_type(logical).build().map(Arc::new)
    };
    let fields = WINDOW_COLUMNS.iter().map(field).collect::<Result<_>>()?;
    Type::group_type_builder("window").with_fields(fields).build().map(Arc::new)
}

#[cfg(test)]
mod tests {
    use super::*;
    use parquet::file::reader::{FileReader, SerializedFileReader};
    use parquet::record::Field;

    /// A row with something in every column, or nothing.
    fn row(seed: i64, known: bool) -> WindowRow {
        let cell = |kind| match kind {
            _ if !known => Cell::Empty,
            ColumnKind::Text => Cell::Text(format!("flight {seed} é")),
            ColumnKind::Flag => Cell::Flag(seed % 2 == 0),
            ColumnKind::Count => Cell::Count(seed),
            ColumnKind::Number => Cell::Number(seed as f64 + 0.1),
            ColumnKind::Time => Cell::Time(1_770_000_000_000 + seed),
        };
        WINDOW_COLUMNS.iter().map(|column| cell(column.kind)).collect()
    }

    fn read(file: std::fs::File) -> Vec<WindowRow> {
        let reader = SerializedFileReader::new(file).expect("a file");
        let cell = |field: &Field| match field {
            Field::Str(words) => Cell::Text(words.clone()),
            Field::Bool(flag) => Cell::Flag(*flag),
            Field::Long(whole) => Cell::Count(*whole),
            Field::Double(number) => Cell::Number(*number),
            Field::TimestampMillis(at) => Cell::Time(*at),
            Field::Null => Cell::Empty,
            other => panic!("{other:?}"),
        };
        reader
            .get_row_iter(None)
            .expect("rows")
            .map(|row| row.expect("a row").get_column_iter().map(|(_, f)| cell(f)).collect())
            .collect()
    }

    #[test]
    fn every_kind_of_cell_comes_back_across_groups() {
        let rows: Vec<_> = (0..GROUP as i64 + 3).map(|seed| row(seed, seed % 3 != 0)).collect();
        let mut file = RowsFile::begin(tempfile::tempfile().unwrap(), &[("version", "9.9.9")]).unwrap();
        file.put(rows.clone()).unwrap();
        assert_eq!(read(file.finish().unwrap()), rows);
    }

    #[test]
    fn a_file_without_rows_has_its_columns_and_says_how_it_was_made() {
        let said = [("version", "9.9.9"), ("command", "driftless report x")];
        let file = RowsFile::begin(tempfile::tempfile().unwrap(), &said).unwrap();
        let reader = SerializedFileReader::new(file.finish().unwrap()).unwrap();
        let metadata = reader.metadata().file_metadata();
        assert_eq!(metadata.num_rows(), 0);
        assert_eq!(metadata.schema_descr().num_columns(), WINDOW_COLUMNS.len());
        let said = metadata.key_value_metadata().unwrap();
        let of = |key: &str| said.iter().find(|pair| pair.key == key).and_then(|pair| pair.value.clone());
        assert_eq!(of("driftless.schema").as_deref(), Some(WINDOW_ROWS_SCHEMA));
        assert_eq!(of("driftless.command").as_deref(), Some("driftless report x"));
    }
}
