#!/usr/bin/env python3
"""`driftless serve` on a machine that fails: reads and writes of its files fail one after the other, once and for ever, while a log is
uploaded and reported. It has to go on answering, say what it could not do, and keep what it said it kept: it is killed without warning
afterwards, and the logbook looked at.

    python3 tests/faults/served_failing.py

Faults are put in by strace. Prints a table of tries; ends with 1 when something broke.
"""

import http.client
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

from served import PROGRAM, REPOSITORY, Served, form

# Calls on files alone: those on the line to the browser have other names.
FAULTS = {"pread64": "EIO", "pwrite64": "ENOSPC", "fdatasync": "EIO", "fsync": "EIO", "ftruncate": "EIO", "openat": "EACCES", "mkdir": "EROFS"}
LOG = REPOSITORY / "demo-tracks" / "ridge-five-metres.igc"


def session(folder: pathlib.Path, inject: str) -> tuple[bool, str]:
    """One session under a fault: whether it came, and what is wrong."""
    trace = folder / "strace.log"
    call = inject.split(":")[0]
    # -D: the program itself is the child, so that it can be killed.
    under = ["strace", "-D", "-f", "--seccomp-bpf", "-o", trace, "-e", f"trace={call}", "-e", f"inject={inject}"]
    wrong = ""
    taken = False
    try:
        served = Served(folder, under)
    except (AssertionError, http.client.HTTPException, OSError):
        # It did not begin at all; or the first answer failed, and it was told.
        return "INJECTED" in trace.read_text(errors="replace"), ""
    try:
        status, headers, content = served.ask("POST", "/flights", form(LOG.name, LOG.read_bytes()))
        taken = status == 303 and "/flights/" in headers.get("location", "")
        if status != 303 and not re.search(rb"[a-z]{3,} [a-z]{2,}", content):
            wrong = f"upload: {status} without a word"
        if taken:
            status, _, content = served.ask("GET", headers["location"].rstrip("/") + "/report.html")
            if status == 200 and b"</html>" not in content:
                wrong = "half a report"
        status, _, _ = served.ask("GET", "/")
        if served.process.poll() is not None:
            wrong = "the program ended"
    except (http.client.HTTPException, OSError) as error:
        wrong = f"no answer: {error!r}"
    finally:
        served.process.kill()
        served.process.wait()
    came = "INJECTED" in trace.read_text(errors="replace")
    logbook = folder / "kept.logbook"
    if logbook.exists() and not wrong:
        check = subprocess.run([PROGRAM, "logbook", "check", logbook], capture_output=True, text=True, check=False)
        listed = subprocess.run([PROGRAM, "logbook", "list", logbook], capture_output=True, text=True, check=False)
        if check.returncode != 0 and logbook.stat().st_size > 0:
            wrong = f"the logbook is not sound: {check.stderr[-200:]}"
        elif taken and "ridge-five-metres" not in listed.stdout:
            wrong = "a flight was confirmed and is not there"
    return came, wrong


def main() -> None:
    if shutil.which("strace") is None:
        sys.exit("strace is missing: apt-get install strace")
    broken = []
    print("| failing | how | tries | broken |\n|---|---|---|---|")
    for call, error in FAULTS.items():
        for how in ("once", "for ever"):
            tries = 0
            wrongs = []
            for number in range(1, 500):
                with tempfile.TemporaryDirectory() as scratch:
                    came, wrong = session(pathlib.Path(scratch), f"{call}:error={error}:when={number}{'+' if how == 'for ever' else ''}")
                if not came:
                    break
                tries += 1
                if wrong:
                    wrongs.append(f"{call} {number} {how}: {wrong}")
            if tries:
                print(f"| {call} | {how} | {tries} | {len(wrongs)} |", flush=True)
            broken += wrongs
    for line in broken:
        print(line)
    sys.exit(1 if broken else 0)


if __name__ == "__main__":
    main()
