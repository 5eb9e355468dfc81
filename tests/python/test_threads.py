"""The interpreter goes on while the package computes, and Ctrl-C ends what it began."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Callable

import pytest
from conftest import CAMPAIGN_LOGS, DEMO

import driftless


def longest_pause_s(work: Callable[[], object]) -> tuple[float, float]:
    """How long the work took, and the longest time in which another thread of Python did not come to run."""
    worker = threading.Thread(target=work)
    pauses = [0.0]
    began = last = time.monotonic()
    worker.start()
    while worker.is_alive():
        time.sleep(0.001)
        now = time.monotonic()
        pauses.append(now - last)
        last = now
    return last - began, max(pauses)


def test_other_threads_run_while_it_computes(long_log: Path) -> None:
    log = long_log.read_bytes()
    for name, work in {
        "report": lambda: driftless.report(log),
        "windows": lambda: driftless.windows([log] * 3),
        "compare": lambda: driftless.compare(DEMO / "campaign/campaign.toml"),
    }.items():
        took_s, pause_s = longest_pause_s(work)
        print(f"{name}: {took_s:.2f} s, longest pause of another thread {pause_s:.3f} s")
        # Held, the interpreter would pause the other thread for nearly all of it; the machine may be busy with others.
        assert took_s > 0.2, f"{name} was over too soon to see anything"
        assert pause_s < 0.5 * took_s, name


def test_the_same_from_many_threads_at_once() -> None:
    alone = [driftless.report(log) for log in CAMPAIGN_LOGS[:8]]
    with ThreadPoolExecutor(8) as threads:
        assert list(threads.map(driftless.report, CAMPAIGN_LOGS[:8])) == alone


def test_reports_and_errors_cross_processes() -> None:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        (report,) = processes.map(driftless.report, ["ridge-five-metres.igc"])
        assert report == driftless.report("ridge-five-metres.igc") and report.charts()
        with pytest.raises(driftless.FileError, match="no such log"):
            processes.submit(driftless.report, "no such log.igc").result()


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_ctrl_c_ends_a_long_call(long_log: Path) -> None:
    code = (
        "import driftless, sys; print('ready', flush=True)\n"
        f"try: driftless.windows([{str(long_log)!r}] * 10_000)\n"
        "except KeyboardInterrupt: print('stopped')"
    )
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None and child.stdout.readline() == "ready\n"
        time.sleep(1.0)
        began = time.monotonic()
        os.kill(child.pid, signal.SIGINT)
        assert child.stdout.read() == "stopped\n"
        assert time.monotonic() - began < 60
