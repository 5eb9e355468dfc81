"""The job on this machine, or on a Ray cluster."""

from __future__ import annotations

import importlib
import os
from collections.abc import Callable
from typing import Any

from ._job import Item, Season, SeasonError, Summary

#: How often Ray begins a batch anew whose worker was lost. If it is lost every time, its logs go one by one; a log that brings
#: its worker down by itself is a failure like any other.
RETRIES = 3

#: Batches that wait on the cluster for each of its processors: enough that none is idle, few enough to be nothing.
_WAITING = 3

#: Told after each batch.
Told = Callable[[Summary], None]


def on_this_machine(season: Season, told: Told, threads: int | None = None) -> Summary:
    """Batch after batch, the logs of each side by side."""
    known, summary = season.begin(), Summary()
    for batch in season.batches():
        summary.add(season.run_batch(batch, known, threads))
        told(summary)
    return summary


def on_ray(season: Season, told: Told, address: str | None = None) -> Summary:
    """Batches side by side on the processors of a Ray cluster, one each; a batch whose worker is lost goes to another.

    Only the names of logs and what was counted go over the network by way of Ray: workers read and write by themselves.
    """
    # Nothing is told to anybody about what runs here.
    os.environ.setdefault("RAY_USAGE_STATS_ENABLED", "0")
    ray = _ray()
    if not ray.is_initialized():
        ray.init(address=address, log_to_driver=False)
    known, summary = season.begin(), Summary()
    # In the store of the cluster once, instead of with every batch.
    task_of, season_to_all, known_to_all = _task(ray), ray.put(season), ray.put(known)
    waiting: dict[Any, list[Item]] = {}

    def send(batch: list[Item]) -> None:
        waiting[task_of.remote(season_to_all, batch, known_to_all)] = batch

    def collect() -> None:
        (done,), _ = ray.wait(list(waiting), num_returns=1)
        batch = waiting.pop(done)
        try:
            summary.add(ray.get(done))
        except (
            ray.exceptions.WorkerCrashedError,
            ray.exceptions.OutOfMemoryError,
            ray.exceptions.NodeDiedError,
        ) as lost:
            if len(batch) > 1:
                for item in batch:
                    send([item])
                return
            summary.add(season.give_up(batch[0], lost))
        told(summary)

    for batch in season.batches():
        send(batch)
        # The cluster may grow and shrink meanwhile.
        while len(waiting) >= _WAITING * max(1, int(ray.cluster_resources().get("CPU", 1))):
            collect()
    while waiting:
        collect()
    return summary


def _ray() -> Any:
    """Ray, which need not be there for anything else. Its types differ from one version to the next."""
    try:
        return importlib.import_module("ray")
    except ImportError as error:
        raise SeasonError(f'Ray cannot be loaded ({error}); install it with pip install "driftless[ray]"') from error


def _task(ray: Any) -> Any:
    # A disk or a bucket may be away for a moment; whatever is wrong with a log is no exception.
    options = {"num_cpus": 1, "max_retries": RETRIES, "retry_exceptions": [OSError]}
    return ray.remote(**options)(_one)


def _one(season: Season, batch: list[Item], known: frozenset[str]) -> dict[str, int]:
    return season.run_batch(batch, known, threads=1)
