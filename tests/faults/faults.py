#!/usr/bin/env python3
"""The machine fails at each step: reads, writes, renames and the like of the program fail one after the other, once and for ever, and
it is killed at each. What was there before or what was to be made is there afterwards, whole, and an error is told in words.

    python3 tests/faults/faults.py [CASE...]

Faults are put in by strace (Debian's package of that name), so the program is the one that people run: target/release/driftless, or
what DRIFTLESS_PROGRAM names. Prints a table of tries; ends with 1 when something broke.
"""

import dataclasses
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

REPOSITORY = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("DRIFTLESS_PROGRAM", REPOSITORY / "target" / "release" / "driftless"))

# What fails, and how: a full disk where it is written to, a broken one or a missing right elsewhere.
FAULTS = {
    "read": "EIO",
    "pread64": "EIO",
    "openat": "EACCES",
    "write": "ENOSPC",
    "pwrite64": "ENOSPC",
    "fsync": "EIO",
    "fdatasync": "EIO",
    "ftruncate": "EIO",
    "rename": "EACCES",
    "renameat": "EACCES",
    "renameat2": "EACCES",
    "mkdir": "EROFS",
}

# Steps at which the program is killed.
KILLED_AT = ["write", "pwrite64", "fsync", "fdatasync", "renameat", "ftruncate", "unlink"]

OLD = b"what was there before\n"

# Two set-ups, a flight each.
CAMPAIGN = """title = "Two mornings"
[power_units.tarn]
name = "Tarn 185"
reduction_ratio = 2.87
propeller = "clockwise"
[devices.vanes]
name = "vanes"
[wings.fenlark]
name = "Fenlark 26"
[pilots.ash]
name = "Ash"
[setups.bare]
name = "no device"
power_unit = "tarn"
[setups.vanes]
name = "vanes"
power_unit = "tarn"
device = "vanes"
baseline = "bare"
[[flights]]
log = "a.igc"
setup = "vanes"
wing = "fenlark"
pilot = "ash"
[[flights]]
log = "b.gpx"
setup = "bare"
wing = "fenlark"
pilot = "ash"
"""


@dataclasses.dataclass
class Case:
    """A run of the program: its arguments, and the files that it makes."""

    name: str
    arguments: list
    makes: list
    # Commands before it, in the same folder.
    before: list = dataclasses.field(default_factory=list)
    # A logbook that must be sound afterwards.
    logbook: str = ""
    # Made anew alone: nothing is there in its place, as what is there is left alone.
    anew: bool = False


CASES = [
    Case("page", ["report", "a.igc", "-o", "out.html"], ["out.html"]),
    Case("document", ["report", "a.igc", "--format", "json", "-o", "out.json"], ["out.json"]),
    Case("rows", ["report", "a.igc", "b.gpx", "--format", "parquet", "-o", "out.parquet", "--jobs", "1"], ["out.parquet"]),
    Case(
        "season",
        ["report", "@list", "--format", "csv", "-o", "out.csv", "--jobs", "1", "--resume"],
        ["out.csv"],
    ),
    Case("exports", ["report", "a.igc", "-o", "out.html", "--export-gpx", "out.gpx", "--write-marks", "out.csv"],
         ["out.html", "out.gpx", "out.csv"]),
    Case("lines", ["report", "a.igc", "b.gpx", "--format", "json", "-o", "out.json", "--jobs", "1"], ["out.json"]),
    Case("rows-by-year", ["report", "a.igc", "b.gpx", "--format", "parquet", "-o", "out/", "--jobs", "1"],
         ["out/year=2026/windows.parquet"]),
    Case("texts", ["report", "a.igc", "b.gpx", "--format", "text", "-o", "out/", "--jobs", "1"],
         ["out/a.report.txt", "out/b.report.txt"]),
    Case("text", ["report", "a.igc", "--format", "text", "-o", "out.txt"], ["out.txt"]),
    Case("geojson", ["report", "b.gpx", "-o", "out.html", "--export-geojson", "out.geojson"], ["out.html", "out.geojson"]),
    Case("charts", ["report", "a.igc", "-o", "out.html", "--charts", "out"], ["out.html", "out/tracks.svg", "out/turn-rates.svg"]),
    Case("comparison", ["compare", "campaign.toml", "-o", "out.html", "--charts", "out"], ["out.html", "out/compensation-1.svg"]),
    Case("comparison-document", ["compare", "campaign.toml", "--format", "json", "-o", "out.json"], ["out.json"]),
    Case("campaign", ["campaign", "new", "out.toml"], ["out.toml"], anew=True),
    Case("plan", ["plan", "campaign.toml", "-o", "out.html"], ["out.html"]),
    Case("logbook-import", ["logbook", "import", "kept.logbook", "campaign.toml"], [],
         [["logbook", "add", "kept.logbook", "a.igc"]], "kept.logbook"),
    Case("flight", ["simulate", "scenario.toml", "-o", "flown"], ["flown/meadow-light-wind.gpx"]),
    Case("logbook-add", ["logbook", "add", "kept.logbook", "b.gpx"], [],
         [["logbook", "add", "kept.logbook", "a.igc"]], "kept.logbook"),
    Case("logbook-export", ["logbook", "export", "kept.logbook", "out.zip"], ["out.zip"],
         [["logbook", "add", "kept.logbook", "a.igc"]], "kept.logbook"),
    Case("logbook-export-folder", ["logbook", "export", "kept.logbook", "out", "--campaign", "Two mornings"],
         ["out/campaign.toml", "out/logs/a.igc", "out/logs/b.gpx"],
         [["logbook", "import", "kept.logbook", "campaign.toml"]], "kept.logbook", anew=True),
]

# What a logbook holds before a run and after it.
FLIGHTS = {
    "logbook-import": (["a"], ["a", "a", "b"]),
    "logbook-add": (["a"], ["a", "b"]),
    "logbook-export": (["a"], ["a"]),
    "logbook-export-folder": (["a", "b"], ["a", "b"]),
}


@dataclasses.dataclass
class Tries:
    """How often something was tried, and what of it broke."""

    tries: int = 0
    refused: int = 0
    broken: list = dataclasses.field(default_factory=list)


def folder_of(case: Case, under: pathlib.Path) -> pathlib.Path:
    """A folder in which the run may begin: with what it reads, and something in the place of what it makes."""
    folder = pathlib.Path(tempfile.mkdtemp(dir=under))
    demo = REPOSITORY / "demo-tracks"
    shutil.copy(demo / "ridge-five-metres.igc", folder / "a.igc")
    shutil.copy(demo / "meadow-light-wind.gpx", folder / "b.gpx")
    shutil.copy(demo / "meadow-light-wind.toml", folder / "scenario.toml")
    (folder / "campaign.toml").write_text(CAMPAIGN, encoding="utf-8")
    (folder / "list").write_text("a.igc\nb.gpx\n", encoding="utf-8")
    for arguments in case.before:
        subprocess.run([PROGRAM, *arguments], cwd=folder, check=True, capture_output=True)
    for made in case.makes if not case.anew else []:
        (folder / made).parent.mkdir(exist_ok=True, parents=True)
        (folder / made).write_bytes(OLD)
    return folder


def run(folder: pathlib.Path, arguments: list, inject: str = "") -> tuple:
    """Runs the program, with a fault; gives its code, its words, and whether the fault came."""
    command = [str(PROGRAM), *arguments]
    log = folder / "strace.log"
    if inject:
        call = inject.split(":")[0]
        # With its filter for speed strace gives errors, but no signals (6.1).
        quick = [] if "signal" in inject else ["--seccomp-bpf"]
        command = ["strace", "-f", *quick, "-o", str(log), "-e", f"trace={call}", "-e", f"inject={inject}", *command]
    done = subprocess.run(command, cwd=folder, capture_output=True, timeout=120, check=False)
    came = "INJECTED" in log.read_text(errors="replace") if inject else False
    if inject and "signal=KILL" in inject:
        came = "killed by SIGKILL" in log.read_text(errors="replace")
    log.unlink(missing_ok=True)
    return done.returncode, done.stderr.decode(errors="replace"), came


def kept(folder: pathlib.Path, case: Case) -> list:
    """The flights of the logbook, which has to be sound: without a fault."""
    check = subprocess.run([PROGRAM, "logbook", "check", case.logbook], cwd=folder, capture_output=True, check=False)
    if check.returncode != 0:
        return [f"the logbook is not sound: {check.stderr.decode()}"]
    listed = subprocess.run([PROGRAM, "logbook", "list", case.logbook], cwd=folder, capture_output=True, check=True)
    return sorted(re.findall(r"^  (\S+)  ", listed.stdout.decode(), re.MULTILINE))


def of_some_logs(case: Case, now: bytes, whole: bytes) -> bool:
    """Whether a file of several logs holds what it should of those that could be read."""
    if case.name in ("season", "lines"):
        return set(now.splitlines()) <= set(whole.splitlines())
    if case.name in ("comparison", "comparison-document", "plan"):
        # Whole, of the flights whose logs could be read; those that could not are named in it.
        return now.rstrip().endswith((b"</html>", b"</svg>", b"}")) and now.startswith((b"<!DOCTYPE", b"<svg", b"{"))
    return case.name in ("rows", "rows-by-year") and now.startswith(b"PAR1") and now.endswith(b"PAR1")


def judge(case: Case, folder: pathlib.Path, whole: dict, code: int, words: str, killed: bool, mute: bool) -> str:
    """What is wrong with the end of a run; nothing when all is well."""
    loader = "error while loading shared libraries" in words
    if "panicked" in words or (not killed and not loader and code not in (0, 1, 2)):
        return f"ended with {code}: {words[-300:]}"
    if code == 2 and not words.strip() and not killed and not mute:
        return "failed without a word"
    for made in case.makes:
        now = (folder / made).read_bytes() if (folder / made).exists() else None
        before = None if case.anew else OLD
        if now not in (before, whole[made]) and not (code == 2 and of_some_logs(case, now or b"", whole[made])):
            return f"{made} is neither what it was nor what it should be"
        if code == 0 and not killed and now != whole[made]:
            return f"{made} was not made, and that was not said"
    if not killed and any(file.name.startswith(".driftless-") for file in folder.rglob("*")):
        return "a half file is left"
    if case.logbook:
        flights = kept(folder, case)
        before, after = FLIGHTS[case.name]
        if flights not in (before, after):
            return f"the logbook holds {flights}"
        if code == 0 and not killed and flights != after:
            return "a flight was confirmed and is not there"
    return ""


def tried(case: Case, under: pathlib.Path, whole: dict, call: str, how: str) -> Tries:
    """Lets the first, the second, the third and so on of a call fail, until none is left to fail."""
    tries = Tries()
    for number in range(1, 10_000):
        folder = folder_of(case, under)
        forever = how == "for ever"
        killed = how == "killed"
        fault = "signal=KILL" if killed else f"error={FAULTS[call]}"
        code, words, came = run(folder, case.arguments, f"{call}:{fault}:when={number}{'+' if forever else ''}")
        if not came:
            shutil.rmtree(folder)
            return tries
        tries.tries += 1
        tries.refused += code != 0
        # Where nothing can be written at all, nothing can be said.
        wrong = judge(case, folder, whole, code, words, killed, mute=call == "write" and forever)
        if wrong:
            tries.broken.append(f"{case.name}, {call} {number} {how}: {wrong}")
        shutil.rmtree(folder)
    return tries


def main() -> None:
    if shutil.which("strace") is None:
        sys.exit("strace is missing: apt-get install strace")
    wanted = sys.argv[1:] or [case.name for case in CASES]
    broken = []
    print("| run | failing or killed at | how | tries | refused in words | broken |\n|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as scratch:
        under = pathlib.Path(scratch)
        for case in CASES:
            if case.name not in wanted:
                continue
            folder = folder_of(case, under)
            code, words, _ = run(folder, case.arguments)
            assert code == 0, f"{case.name} fails by itself: {words}"
            whole = {made: (folder / made).read_bytes() for made in case.makes}
            assert OLD not in whole.values(), f"{case.name} does not make all that it is said to: {case.makes}"
            ways = [(call, how) for call in FAULTS for how in ("once", "for ever")]
            for call, how in ways + [(call, "killed") for call in KILLED_AT]:
                tries = tried(case, under, whole, call, how)
                if tries.tries:
                    print(f"| {case.name} | {call} | {how} | {tries.tries} | {tries.refused} | {len(tries.broken)} |", flush=True)
                broken += tries.broken
    for line in broken[:40]:
        print(line)
    sys.exit(1 if broken else 0)


if __name__ == "__main__":
    main()
