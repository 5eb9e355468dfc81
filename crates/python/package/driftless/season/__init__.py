"""A season of logs to tables: every log of a folder or a bucket, on this machine or on a cluster.

    python -m driftless.season LOGS OUTPUT                  # this machine, all cores
    python -m driftless.season LOGS OUTPUT --on ray         # a Ray cluster
    python -m driftless.season s3://club/logs s3://club/season --on ray --address auto

Reads every log below `LOGS` and writes into `OUTPUT`:

* `windows/year=YYYY/*.parquet`: a row for each window, the columns of `driftless.windows` behind `log_path`;
* `logs/*.parquet`: a row for each log that was read: path, SHA-256, how many windows, why none;
* `failures/*.parquet`: a row for each log that gave nothing: path, kind, the words of the program, what to do.

A log that cannot be used is a row among the failures and stops nothing. What was begun is gone on with: a log whose bytes
(and marks) were seen is not analysed again. A worker that is lost costs the logs it had in hand, which another takes.

Needs pyarrow (`pip install "driftless[season]"`), and Ray where it is to run on a cluster (`pip install "driftless[ray]"`).
"""

from ._job import Season, SeasonError, Summary

__all__ = ["Season", "SeasonError", "Summary"]
