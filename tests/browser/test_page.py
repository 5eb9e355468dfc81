"""What a pilot does at the page, the same behind both hosts."""

import json
import re
import zipfile

import pytest
from playwright.sync_api import TimeoutError, expect

import steps
from conftest import ROOT, address_of, serve_folder, start_program, wait_until_loaded, Host
from steps import CAMPAIGN, MEADOW, RIDGE, drop, drop_flight, go_to, heading, saved

SCREENS = ["/", "/flights/1", "/compare", "/parts", "/parts/setup", "/parts/wing", "/logbook", "/settings"]


def fill_windows_edge(page, clock):
    window = page.get_by_role("listitem").filter(has=heading(page, "Window 1", level=3))
    window.get_by_label("Take-over").fill(clock)
    window.get_by_role("button", name="Save").click()


def edge(page):
    window = page.get_by_role("listitem").filter(has=heading(page, "Window 1", level=3))
    return window.get_by_label("Take-over")


def seconds_earlier(clock, seconds):
    hours, minutes, rest = clock.split(":")
    total = int(hours) * 3600 + int(minutes) * 60 + float(rest) - seconds
    return f"{int(total // 3600):02}:{int(total % 3600 // 60):02}:{int(total % 60):02}"


def test_a_log_is_dropped_and_its_rates_are_read(page):
    drop_flight(page, MEADOW)
    expect(heading(page, "Finding")).to_be_visible()
    expect(heading(page, "Windows", level=2)).to_be_visible()
    rows = page.get_by_role("listitem").filter(has=heading(page, re.compile("^Window ")))
    expect(rows).to_have_count(4)
    assert steps.is_rate(rows.first.inner_text()), rows.first.inner_text()


def test_an_edge_is_moved_taken_back_done_again_and_lasts(page, host):
    drop_flight(page, MEADOW)
    before = edge(page).input_value()
    moved = seconds_earlier(before, 5)
    fill_windows_edge(page, moved)
    expect(edge(page)).to_have_value(moved)
    page.get_by_role("button", name="Undo").click()
    expect(edge(page)).to_have_value(before)
    page.get_by_role("button", name="Redo").click()
    expect(edge(page)).to_have_value(moved)
    page.reload()
    wait_until_loaded(page, host)
    expect(edge(page)).to_have_value(moved)
    go_to(page, "Flights")
    expect(page.get_by_role("link", name=re.compile(MEADOW.name))).to_be_visible()


def test_a_window_that_cannot_be_is_refused_in_words(page):
    drop_flight(page, MEADOW)
    fill_windows_edge(page, "00:00:00")
    expect(page.get_by_role("alert").first).to_contain_text(re.compile("window|log"))


def test_a_span_that_looks_like_hands_off_is_confirmed(page):
    drop_flight(page, ROOT / "demo-tracks/lake-evening.csv")
    expect(heading(page, "Steady spans that nobody marked")).to_be_visible()
    page.get_by_role("button", name="Confirm hands off").first.click()
    expect(page.get_by_role("listitem").filter(has=heading(page, "Window 1", level=3))).to_be_visible()


def test_a_campaign_has_the_figures_of_the_command_line_and_goes_on_to_the_other_host(page, host, chromium, visit, tmp_path, request):
    program = request.config.getoption("--driftless")
    expected = steps.figures(steps.compared(program, CAMPAIGN))
    assert len(expected) > 10

    page.get_by_label("Logs and files that belong to them").set_input_files(steps.packed(CAMPAIGN))
    page.get_by_role("button", name="Read them").click()
    expect(page.get_by_text("Offset hang points and vanes on two wings").first).to_be_visible()
    steps.assert_same(figures_shown(page), expected, host.kind)

    go_to(page, "Logbook")
    exported = tmp_path / "exported.zip"
    exported.write_bytes(saved(page, page.get_by_role("link", name=re.compile("^Export "))))
    folder = tmp_path / "unpacked"
    zipfile.ZipFile(exported).extractall(folder)
    # What was exported is computed by the command line, in the same bits again.
    assert steps.figures(steps.compared(program, folder)) == expected

    process, server = None, None
    if host.kind == "site":
        process, address = start_program(program, tmp_path / "other.sqlite")
        other = Host("serve", address)
    else:
        server = serve_folder(request.config.getoption("--folder"))
        other = Host("site", address_of(server))
    visit.origins.add(other.origin)
    there = page.context.new_page()
    there.goto(other.at("/"))
    wait_until_loaded(there, other)
    drop(there, exported)
    expect(there.get_by_text("Offset hang points and vanes on two wings").first).to_be_visible()
    steps.assert_same(figures_shown(there), expected, other.kind)
    there.close()
    if process:
        process.terminate()
        process.wait(10)
    if server:
        server.shutdown()


def figures_shown(page):
    go_to(page, "Compare")
    expect(heading(page, "Set-ups compared", level=1)).to_be_visible()
    return steps.figures(json.loads(saved(page, page.get_by_role("link", name="JSON"))))


def test_two_set_ups_described_by_forms_are_compared_as_on_the_command_line(page, host, tmp_path, request):
    drop_flight(page, RIDGE)
    steps.described(page, "wing", {"Name": "Fenlark 26"})
    unit = {"Name of the power unit": "Tarn 185", "Reduction ratio (engine speed over propeller speed)": "2,87"}
    turns = {"The propeller turns": "clockwise, seen from behind"}
    steps.described(page, "set-up", {"Name": "Bare frame"} | unit, turns)
    steps.say_flown_with(page, "Bare frame", "Fenlark 26")
    go_to(page, "Flights")
    drop_flight(page, MEADOW)
    steps.flown_with(page).get_by_role("link", name="New set-up").click()
    page.get_by_text("A new torque device").click()
    page.get_by_label("Name", exact=True).fill("Vanes")
    page.get_by_label("Name of the device").fill("vanes")
    steps.choice(page, "Power unit").select_option(label="Tarn 185")
    page.get_by_label(re.compile("^Compared with")).select_option(label="Bare frame")
    page.get_by_role("button", name="Keep").click()
    steps.say_flown_with(page, "Vanes", "Fenlark 26")
    shown = figures_shown(page)
    assert {of[1] for of in shown} == {"bare-frame", "vanes"} and any(of[0] == "compensation" for of in shown)
    go_to(page, "Logbook")
    exported = tmp_path / "exported.zip"
    exported.write_bytes(saved(page, page.get_by_role("link", name=re.compile("^Export "))))
    zipfile.ZipFile(exported).extractall(tmp_path / "unpacked")
    program = request.config.getoption("--driftless")
    steps.assert_same(shown, steps.figures(steps.compared(program, tmp_path / "unpacked")), host.kind)


def test_the_flight_prints(page):
    drop_flight(page, MEADOW)
    printed = page.pdf(format="A4")
    assert printed.startswith(b"%PDF") and len(printed) > 20_000


def test_reports_are_saved_as_files(page):
    drop_flight(page, MEADOW)
    report = saved(page, page.get_by_role("link", name="Report as a page"))
    assert report.startswith(b"<!DOCTYPE html>") and b"<svg" in report
    document = json.loads(saved(page, page.get_by_role("link", name="JSON")))
    assert document["schema"] == "driftless/flight-report/1" and len(document["windows"]) >= 4
    assert saved(page, page.get_by_role("link", name="The log as given")) == MEADOW.read_bytes()


def test_the_keyboard_alone_reads_a_log_and_takes_a_step_back(page):
    tab_to(page, page.get_by_label("Logs and files that belong to them"))
    chosen_by_keys(page).set_files(str(MEADOW))
    tab_to(page, page.get_by_role("button", name="Read them"))
    page.keyboard.press("Enter")
    expect(heading(page, MEADOW.name, level=1)).to_be_visible()
    before = edge(page).input_value()
    tab_to(page, edge(page))
    page.keyboard.press("Control+a")
    page.keyboard.type(seconds_earlier(before, 3))
    page.keyboard.press("Enter")
    expect(edge(page)).to_have_value(seconds_earlier(before, 3))
    tab_to(page, page.get_by_role("button", name="Undo"))
    page.keyboard.press("Space")
    expect(edge(page)).to_have_value(before)


def chosen_by_keys(page):
    """The dialogue of files that a key opens; a busy machine now and then lets one press fall."""
    for attempt in range(4):
        try:
            with page.expect_file_chooser(timeout=10_000) as chooser:
                page.keyboard.press("Enter" if attempt % 2 == 0 else "Space")
            return chooser.value
        except TimeoutError:
            continue
    raise AssertionError("no key opens the dialogue of files")


def tab_to(page, there, steps_at_most=150):
    for _ in range(steps_at_most):
        if there.evaluate("element => element === document.activeElement"):
            outline = there.evaluate("e => { const s = getComputedStyle(e); return s.outlineStyle + s.outlineWidth + s.boxShadow }")
            assert outline != "none0pxnone", "where the keyboard is cannot be seen"
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the Tab key does not come to {there}")


def visit_screen(page, host, path):
    page.goto("about:blank")
    page.goto(host.at(path))
    wait_until_loaded(page, host)
    expect(page.get_by_role("heading", level=1)).to_be_visible()


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_every_screen_fits_and_can_be_touched(page, host, width):
    drop_flight(page, MEADOW)
    page.set_viewport_size({"width": width, "height": 800})
    for path in SCREENS:
        visit_screen(page, host, path)
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, f"{path} is {wide} px wider than {width} px"
        assert page.evaluate(SMALL_TARGETS) == [], path


# Links in running text, and boxes whose label is the target, are exempt, as in WCAG 2.2.
SMALL_TARGETS = """() => [...document.querySelectorAll('a, button, input, select, summary, textarea, label.check')]
  .filter((e) => e.checkVisibility() && !e.matches('p a, li > p a, td a, input[type=hidden], label.check input, a.skip'))
  .map((e) => [e, e.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < 43.5 || box.width < 43.5))
  .map(([e, box]) => `${e.tagName} ${(e.textContent || e.name || '').trim().slice(0, 40)} ${box.width.toFixed(0)}x${box.height.toFixed(0)}`)"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_screen_has_a_fault_that_axe_finds(page, host, axe, scheme):
    drop_flight(page, MEADOW)
    page.emulate_media(color_scheme=scheme)
    for path in SCREENS:
        visit_screen(page, host, path)
        axe(page)


def test_a_log_that_is_none_is_refused_in_words(page):
    drop(page, ROOT / "demo-tracks/README.md")
    expect(page.get_by_text("README.md").first).to_be_visible()
    expect(page.locator(".told.wrong, [role=alert]").first).to_be_visible()
