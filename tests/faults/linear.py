#!/usr/bin/env python3
"""Files made to take long, each at one size and at four times that: work that grows with the size takes some four times as long, work
that grows with its square sixteen times.

    python3 tests/faults/linear.py

Processor time of target/release/driftless, or of what DRIFTLESS_PROGRAM names. Prints a table; ends with 1 when one took more than
MOST times as long, and longer than a moment at all.
"""

import datetime
import math
import os
import pathlib
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator

REPOSITORY = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("DRIFTLESS_PROGRAM", REPOSITORY / "target" / "release" / "driftless"))

# Times as long for a file four times as large; caches and page faults take something more than their share.
MOST = 6.5
# Below that nothing can be told, s.
MOMENT_S = 0.2
# What may be taken of memory, B: for a fix where a log is checked, for a fix on the whole road, and there for a second of flight
# beside, as the estimate keeps what it knows of each second, whatever the rate (docs/performance.md).
ALLOWED_B = {"a fix, checked": 300, "a fix, whole road": 300, "a second, whole road": 6_500}
# Lines, elements or the like of the smaller file.
SIZE = 100_000


def time_of(second: float) -> str:
    moment = datetime.datetime(2025, 5, 1, tzinfo=datetime.UTC) + datetime.timedelta(seconds=second)
    return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def point(second: int) -> str:
    return f'<trkpt lat="{47 + second * 1e-6:.7f}" lon="11"><time>{time_of(second)}</time></trkpt>'


def gpx(inside: str) -> str:
    return f"<gpx><trk><trkseg>{point(0)}{inside}{point(1)}</trkseg></trk></gpx>"


def row(second: int) -> str:
    return f"{time_of(second)},{47 + second * 1e-5:.6f},11\n"


def igc_line(second: int) -> str:
    return f"B{second // 3600 % 24:02}{second // 60 % 60:02}{second % 60:02}4700{second % 1000:03}N00815000EA0057000600\n"


CSV = "time,lat,lon\n"
IGC = "AXXX000\nHFDTE010526\n"
# Name of the file, what is hostile, how it is made.
FAMILIES: list[tuple[str, str, Callable[[int], str]]] = [
    ("a.gpx", "elements that are never closed", lambda n: gpx("<extensions>" * n)),
    ("a.gpx", "attributes of one element", lambda n: gpx("<trkpt " + " ".join(f'a{i}="1"' for i in range(n)) + "/>")),
    ("a.gpx", "entities", lambda n: gpx("<name>" + "&amp;" * 4 * n + "</name>")),
    ("a.gpx", "unknown entities", lambda n: gpx("<name>" + "&who;" * 4 * n + "</name>")),
    ("a.gpx", "one comment", lambda n: gpx("<!-- " + "- " * 20 * n + "-->")),
    ("a.gpx", "segments of one point", lambda n: gpx("".join(f"</trkseg><trkseg>{point(i)}" for i in range(n)))),
    ("a.gpx", "points without a time", lambda n: gpx('<trkpt lat="47" lon="11"/>' * n)),
    ("a.gpx", "points at one time", lambda n: gpx(point(5) * n)),
    ("a.gpx", "points backwards", lambda n: gpx("".join(point(i) for i in range(n, 0, -1)))),
    ("a.kml", "times, then places", lambda n: "<kml><Placemark><gx:Track>" + "".join(f"<when>{time_of(i)}</when>" for i in range(n))
     + "".join(f"<gx:coord>11 {47 + i * 1e-6:.7f} 5</gx:coord>" for i in range(n)) + "</gx:Track></Placemark></kml>"),
    ("a.csv", "columns", lambda n: "time,lat,lon," + ",".join(f"c{i}" for i in range(n)) + "\n" + row(1)),
    ("a.csv", "a quote that never ends", lambda n: CSV + row(1) + '"' + "a,\n" * 10 * n),
    ("a.csv", "bad rows", lambda n: CSV + row(1) + row(2) + "x,y,z\n" * 4 * n + "".join(row(i) for i in range(3, 20))),
    ("a.csv", "rows at one time", lambda n: CSV + row(7) * n + "".join(row(i) for i in range(8, 20))),
    ("a.csv", "rows in disorder", lambda n: CSV + "".join(row(i * 7_919 % n) for i in range(n))),
    ("a.csv", "jumps to and fro", lambda n: CSV + "".join(f"{time_of(i)},{47 + i % 2},11\n" for i in range(n))),
    ("a.csv", "gaps", lambda n: CSV + "".join(row(i * 40) for i in range(n))),
    ("a.csv", "one long line", lambda n: CSV + row(1) + "9" * 50 * n + "\n"),
    ("a.igc", "comments", lambda n: IGC + igc_line(0) + "LXXX a comment\n" * 4 * n + igc_line(1)),
    ("a.igc", "marks", lambda n: IGC + igc_line(0) + "E090000PEV\n" * 4 * n + igc_line(1)),
    ("a.igc", "dates", lambda n: IGC + igc_line(0) + "HFDTE010526\n" * 4 * n + igc_line(1)),
    ("a.igc", "fixes at one time", lambda n: IGC + igc_line(5) * n),
    ("a.nmea", "sentences with a wrong checksum", lambda n: "$GPRMC,090000,A,4700.0,N,00815.0,E,10,30,010526,,*00\r\n" * n),
    ("a.nmea", "dollars", lambda n: "$" * 20 * n),
    ("a.csv", "standing, for hours", lambda n: CSV + "".join(f"{time_of(i)},47,11\n" for i in range(n))),
]


def cost(folder: pathlib.Path, arguments: list[str]) -> tuple[float, float]:
    """Processor time, s, and most memory, bytes, of a run, which may end with a result or in words."""
    with (folder / "out").open("wb") as out, (folder / "err").open("wb") as err:
        process = subprocess.Popen([PROGRAM, *arguments], cwd=folder, stdout=out, stderr=err)
        _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    words = (folder / "err").read_text(errors="replace")
    if process.returncode not in (0, 1, 2) or "panicked" in words:
        sys.exit(f"{arguments} ended with {process.returncode}: {words[-300:]}")
    return used.ru_utime + used.ru_stime, used.ru_maxrss * 1024.0


def marks(n: int) -> str:
    return "let_go,take_over\n" + "".join(f"{i},{i + 1}\n" for i in range(n))


def flight(fixes: int, rate_hz: float) -> Iterator[str]:
    """Straight flight and a circle by turns, in a steady wind."""
    yield "time,lat,lon,altitude_m\n"
    heading = east = north = 0.0
    for number in range(fixes):
        second = number / rate_hz
        heading += (0.1 if second % 300 < 65 else 0.003) / rate_hz
        east += (10 * math.sin(heading) + 3) / rate_hz
        north += 10 * math.cos(heading) / rate_hz
        yield f"{time_of(second)},{47 + north / 111_200:.7f},{11 + east / 75_800:.7f},{900 + 0.02 * second:.1f}\n"


def memory(folder: pathlib.Path) -> str:
    """What is taken at most, beside the file itself: of a flight that lasts four times as long, and of one with ten times the fixes.
    Nothing, or what is wrong."""
    print("| flight, s | fixes a second | most memory, checked, MiB | whole road, MiB |\n|---|---|---|---|")
    most = {}
    for seconds, rate_hz in ((4_000, 1), (4_000, 10), (16_000, 1), (16_000, 10)):
        with (folder / "long.csv").open("w", encoding="utf-8") as log:
            log.writelines(flight(seconds * rate_hz, float(rate_hz)))
        size = (folder / "long.csv").stat().st_size
        checked, reported = (cost(folder, [command, "long.csv"])[1] for command in ("check", "report"))
        most[seconds, rate_hz] = (checked - size, reported - size)
        print(f"| {seconds} | {rate_hz} | {checked / 2**20:.1f} | {reported / 2**20:.1f} |")
    took = {
        "a fix, checked": (most[16_000, 10][0] - most[4_000, 10][0]) / 120_000,
        "a fix, whole road": (most[16_000, 10][1] - most[16_000, 1][1]) / 144_000,
        "a second, whole road": (most[16_000, 1][1] - most[4_000, 1][1]) / 12_000,
    }
    print("; ".join(f"{what}: {bytes_taken:.0f} bytes" for what, bytes_taken in took.items()) + ", beside the file itself\n")
    return "; ".join(f"{what}: {took[what]:.0f} bytes, {allowed} are allowed" for what, allowed in ALLOWED_B.items() if took[what] > allowed)


def main() -> None:
    wrong = []
    with tempfile.TemporaryDirectory() as scratch:
        # First, while this program is small itself: what it takes counts for the programs that it starts.
        wrong += filter(None, [memory(pathlib.Path(scratch))])
    print("| file | hostile in | smaller, s | four times as large, s | ratio |\n|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        few = CSV + "".join(row(i) for i in range(300))
        families = [(name, what, make, ["check", name]) for name, what, make in FAMILIES]
        families.append(("a.marks.csv", "marks of another flight", marks, ["report", "few.csv", "--marks", "a.marks.csv", "--format", "json"]))
        (folder / "few.csv").write_text(few, encoding="utf-8")
        families.append(("a.csv", "a flight, through the whole road", lambda n: "".join(flight(n // 20, 1.0)), ["report", "a.csv", "--format", "json"]))
        for name, what, make, arguments in families:
            taken = []
            for size in (SIZE, 4 * SIZE):
                (folder / name).write_text(make(size), encoding="utf-8")
                taken.append(min(cost(folder, arguments)[0] for _ in range(3)))
            ratio = taken[1] / max(taken[0], 1e-3)
            print(f"| {name[2:]} | {what} | {taken[0]:.2f} | {taken[1]:.2f} | {ratio:.1f} |", flush=True)
            if ratio > MOST and taken[1] > MOMENT_S:
                wrong.append(f"{name}, {what}: {ratio:.1f} times as long")
    slow = sum("times as long" in line for line in wrong)
    print(f"{len(families)} kinds of files, {slow} of them took more than {MOST} times as long")
    for line in wrong:
        print(line)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
