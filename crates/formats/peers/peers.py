"""Times fastgpx and polars in turn with our readers on the logs that `peers write` makes.

    python peers.py FOLDER ROUNDS PEERS

PEERS is the program built from this folder: it answers over a pipe, so that both stay warm. Prints rows of the same
table as `peers time`: medians from memory and from a file, and peer time over our time.
"""

import os
import statistics
import subprocess
import sys
import time

# Before polars is imported: one core, as ours.
os.environ["POLARS_MAX_THREADS"] = "1"

import fastgpx  # noqa: E402
import polars  # noqa: E402

FIXES = 144_000


def gpx_file(path, _):
    return points(fastgpx.load(path))


def gpx_memory(_, content):
    return points(fastgpx.parse(content))


def points(gpx):
    return sum(len(segment.points) for track in gpx.tracks for segment in track.segments)


def polars_file(path, _):
    return polars.read_csv(path).height


def polars_memory(_, content):
    return polars.read_csv(content).height


def dates_file(path, _):
    return dated(polars.read_csv(path, try_parse_dates=True))


def dates_memory(_, content):
    return dated(polars.read_csv(content, try_parse_dates=True))


def dated(table):
    assert table.schema["time_utc"].is_temporal(), table.schema
    return table.height


GPX = [(f"fastgpx {fastgpx.__version__ if hasattr(fastgpx, '__version__') else ''}".strip() + " (no extensions)", gpx_memory, gpx_file)]
CSV = [("polars, one thread (times as text)", polars_memory, polars_file), ("polars, one thread, with dates", dates_memory, dates_file)]
PEERS = {"plain.gpx": GPX, "speed-course.gpx": GPX, "indented-sensors.gpx": GPX, "flight.csv": CSV}


class Ours:
    def __init__(self, program):
        self.process = subprocess.Popen([program, "answer"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def seconds(self, whence, path):
        self.process.stdin.write(f"{whence} {path}\n")
        self.process.stdin.flush()
        nanoseconds, found = self.process.stdout.readline().split()
        assert int(found) == FIXES, f"{found} fixes of {path}"
        return float(nanoseconds) / 1e9


def timed(read, path, content):
    started = time.perf_counter()
    found = read(path, content)
    seconds = time.perf_counter() - started
    assert found == FIXES, f"{found} fixes of {path}"
    return seconds


def main(folder, rounds, program):
    ours = Ours(program)
    for name, peers in PEERS.items():
        path = os.path.join(folder, name)
        with open(path, "rb") as file:
            content = file.read()
        megabytes = len(content) / 1e6
        if name.endswith(".gpx"):
            # It wants characters; making them of bytes is not part of its time.
            content = content.decode()
        mine = {"memory": [], "file": []}
        theirs = [{"memory": [], "file": []} for _ in peers]
        for turn in range(rounds + 1):
            for at, whence in enumerate(["memory", "file"]):
                own = ours.seconds(whence, path)
                others = [timed(peer[1 + at], path, content) for peer in peers]
                # The first round warms up.
                if turn > 0:
                    mine[whence].append(own)
                    for kept, seconds in zip(theirs, others):
                        kept[whence].append(seconds)
        own = {whence: statistics.median(seconds) for whence, seconds in mine.items()}
        for (label, *_), seconds in zip(peers, theirs):
            of = {whence: statistics.median(values) for whence, values in seconds.items()}
            print(
                f"| {name}, {megabytes:.0f} MB | {label} | {megabytes / of['memory']:.0f} / {megabytes / of['file']:.0f} "
                f"| {1e9 * of['memory'] / FIXES:.0f} | {of['memory'] / own['memory']:.2f} / {of['file'] / own['file']:.2f} |"
            )


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), sys.argv[3])
