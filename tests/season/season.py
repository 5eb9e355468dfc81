#!/usr/bin/env python3
"""An invented season of flights, and what it costs to report one: the figures of docs/scale.md.

    python3 tests/season/season.py make 1000 FOLDER       flies a season with `driftless simulate`
    python3 tests/season/season.py measure [--logs N]     measures, and writes the tables of docs/scale.md anew

Needs the program (`cargo build --release`) and nothing else; DRIFTLESS_PROGRAM names another one.
"""

import argparse
import concurrent.futures
import datetime
import os
import pathlib
import platform
import random
import subprocess
import sys
import tempfile
import time

REPOSITORY = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("DRIFTLESS_PROGRAM", REPOSITORY / "target" / "release" / "driftless"))
SCENARIO = pathlib.Path(__file__).with_name("flight.toml")
PAGE = REPOSITORY / "docs" / "scale.md"

# Invented set-ups, and how much each turns for a newton metre of torque. The first carries no device.
SETUPS = [("bare", 0.056), ("offset 2", 0.034), ("offset 4", 0.021), ("vanes", 0.029)]
FORMATS = ["gpx", "igc", "csv"]
YEARS = [2024, 2025, 2026]


def values(number: int) -> dict:
    """What is different in the flight of this number; the same for the same number."""
    drawn = random.Random(number)
    year = YEARS[number % len(YEARS)]
    start = datetime.datetime(year, 4, 1, 5, tzinfo=datetime.timezone.utc) + datetime.timedelta(
        days=drawn.randrange(180), minutes=drawn.randrange(240)
    )
    setup, sensitivity = drawn.choice(SETUPS)
    return {
        "name": f"flight-{number:05}",
        "setup": setup,
        "seed": number + 1,
        "start": start.strftime("%Y-%m-%dT%H:%M:%SZ"),
        "year": year,
        "lat": round(46.5 + drawn.random(), 4),
        "sensitivity": round(sensitivity * drawn.uniform(0.9, 1.1), 4),
        "wind": round(drawn.uniform(0.5, 5.0), 2),
        "wind_from": float(drawn.randrange(360)),
        "format": drawn.choice(FORMATS),
    }


def scenario(told: dict, rounds: int) -> str:
    """The scenario of a flight, whose middle is flown so often."""
    text = SCENARIO.read_text(encoding="utf-8").format(**told)
    before, rest = text.split("# From here to the descent")
    middle, after = rest.split("# The descent.")
    middle = middle.split("\n", 1)[1]
    # Down again to where the middle began, or a long flight would end in the clouds.
    down = '[[flight]]\ndo = "to-height"\nheight_m = 180\nsetting = "power-off-glide"\nrate_deg_s = 2.0\n\n'
    return before + down.join([middle] * rounds) + after


def fly(number: int, folder: pathlib.Path, rounds: int = 1) -> None:
    """Flies one, into the folder of its year."""
    told = values(number)
    year = folder / str(told["year"])
    command = [PROGRAM, "simulate", "-", "-o", year]
    subprocess.run(command, input=scenario(told, rounds).encode(), check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    (year / f"{told['name']}.truth.json").unlink()


def make(logs: int, folder: pathlib.Path, rounds: int = 1) -> None:
    """Flies a season, and says beside it which set-up each flight was flown with, as a club would."""
    for year in YEARS:
        (folder / str(year)).mkdir(parents=True, exist_ok=True)
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(lambda number: fly(number, folder, rounds), range(logs)))
    flown = [values(number) for number in range(logs)]
    lines = [f"{told['name']}.{told['format']},{told['setup']}" for told in flown]
    folder.with_name("setups.csv").write_text("\n".join(["log_file,setup", *lines, ""]), encoding="utf-8")


class Run:
    """A run of the program, with what it took."""

    def __init__(self, *arguments: object) -> None:
        began = time.monotonic()
        process = subprocess.Popen(
            [PROGRAM, *map(str, arguments)], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True
        )
        assert process.stderr is not None
        self.words = process.stderr.read()
        _, status, used = os.wait4(process.pid, 0)
        self.seconds = time.monotonic() - began
        self.processor_seconds = used.ru_utime + used.ru_stime
        self.peak_mib = used.ru_maxrss / 1024.0
        self.code = os.waitstatus_to_exitcode(status)
        if self.code != 0:
            sys.exit(f"{arguments} ended with {self.code}\n{self.words}")


def size_mib(path: pathlib.Path) -> float:
    files = [path] if path.is_file() else [file for file in path.rglob("*") if file.is_file()]
    return sum(file.stat().st_size for file in files) / 2**20


def many(season: pathlib.Path, scratch: pathlib.Path, logs: int) -> list:
    """Rows of the table of a season on one machine."""
    rows = []

    def row(what: str, run: Run, written: pathlib.Path, of: int = logs) -> None:
        rows.append(
            [what, of, f"{run.seconds:.1f} s", f"{1e3 * run.processor_seconds / of:.0f} ms",
             f"{of / run.seconds:.0f}", f"{run.peak_mib:.0f} MiB", f"{size_mib(written):.1f} MiB"]
        )

    rows_folder = scratch / "rows"
    row("Parquet by year", Run("report", season, "--format", "parquet", "-o", f"{rows_folder}/", "--resume"), rows_folder)
    again = Run("report", season, "--format", "parquet", "-o", f"{rows_folder}/", "--resume")
    row("the same again, `--resume`", again, rows_folder)
    lines = scratch / "season.jsonl"
    row("JSON lines", Run("report", season, "--format", "json", "-o", lines), lines)
    # Memory must not grow with the number of logs.
    tenth = scratch / "tenth.txt"
    some = sorted(file for file in season.rglob("*") if file.is_file())[: max(1, logs // 10)]
    tenth.write_text("".join(f"{file}\n" for file in some), encoding="utf-8")
    part = scratch / "tenth.jsonl"
    row("JSON lines of a tenth", Run("report", f"@{tenth}", "--format", "json", "-o", part), part, len(some))
    return rows


def side_by_side(season: pathlib.Path, scratch: pathlib.Path) -> list:
    """30 flights on one core and on all, in turn; medians of five rounds."""
    listed = scratch / "thirty.txt"
    some = sorted(file for file in season.rglob("*") if file.is_file())[:30]
    listed.write_text("".join(f"{file}\n" for file in some), encoding="utf-8")
    jobs = [1, os.cpu_count() or 1]
    times: dict = {count: [] for count in jobs}
    outputs = {}
    for _ in range(5):
        for count in jobs:
            out = scratch / f"thirty-{count}.csv"
            times[count].append(Run("report", f"@{listed}", "--format", "csv", "-o", out, "--jobs", count).seconds)
            outputs[count] = out.read_bytes()
    if outputs[jobs[0]] != outputs[jobs[-1]]:
        sys.exit("results depend on how many logs are worked on at a time")
    median = {count: sorted(taken)[len(taken) // 2] for count, taken in times.items()}
    return [[count, f"{median[count]:.2f} s", f"{median[1] / median[count]:.2f}"] for count in jobs]


# Flights of the two kinds in a million, for the arithmetic of the page.
MILLION = 1_000_000

# Price of an hour of one processor, in the money of whoever pays: an assumption, to be replaced by one's own.
PRICE = 0.05

# Times that the middle of a flight is flown for it to last about an hour, and how many of these are measured.
HOUR_ROUNDS, HOUR_LOGS = 14, 20


def million(season: pathlib.Path, scratch: pathlib.Path, logs: int) -> list:
    """What a million flights would take, from what these took."""
    hours = scratch / "hours" / "season"
    make(HOUR_LOGS, hours, HOUR_ROUNDS)
    rows = []
    for what, folder, count in [("7 minutes", season, logs), ("1 hour", hours, HOUR_LOGS)]:
        out = scratch / f"million-{count}"
        run = Run("report", folder, "--format", "parquet", "-o", f"{out}/")
        each = run.processor_seconds / count
        processor_hours = each * MILLION / 3600
        rows.append(
            [what, f"{each:.3f} s", f"{processor_hours:.0f} h", f"{processor_hours / 64:.1f} h",
             f"{size_mib(folder) / count * MILLION / 1024:.0f} GiB", f"{size_mib(out) / count * MILLION / 1024:.1f} GiB",
             f"{processor_hours * PRICE:.2f}"]
        )
    return rows


def table(head: list, rows: list) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(str(cell) for cell in line) + " |" for line in lines)


def write(name: str, content: str) -> None:
    """Puts a table between its marks in the page."""
    page = PAGE.read_text(encoding="utf-8")
    begin, end = f"<!-- measured: {name} -->\n", f"\n<!-- end: {name} -->"
    before, rest = page.split(begin)
    _, after = rest.split(end)
    PAGE.write_text(f"{before}{begin}{content}{end}{after}", encoding="utf-8")


def measure(logs: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        scratch = pathlib.Path(folder)
        season = scratch / "short" / "season"
        began = time.monotonic()
        make(logs, season)
        print(f"flown in {time.monotonic() - began:.0f} s", flush=True)
        head = ["what", "logs", "time", "processor time a log", "logs a second", "peak memory", "written"]
        season_table = table(head, many(season, scratch, logs))
        cores = table(["`--jobs`", "time of 30 flights", "times as fast"], side_by_side(season, scratch))
        head = ["a flight of", "processor time", "a million", "on 64 processors", "logs to read", "rows written", f"at {PRICE} an hour"]
        whole = table(head, million(season, scratch, logs))
        version = subprocess.run([PROGRAM, "--version"], check=True, capture_output=True, text=True).stdout.strip()
        today = datetime.date.today().isoformat()
        machine = (
            f"{os.cpu_count()} processors ({platform.machine()}), shared with others; {version}; {today}. "
            f"{logs} logs of {size_mib(season) / logs * 1024:.0f} KiB, some seven minutes each."
        )
        for name, content in [("season", f"{machine}\n\n{season_table}"), ("cores", cores), ("million", whole)]:
            print(content, flush=True)
            write(name, content)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    commands = parser.add_subparsers(dest="command", required=True)
    making = commands.add_parser("make")
    making.add_argument("logs", type=int)
    making.add_argument("folder", type=pathlib.Path)
    measuring = commands.add_parser("measure")
    measuring.add_argument("--logs", type=int, default=10_000)
    asked = parser.parse_args()
    if not PROGRAM.is_file():
        sys.exit(f"there is no program {PROGRAM}; make it with: cargo build --release")
    if asked.command == "make":
        make(asked.logs, asked.folder)
    else:
        measure(asked.logs)


if __name__ == "__main__":
    main()
