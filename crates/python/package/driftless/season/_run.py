"""The job on this machine, or on a Ray cluster."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ._job import Item, Season, Summary

#: How often Ray begins a batch anew whose worker was lost. A log that brings its worker down every time ends the job then, and
#: not the cluster.
RETRIES = 20

#: Most pieces that the work is cut into: each costs the scheduler a little.
_MOST_PIECES = 10_000

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
    """Batches side by side on the processors of a Ray cluster, one each; a batch whose worker is lost goes to another."""
    import ray
    import ray.data

    if not ray.is_initialized():
        ray.init(address=address, log_to_driver=False)
    ray.data.DataContext.get_current().enable_progress_bars = False
    known, summary = season.begin(), Summary()
    batches = [{"items": [list(item) for item in batch]} for batch in season.batches()]
    if not batches:
        return summary
    # In the store of the cluster once, instead of with every batch.
    known_to_all = ray.put(known)
    pieces = ray.data.from_items(batches, override_num_blocks=min(len(batches), _MOST_PIECES))
    done = pieces.map(
        _one, fn_args=(season, known_to_all), num_cpus=1, max_retries=RETRIES, scheduling_strategy="SPREAD"
    )
    for of_batch in done.iter_rows():
        summary.add(of_batch)
        told(summary)
    return summary


def _one(row: dict[str, Any], season: Season, known: Any) -> dict[str, int]:
    import ray

    known = ray.get(known) if isinstance(known, ray.ObjectRef) else known
    items = [Item(str(log), None if marks is None else str(marks)) for log, marks in row["items"]]
    return season.run_batch(items, known, threads=1)
