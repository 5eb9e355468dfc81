"""Steps of a pilot at the page, by roles and labels."""

import io
import json
import math
import re
import subprocess
import zipfile
from pathlib import Path

from playwright.sync_api import Page, expect

ROOT = Path(__file__).resolve().parents[2]
MEADOW = ROOT / "demo-tracks/meadow-light-wind.gpx"
RIDGE = ROOT / "demo-tracks/ridge-five-metres.igc"
CAMPAIGN = ROOT / "demo-tracks/campaign"


def heading(page: Page, name, level=None):
    options = {"level": level} if level else {}
    return page.get_by_role("heading", name=name, **options)


def go_to(page: Page, place):
    page.get_by_role("navigation", name="Places").get_by_role("link", name=place, exact=True).click()


def drop(page: Page, *files):
    """Gives files to the first screen; a log alone leads to its flight."""
    page.get_by_label("Logs and files that belong to them").set_input_files([str(file) for file in files])
    page.get_by_role("button", name="Read them").click()


def drop_flight(page: Page, log):
    drop(page, log)
    expect(heading(page, Path(log).name, level=1)).to_be_visible()


def packed(folder: Path):
    """What a pilot would pack: a campaign's folder without the truth that only a simulator knows."""
    zipped = io.BytesIO()
    with zipfile.ZipFile(zipped, "w", zipfile.ZIP_DEFLATED) as archive:
        for file in sorted(folder.rglob("*")):
            inside = file.relative_to(folder)
            kept = not file.name.endswith(".truth.json") and inside.parts[0] not in ("scenarios", "README.md", "description.toml")
            if file.is_file() and kept:
                archive.write(file, str(inside))
    return {"name": "campaign.zip", "mimeType": "application/zip", "buffer": zipped.getvalue()}


def saved(page: Page, link):
    """The bytes that a link saves."""
    with page.expect_download() as download:
        link.click()
    return Path(download.value.path()).read_bytes()


def described(page: Page, kind, fields, choices=()):
    """Describes a part from the screen of a flight, and comes back to it."""
    flown_with(page).get_by_role("link", name=f"New {kind}").click()
    for label, value in fields.items():
        page.get_by_label(label, exact=True).fill(value)
    for label, value in dict(choices).items():
        choice(page, label).select_option(label=value)
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("status").first).to_contain_text("Kept")


def choice(within, label):
    """The list of choices of that label, which stands around it and so holds their words too."""
    return within.get_by_role("combobox", name=label, exact=True)


def flown_with(page: Page):
    """The fold of a flight that says what was flown, open."""
    # While it is folded, what it holds is hidden.
    fold = page.locator("details", has=page.get_by_role("link", name="New set-up", include_hidden=True)).first
    if fold.get_attribute("open") is None:
        fold.locator("summary").click()
    return fold


def say_flown_with(page: Page, setup, wing):
    fold = flown_with(page)
    choice(fold, "Set-up").select_option(label=setup)
    choice(fold, "Wing").select_option(label=wing)
    fold.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("status").first).to_contain_text("takes part in comparisons")


def compared(program, folder: Path):
    """What the command line says of a campaign."""
    command = [program, "compare", str(folder / "campaign.toml"), "--format", "json"]
    return json.loads(subprocess.run(command, capture_output=True, check=True).stdout)


def figures(report):
    """Figures of a campaign's report, by what they are of: runs, then the value and its interval."""

    def row(item):
        return (item["setup"], item["wing"], item["scenario"])

    cells = {
        ("rate", *row(c)): (c["runs"], *(c["turn_rate"][k] for k in ("value_deg_s", "low95_deg_s", "high95_deg_s")))
        for c in report["cells"]
    }
    return cells | {
        ("compensation", *row(c)): (None, c["percent"], c["low95"], c["high95"]) for c in report["compensation"]
    }


def last_digit(margin):
    """What the last printed digit of a value with this margin is worth: two digits of the margin if they are below 35, else one."""
    exponent = math.floor(math.log10(margin))
    return 10.0 ** (exponent - 1 if margin / 10.0**exponent < 3.55 else exponent)


def assert_same(found, expected, kind):
    """The program itself says the same to the last digit. The engine in a browser has sines and cosines with other last bits; where
    such a bit turns a decision on the way, a figure moves, by no more than one in the last digit that is printed."""
    assert found.keys() == expected.keys()
    if kind == "serve":
        assert found == expected
        return
    for of, (runs, *values) in expected.items():
        assert found[of][0] == runs, of
        for one, other in zip(found[of][1:], values):
            assert (one is None) == (other is None), of
            if one is None:
                continue
            # Compensations are printed in whole per cent.
            unit = 1.0 if of[0] == "compensation" else last_digit((values[2] - values[1]) / 2)
            assert abs(one - other) <= unit, (of, found[of], expected[of])


def is_rate(text):
    """A signed turn rate with its margin, as "+3.1 ± 0.2 °/s"."""
    return re.search(r"[+−±-]?\d+[.,]\d+\s*±\s*\d+[.,]\d+", text) is not None
