//! Rows as Arrow columns, handed to whoever asks by the Arrow PyCapsule interface
//! (<https://arrow.apache.org/docs/format/CDataInterface/PyCapsuleInterface.html>): pyarrow, Polars, DuckDB, pandas and others
//! take them without a copy, and none of them has to be there.

use crate::faults::Fault;
use arrow_array::cast::AsArray;
use arrow_array::ffi_stream::FFI_ArrowArrayStream;
use arrow_array::types::{Float64Type, Int64Type, TimestampMillisecondType};
use arrow_array::{
    Array, ArrayRef, BooleanArray, Float64Array, Int64Array, RecordBatch, RecordBatchIterator, StringArray,
    TimestampMillisecondArray,
};
use arrow_schema::ffi::FFI_ArrowSchema;
use arrow_schema::{DataType, Field, Schema, TimeUnit};
use pyo3::prelude::*;
use pyo3::types::{PyCapsule, PyDateTime, PyDict, PyList, PyTzInfo};
use std::collections::HashMap;
use std::sync::Arc;

/// The cells of a column; `None` is a cell without a value.
pub(crate) enum Cells {
    Real(Vec<Option<f64>>),
    Whole(Vec<Option<i64>>),
    Truth(Vec<Option<bool>>),
    Words(Vec<Option<String>>),
    /// Milliseconds from 1970, UTC.
    Moment(Vec<Option<i64>>),
}

/// A column: its name, what stands in it, its cells.
pub(crate) struct Column {
    pub(crate) name: &'static str,
    pub(crate) doc: &'static str,
    pub(crate) cells: Cells,
}

const UTC: &str = "UTC";

/// Key of the words that say what a column holds, in the metadata of its field.
const DOC: &str = "description";

impl Column {
    fn into_arrow(self) -> (Field, ArrayRef) {
        let array: ArrayRef = match self.cells {
            Cells::Real(cells) => Arc::new(Float64Array::from(cells)),
            Cells::Whole(cells) => Arc::new(Int64Array::from(cells)),
            Cells::Truth(cells) => Arc::new(BooleanArray::from(cells)),
            Cells::Words(cells) => Arc::new(StringArray::from(cells)),
            Cells::Moment(cells) => Arc::new(TimestampMillisecondArray::from(cells).with_timezone(UTC)),
        };
        let doc = HashMap::from([(DOC.to_owned(), self.doc.to_owned())]);
        (Field::new(self.name, array.data_type().clone(), true).with_metadata(doc), array)
    }
}

/// Rows as Arrow columns.
#[pyclass(frozen, module = "driftless._native")]
pub(crate) struct ArrowTable {
    batch: RecordBatch,
}

impl ArrowTable {
    /// From columns of one length.
    pub(crate) fn new(columns: Vec<Column>) -> Result<Self, Fault> {
        let (fields, arrays): (Vec<_>, Vec<_>) = columns.into_iter().map(Column::into_arrow).unzip();
        let batch = RecordBatch::try_new(Arc::new(Schema::new(fields)), arrays);
        batch.map(|batch| Self { batch }).map_err(|error| Fault::Document(error.to_string()))
    }
}

#[pymethods]
impl ArrowTable {
    /// The columns as a capsule that holds an Arrow schema.
    fn __arrow_c_schema__<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyCapsule>> {
        let schema = FFI_ArrowSchema::try_from(self.batch.schema_ref().as_ref());
        let schema = schema.map_err(|error| Fault::Document(error.to_string()).into_exception(py))?;
        PyCapsule::new_with_value(py, schema, c"arrow_schema")
    }

    /// The rows as a capsule that holds an Arrow stream. What schema somebody would rather have is for them to cast to, as the
    /// interface allows.
    #[pyo3(signature = (requested_schema = None))]
    fn __arrow_c_stream__<'py>(
        &self,
        py: Python<'py>,
        requested_schema: Option<Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyCapsule>> {
        drop(requested_schema);
        // Reference counts: no cell is copied.
        let rows = RecordBatchIterator::new([Ok(self.batch.clone())], self.batch.schema());
        PyCapsule::new_with_value(py, FFI_ArrowArrayStream::new(Box::new(rows)), c"arrow_array_stream")
    }

    fn __len__(&self) -> usize {
        self.batch.num_rows()
    }

    fn __repr__(&self) -> String {
        format!("<driftless.ArrowTable: {} rows, {} columns>", self.batch.num_rows(), self.batch.num_columns())
    }

    /// Names of the columns, each with what it holds.
    #[getter]
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        for field in self.batch.schema_ref().fields() {
            columns.set_item(field.name(), field.metadata().get(DOC))?;
        }
        Ok(columns)
    }

    /// Each column as a list, for whoever has no library for tables.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let columns = PyDict::new(py);
        for (field, array) in self.batch.schema_ref().fields().iter().zip(self.batch.columns()) {
            columns.set_item(field.name(), cells(py, array)?)?;
        }
        Ok(columns)
    }
}

fn cells<'py>(py: Python<'py>, array: &ArrayRef) -> PyResult<Bound<'py, PyList>> {
    match array.data_type() {
        DataType::Float64 => PyList::new(py, array.as_primitive::<Float64Type>().iter()),
        DataType::Int64 => PyList::new(py, array.as_primitive::<Int64Type>().iter()),
        DataType::Boolean => PyList::new(py, array.as_boolean().iter()),
        DataType::Timestamp(TimeUnit::Millisecond, _) => {
            let utc = PyTzInfo::utc(py)?;
            let moment = |ms: Option<i64>| {
                // Milliseconds of any date that a log may have are exact in a double.
                ms.map(|ms| PyDateTime::from_timestamp(py, ms as f64 / 1e3, Some(&utc))).transpose()
            };
            let moments = array.as_primitive::<TimestampMillisecondType>().iter().map(moment);
            PyList::new(py, moments.collect::<PyResult<Vec<_>>>()?)
        }
        _ => PyList::new(py, array.as_string::<i32>().iter()),
    }
}
