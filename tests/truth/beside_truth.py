#!/usr/bin/env python3
"""Logs of flights whose truth is known, each beside what the program says of it.

    python3 tests/truth/beside_truth.py FOLDER            prints the table
    python3 tests/truth/beside_truth.py FOLDER --write    writes it into docs/validation.md

A log NAME.gpx.gz (or .nmea.gz, .igc.gz, plain as well) stands beside NAME.truth.json, which holds `windows`: scenario, let_go_utc and
take_over_utc, steady_from_utc and steady_to_utc, steady_rate_deg_s, realised_rate_deg_s, airspeed; where it holds
`heading_deg_unwrapped_every_s` (true heading at t0, t0 + 1 s, ...) turns are held against that between the very ends of the
measured window, else against the realised rate of the steady part, which the program may have cut shorter. A log without marks of
its own is given those times as a marks file. Needs the program (`cargo build --release`); DRIFTLESS_PROGRAM names another one. A log without a truth is one on which only what was measured is told.
"""

import json
import os
import subprocess
import sys
import tempfile
from datetime import datetime
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = Path(os.environ.get("DRIFTLESS_PROGRAM", ROOT / "target" / "release" / "driftless"))
PAGE = ROOT / "docs" / "validation.md"
BEGIN, END = "<!-- made: beside-truth -->", "<!-- end: beside-truth -->"
HEAD = ["log", "flights", "windows accepted", "refused, by the first reason", "turn rate in 95 %", "largest error, °/s (its margin)",
        "airspeed in 95 %", "wind", "receiver"]


def moment(text):
    return datetime.fromisoformat(text.replace("Z", "+00:00")).timestamp()


def report(log, truth, folder):
    """The document of a log."""
    arguments = [str(PROGRAM), "report", str(log), "--format", "json", "-o", "-"]
    if truth and ".nmea" in log.name:
        marks = Path(folder) / "marks.csv"
        rows = [f"{w['let_go_utc']},{w['take_over_utc']}" for w in truth["windows"]]
        marks.write_text("\n".join(["let_go,take_over", *rows]) + "\n", encoding="utf-8")
        arguments += ["--marks", str(marks)]
    ran = subprocess.run(arguments, capture_output=True, text=True, check=False)
    if ran.returncode not in (0, 1):
        sys.exit(f"{log.name}: {ran.stderr}")
    return json.loads(ran.stdout)


def flown(window, truth):
    """The window of the truth that holds most of this one; None where none does."""
    start, end = moment(window["start_utc"]), moment(window["end_utc"])
    shared = [(min(end, moment(w["take_over_utc"])) - max(start, moment(w["let_go_utc"])), w) for w in truth["windows"]]
    most, of = max(shared, key=lambda pair: pair[0])
    return of if most > 0.5 * (end - start) else None


def true_rate(window, of, truth):
    """Heading change over the window by its length, °/s."""
    headings = truth.get("heading_deg_unwrapped_every_s")
    if not headings:
        return of["realised_rate_deg_s"]
    # The truth counts its seconds from its own beginning: let_go stands in both clocks.
    zero = moment(of["let_go_utc"]) - of["let_go"]
    start, end = (moment(window[key]) - zero for key in ("start_utc", "end_utc"))

    def at(second):
        low = max(0, min(len(headings) - 2, int(second)))
        return headings[low] + (second - low) * (headings[low + 1] - headings[low])

    return (at(end) - at(start)) / (end - start)


def row(log, document, truth):
    accepted = [w for w in document["windows"] if w["accepted"]]
    refused = [w for w in document["windows"] if not w["accepted"]]
    reasons = {}
    for window in refused:
        first = window["findings"][0]["code"]
        reasons[first] = reasons.get(first, 0) + 1
    held, speeds, worst, nowhere = [], [], None, 0
    for window in accepted:
        of = truth and flown(window, truth)
        if truth and not of:
            nowhere += 1
        if not of:
            continue
        rate = window["turn_rate"]
        error = rate["value_deg_s"] - true_rate(window, of, truth)
        margin = 0.5 * (rate["high95_deg_s"] - rate["low95_deg_s"])
        held.append(abs(error) <= margin)
        if worst is None or abs(error) > abs(worst[0]):
            worst = (error, margin)
        if window["airspeed_mps"] is not None:
            speeds.append(abs(window["airspeed_mps"] - of["airspeed"]) <= 1.96 * window["airspeed_std_u_mps"])
    share = lambda all_of: f"{sum(all_of)} of {len(all_of)}" if all_of else "-"
    smoothed = (document["estimate"] or {}).get("receiver_smoothing_s")
    return [
        log.name.split(".")[0],
        str(len(document["flights"])),
        f"{len(accepted)}" + (f", {nowhere} where no hands were off" if nowhere else ""),
        ", ".join(f"{count} {code}" for code, count in sorted(reasons.items())) or "-",
        share(held),
        f"{worst[0]:+.2f} ({worst[1]:.2f})" if worst else "-",
        share(speeds),
        "stated" if document["wind"]["observable"] else document["wind"]["finding"]["code"],
        f"smooths by {smoothed:.1f} s" if smoothed else "-",
    ]


def table(folder):
    rows = []
    with tempfile.TemporaryDirectory() as scratch:
        for log in sorted(p for p in folder.iterdir() if p.suffix in {".gz", ".gpx", ".igc", ".nmea"}):
            beside = folder / f"{log.name.split('.')[0]}.truth.json"
            truth = json.loads(beside.read_text(encoding="utf-8")) if beside.exists() else None
            rows.append(row(log, report(log, truth, scratch), truth))
    widths = [max(len(line[c]) for line in [HEAD, *rows]) for c in range(len(HEAD))]
    line = lambda cells: "| " + " | ".join(cell.ljust(width) for cell, width in zip(cells, widths)) + " |"
    return "\n".join([line(HEAD), "| " + " | ".join("-" * width for width in widths) + " |", *map(line, rows)])


def main():
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    made = table(Path(sys.argv[1]))
    if "--write" not in sys.argv[2:]:
        print(made)
        return
    page = PAGE.read_text(encoding="utf-8")
    before, rest = page.split(BEGIN)
    _, after = rest.split(END)
    PAGE.write_text(f"{before}{BEGIN}\n{made}\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    main()
