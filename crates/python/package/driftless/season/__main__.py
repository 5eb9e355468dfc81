"""`python -m driftless.season LOGS OUTPUT`"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from ._job import Season, SeasonError, Summary
from ._places import Place
from ._run import on_ray, on_this_machine

#: Between two lines of progress, seconds.
_EVERY_S = 10.0


def main(arguments: list[str] | None = None) -> int:
    """Runs the job. 0: done, whatever single logs were worth; 2: it could not begin."""
    parser = argparse.ArgumentParser(
        prog="python -m driftless.season",
        description="Every log below a folder or a bucket to Parquet tables: windows, logs, failures.",
        epilog="What was begun is gone on with: run the same line again.",
    )
    parser.add_argument("logs", help="folder, or address such as s3://club/logs")
    parser.add_argument("output", help="folder or address for the tables")
    parser.add_argument("--on", choices=["machine", "ray"], default="machine", help="where to compute")
    parser.add_argument(
        "--address", help='of a Ray cluster ("auto": the one this machine belongs to); none: a local one'
    )
    parser.add_argument("--jobs", type=int, help="threads, on this machine (one for each core)")
    parser.add_argument("--csv-map", type=Path, help="column mapping for CSV logs with other column names")
    parser.add_argument("--batch", type=int, default=32, help="logs that a worker has in hand at once (32)")
    parser.add_argument("--limit", action="append", default=[], metavar="NAME=N", help="as of driftless")
    given = parser.parse_args(arguments)
    if given.batch < 1:
        parser.error("--batch is a number of logs, 1 or more")
    try:
        limits = {name: int(value) for name, value in (limit.split("=") for limit in given.limit)}
    except ValueError:
        parser.error("--limit is a name and a number, as fixes=5000000")
    progress = _Progress()
    try:
        season = Season(
            Place(given.logs),
            Place(given.output),
            csv_map=given.csv_map.read_bytes() if given.csv_map else None,
            limits=limits,
            batch_logs=given.batch,
        )
        if given.on == "ray":
            summary = on_ray(season, progress.tell, given.address)
        else:
            summary = on_this_machine(season, progress.tell, given.jobs)
    except (SeasonError, OSError, ValueError) as error:
        print(f"error: {error}", file=sys.stderr)
        return 2
    print(f"{summary}; {time.monotonic() - progress.began:.1f} s")
    return 0


class _Progress:
    def __init__(self) -> None:
        self.began = self.last = time.monotonic()

    def tell(self, summary: Summary) -> None:
        now = time.monotonic()
        if now - self.last >= _EVERY_S:
            self.last = now
            print(f"{now - self.began:.0f} s: {summary}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main())
