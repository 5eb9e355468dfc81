"""What the pages show is run: the code of docs/python.md and docs/cluster.md, the notebook."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

import nbformat
import pytest
from conftest import ROOT
from nbclient import NotebookClient

import driftless
from driftless.season.__main__ import main

FENCE = re.compile(r"^```python\n(.*?)^```", re.MULTILINE | re.DOTALL)


def blocks(page: str) -> list[str]:
    return FENCE.findall((ROOT / "docs" / page).read_text())


@pytest.fixture
def somewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the demo tracks, where pages may be written."""
    shutil.copytree(ROOT / "demo-tracks", tmp_path / "demo-tracks")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_code_of_the_guide_runs_from_top_to_bottom(somewhere: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code = blocks("python.md")
    assert len(code) > 8
    names: dict[str, Any] = {}
    for block in code:
        exec(compile(block, "docs/python.md", "exec"), names)
    told = capsys.readouterr().out
    assert "not-a-flight-log" in told and "Turns by itself" in told and "trim-level" in told
    for made in ("flight.report.html", "campaign.report.html", "windows.parquet"):
        assert (somewhere / made).stat().st_size > 1000, made


def test_every_exception_stands_in_the_guide() -> None:
    page = (ROOT / "docs/python.md").read_text()
    errors = [name for name in driftless.__all__ if name.endswith("Error")]
    assert len(errors) > 7 and all(f"`{name}`" in page or f"driftless.{name}" in page for name in errors)


def test_the_query_of_the_page_on_clusters_reads_what_the_job_wrote(
    somewhere: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([str(somewhere / "demo-tracks"), str(somewhere / "season")]) == 0
    (query,) = [block for block in blocks("cluster.md") if "duckdb" in block]
    import duckdb

    rows = eval(query.split("\n\n", 1)[1], {"duckdb": duckdb}).fetchall()
    assert len(rows) > 3 and all(row[0] == 2026 and row[2] > 0 for row in rows)
    spark = [block for block in blocks("cluster.md") if "pyspark" in block]
    compile(spark[0], "docs/cluster.md", "exec")


def test_the_bytes_that_spark_brings_come_back_in_its_columns() -> None:
    """The function of the page, without Spark: it takes batches of paths and contents and gives batches of rows."""
    import pyarrow

    (spark,) = [block for block in blocks("cluster.md") if "pyspark" in block]
    columns, analyse = (
        re.search(f"^{start}.*?(?=^\\S(?<!\\)))", spark, re.MULTILINE | re.DOTALL)
        for start in ("columns", "def analyse")
    )
    assert columns and analyse
    names: dict[str, Any] = {"driftless": driftless, "pyarrow": pyarrow, "micro": pyarrow.timestamp("us", "UTC")}
    exec(columns[0] + "\n" + analyse[0], names)
    logs = [ROOT / "demo-tracks/ridge-five-metres.igc", ROOT / "README.md"]
    batch = pyarrow.record_batch({"path": [str(log) for log in logs], "content": [log.read_bytes() for log in logs]})
    table = pyarrow.Table.from_batches(names["analyse"]([batch]))
    assert table.schema.field("start_utc").type == pyarrow.timestamp("us", "UTC") and table.num_rows == 5


@pytest.mark.parametrize("notebook", sorted((ROOT / "docs/notebooks").glob("*.ipynb")), ids=lambda path: path.name)
def test_a_notebook_runs_and_shows_its_reports(notebook: Path) -> None:
    cells = nbformat.read(notebook, as_version=4)
    assert all(not cell.get("outputs") for cell in cells.cells), "notebooks are kept without what they showed"
    NotebookClient(cells, timeout=300, resources={"metadata": {"path": str(notebook.parent)}}).execute()
    shown = [output.get("data", {}) for cell in cells.cells for output in cell.get("outputs", [])]
    pieces = [data["text/html"] for data in shown if '<div class="driftless">' in data.get("text/html", "")]
    assert len(pieces) >= 2 and all("data:image/svg+xml" in piece for piece in pieces)
