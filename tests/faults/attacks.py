#!/usr/bin/env python3
"""Writes the table of attacks of docs/SECURITY.md anew, from what the steps of `.ci/deep` printed into target/deep.

    bash .ci/deep && python3 tests/faults/attacks.py

A step that was not run keeps its row as it is. One that failed leaves nothing there (.ci/deep), so that where nothing is counted here
nothing broke.
"""

import pathlib
import re
import sys

REPOSITORY = pathlib.Path(__file__).resolve().parents[2]
PRINTED = REPOSITORY / "target" / "deep"
PAGE = REPOSITORY / "docs" / "SECURITY.md"
BEGIN, END = "<!-- made: attacks -->\n", "<!-- end: attacks -->"

Row = tuple[str, str, str, str]


def cells(text: str) -> list[list[str]]:
    """Rows of the tables that a step printed, without their heads."""
    lines = [line.strip("|").split("|") for line in text.splitlines() if line.startswith("|") and "---" not in line]
    return [[cell.strip() for cell in line] for line in lines]


def number(text: str) -> int:
    return int(text.replace(",", ""))


def many(count: int) -> str:
    return f"{count:,}"


def flips(text: str) -> list[Row]:
    cut = re.search(r"(\d+) prefixes", text)
    flipped = re.search(r"(\d+) flipped files made of (\d+) fixtures", text)
    return [
        ("every prefix of each small fixture", many(int(cut[1])), "0", "flips"),
        (f"one to four bits flipped, {flipped[2]} fixtures", many(int(flipped[1])), "0", "flips"),
    ]


def fuzz(text: str) -> list[Row]:
    rows = re.findall(r"^(\w+): (\d+) inputs, (\d+) places", text, re.MULTILINE)
    return [(f"fuzzing, {target}", many(int(inputs)), f"0 ({many(int(places))} places of the code reached)", "fuzz") for target, inputs, places in rows]


def faults(text: str) -> list[Row]:
    """Three scripts: the program, the page, the page on a failing machine."""
    tables = cells(text)
    sums: dict[str, list[int]] = {}
    for row in tables:
        if len(row) == 6 and row[3].isdigit():
            how = {"once": "a call fails once", "for ever": "a call fails for ever", "killed": "killed at a call"}[row[2]]
            what = sums.setdefault(f"{how}, every output and the logbook", [0, 0])
        elif len(row) == 4 and row[2].isdigit():
            what = sums.setdefault(f"a call fails {row[1]} while the page is served", [0, 0])
        else:
            continue
        what[0] += int(row[-3] if len(row) == 6 else row[-2])
        what[1] += int(row[-1])
    rows = [(what, many(tries), many(broken), "faults") for what, (tries, broken) in sums.items()]
    served = [row for row in tables if len(row) == 3 and row[1].isdigit()]
    return rows + [(f"page: {what}", many(int(tries)), f"0 ({came})", "faults") for what, tries, came in served]


def linear(text: str) -> list[Row]:
    kinds, slow = re.search(r"(\d+) kinds of files, (\d+) of them", text).groups()
    return [("files made to take long, at one size and at four times that", kinds, slow, "linear")]


def differential(text: str) -> list[Row]:
    rows = [row for row in cells(text) if len(row) == 5 and row[2].isdigit()]
    return [
        (f"{what}: against {library}", many(int(questions)), f"{int(float(largest) > float(allowed))} (apart by {largest} at most, {allowed} allowed)",
         "differential")
        for what, library, questions, largest, allowed in rows
    ]


def mutants(text: str) -> list[Row]:
    rows = []
    for crate, counts in re.findall(r"^(\w+): (\d+ mutants tested.*)$", text, re.MULTILINE):
        of = {word: int(count) for count, word in re.findall(r"(\d+) (tested|missed|caught|unviable|timeouts?)", counts.replace("mutants ", ""))}
        viable = of["tested"] - of.get("unviable", 0)
        rows.append((f"mutants of {crate} (a sample), that compile", many(viable), f"{of.get('missed', 0)} survived", "mutants"))
    return rows


STEPS = {"flips": flips, "fuzz": fuzz, "faults": faults, "linear": linear, "differential": differential, "mutants": mutants}


def main() -> None:
    page = PAGE.read_text(encoding="utf-8")
    before, rest = page.split(BEGIN)
    old, after = rest.split(END)
    kept = [tuple(row) for row in cells(old) if row[-1] in STEPS]
    made: list[Row] = []
    for step, read in STEPS.items():
        printed = PRINTED / f"{step}.txt"
        made += read(printed.read_text(encoding="utf-8")) if printed.exists() else [row for row in kept if row[-1] == step]
    if not made:
        sys.exit(f"no step printed anything into {PRINTED}: bash .ci/deep")
    head = "| attack | tries | broke something | step |\n|---|---|---|---|\n"
    body = "".join("| " + " | ".join(row) + " |\n" for row in made)
    PAGE.write_text(before + BEGIN + head + body + END + after, encoding="utf-8")


if __name__ == "__main__":
    main()
