"""The season on a cluster whose worker is killed: called by cluster.sh with the number of flights."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = ROOT / "target/release/driftless"

# Before Ray is there: nothing is sent, and nothing is kept of this cluster.
os.environ |= {"RAY_USAGE_STATS_ENABLED": "0", "RAY_AUTH_MODE": "disabled"}

import psutil  # noqa: E402
import pyarrow.dataset  # noqa: E402
import ray  # noqa: E402
from ray.cluster_utils import Cluster  # noqa: E402

from driftless.season import Season, Summary  # noqa: E402
from driftless.season._job import Item  # noqa: E402
from driftless.season._places import Place  # noqa: E402
from driftless.season._run import on_ray  # noqa: E402

#: Of the flights, one in so many is replaced by what nobody can use.
BAD_EVERY = 50
#: Batches small enough that there is a middle.
BATCH_LOGS = 8
#: Memory of a worker in the last third of the run against the middle third: what is flat may waver by so much.
FLAT = 1.15


def simulate(flights: int, into: Path) -> None:
    """Flights of two years, each with its own seed, and bad logs among them."""
    scenario = (ROOT / "demo-tracks/meadow-light-wind.toml").read_text()
    dated = [scenario.replace("2026-05-14", day) for day in ("2025-05-14", "2026-05-14")]
    assert dated[0] != dated[1]

    def fly(at: int) -> None:
        folder = into / f"day-{at // 100:03}"
        with tempfile.TemporaryDirectory() as place:
            subprocess.run(
                [PROGRAM, "simulate", "-", "--seed", str(at + 1), "-o", place],
                input=dated[at % 2], text=True, check=True, capture_output=True,
            )  # fmt: skip
            (log,) = Path(place).glob("*.gpx")
            folder.mkdir(parents=True, exist_ok=True)
            shutil.move(log, folder / f"flight-{at:05}.gpx")

    with ThreadPoolExecutor(os.cpu_count()) as threads:
        list(threads.map(fly, range(flights)))
    for at in range(0, flights, BAD_EVERY):
        bad = into / f"day-{at // 100:03}" / f"flight-{at:05}.gpx"
        bad.write_bytes(bad.read_bytes()[:200] if at % 2 else b"\x89PNG\r\n\x1a\n" + bytes(range(256)))


class Poisoned(Season):
    """A season in which a log brings down whatever worker takes it, as one that needs more memory than there is would."""

    POISON = "day-000/flight-00007.gpx"

    def run_batch(self, items: Sequence[Item], known: frozenset[str], threads: int | None) -> dict[str, int]:
        if any(item.log == self.POISON for item in items):
            os.kill(os.getpid(), signal.SIGKILL)
        return super().run_batch(items, known, threads)


class Memory:
    """Memory of the workers of a cluster, over time."""

    def __init__(self) -> None:
        self.samples: list[tuple[float, int]] = []
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._watch, daemon=True)
        self._thread.start()

    def _watch(self) -> None:
        while not self._stop.wait(0.5):
            # A worker names itself after what it does; all are children of this process.
            busy = [size for name, size in self._children() if name.startswith("ray::_one")]
            if busy:
                self.samples.append((time.monotonic(), max(busy)))

    @staticmethod
    def _children() -> Iterator[tuple[str, int]]:
        for process in psutil.process_iter():
            try:
                yield " ".join(process.cmdline()[:1]), process.memory_info().rss
            except psutil.Error:
                continue

    def end(self) -> list[tuple[float, int]]:
        self._stop.set()
        self._thread.join()
        return self.samples


def thirds(samples: list[tuple[float, int]]) -> list[float]:
    """Highest memory in each third of the run, MiB."""
    begun, ended = samples[0][0], samples[-1][0]
    highest = [0.0, 0.0, 0.0]
    for at, size in samples:
        third = min(2, int(3 * (at - begun) / max(ended - begun, 1e-9)))
        highest[third] = max(highest[third], size / 2**20)
    return highest


def rows_of_the_program(source: Path) -> tuple[dict[tuple[str, int], dict[str, Any]], int]:
    """What `driftless report --format json` says of every window, and how many logs it refuses."""
    logs = sorted(source.rglob("*.gpx"))
    rows, refused = {}, 0
    for start in range(0, len(logs), 100):
        some = logs[start : start + 100]
        done = subprocess.run([PROGRAM, "report", *some, "--format", "json"], capture_output=True, text=True)
        documents = [json.loads(line) for line in done.stdout.splitlines()]
        refused += len(some) - len(documents)
        for document in documents:
            for window in document["windows"]:
                rows[document["made_by"]["input_sha256"], window["id"]] = window
    return rows, refused


def table(target: Path, name: str) -> pyarrow.Table:
    return pyarrow.dataset.dataset(target / name, partitioning="hive").to_table()


def compare(target: Path, source: Path, summary: Summary) -> None:
    rows = table(target, "windows")
    expected, refused = rows_of_the_program(source)
    assert rows.num_rows == summary.rows == len(expected) > 0, (rows.num_rows, summary.rows, len(expected))
    for row in rows.to_pylist():
        window = expected.pop((row["made_by_input_sha256"], row["id"]))
        for rate in ("turn_rate", "steady_rate"):
            for part in ("value_deg_s", "std_u_deg_s", "low95_deg_s", "high95_deg_s"):
                assert row[f"{rate}_{part}"] == window[rate][part], row["log_path"]
        assert row["accepted"] == window["accepted"] and row["scenario"] == window["scenario"]
        assert row["year"] == row["log_start_utc"].year
    assert not expected
    failures = table(target, "failures")
    assert failures.num_rows == summary.failed == refused > 0, (failures.num_rows, summary.failed, refused)


def main(flights: int) -> None:
    folder = Path(tempfile.mkdtemp(prefix="driftless-season-"))
    source, target = folder / "logs", folder / "season"
    began = time.monotonic()
    simulate(flights, source)
    megabytes = sum(path.stat().st_size for path in source.rglob("*.gpx")) / 1e6
    print(f"{flights} flights simulated, {megabytes:.0f} MB: {time.monotonic() - began:.0f} s", flush=True)

    cluster = Cluster(initialize_head=True, head_node_args={"num_cpus": 0})
    workers = [cluster.add_node(num_cpus=1) for _ in range(2)]
    ray.init(address=cluster.address, log_to_driver=False)
    killed: list[int] = []

    def told(summary: Summary) -> None:
        if not killed and summary.logs > flights // 3:
            killed.append(summary.logs)
            cluster.remove_node(workers[0], allow_graceful=False)
            print(f"a worker killed after {summary.logs} logs", flush=True)

    memory = Memory()
    began = time.monotonic()
    season = Poisoned(Place(str(source)), Place(str(target)), batch_logs=BATCH_LOGS)
    summary = on_ray(season, told)
    took_s = time.monotonic() - began
    samples = memory.end()
    print(f"{summary}; {took_s:.0f} s, {1000 * took_s / flights:.0f} ms a log")
    assert killed, "no worker was killed"
    assert (summary.logs, summary.analysed) == (flights, flights - 1)
    lost = [row for row in table(target, "failures").to_pylist() if row["code"] == "worker-lost"]
    assert [row["log_path"] for row in lost] == [Poisoned.POISON], lost
    print("the log that brings its worker down is a failure, and the only one of its batch")

    # Without the poison: nothing is done again but that log.
    again = on_ray(Season(season.source, season.target, batch_logs=BATCH_LOGS), told)
    assert (again.analysed, again.skipped) == (1, flights - 1), again
    print(f"a second run: {again}")
    summary.add({"analysed": again.analysed, "rows": again.rows, "failed": -len(lost)})
    compare(target, source, summary)
    print("rows and failures are those of the program, none lost and none twice")
    ray.shutdown()
    cluster.shutdown()

    highest = thirds(samples)
    print(f"memory of a worker, highest in each third: {', '.join(f'{size:.0f} MiB' for size in highest)}")
    assert highest[2] <= FLAT * highest[1], "memory grows"
    shutil.rmtree(folder)


if __name__ == "__main__":
    main(int(sys.argv[1]))
