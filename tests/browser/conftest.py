"""The page in a browser, behind either of its hosts: `pytest --host serve` or `--host site`."""

import functools
import http.server
import json
import re
import shutil
import subprocess
import threading
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
# Patience for an analysis on a machine that does other things too.
PATIENCE_MS = 40_000
expect.set_options(timeout=PATIENCE_MS)


def pytest_addoption(parser):
    parser.addoption("--host", choices=["serve", "site"], default="site", help="which host the page has")
    parser.addoption("--driftless", default=str(ROOT / "target/release/driftless"), help="the program, for serve")
    parser.addoption("--folder", default=str(ROOT / "target/site/out"), help="the folder that .ci/site made, for site")


def pytest_configure(config):
    config.addinivalue_line("markers", "host(name): runs behind this host alone")


def pytest_collection_modifyitems(config, items):
    host = config.getoption("--host")
    other = [item for item in items if (mark := item.get_closest_marker("host")) and mark.args[0] != host]
    config.hook.pytest_deselected(items=other)
    items[:] = [item for item in items if item not in other]


@dataclass
class Host:
    """Where the page is, and how addresses of the app are written there."""

    kind: str
    address: str

    def at(self, path="/"):
        if self.kind == "site":
            return self.address + "#" + path
        return self.address if path == "/" else re.sub(r"^(https?://[^/]+).*", r"\1", self.address) + path

    @property
    def origin(self):
        return re.match(r"https?://[^/]+", self.address)[0]


class FolderHandler(http.server.SimpleHTTPRequestHandler):
    """A web space without any special header; its files stand in a subfolder of it."""

    def translate_path(self, path):
        return super().translate_path(path.removeprefix("/some/folder")) if path.startswith("/some/folder/") else "/nowhere"

    def log_message(self, *_):
        pass


def serve_folder(folder):
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(FolderHandler, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server


def address_of(server):
    return f"http://127.0.0.1:{server.server_port}/some/folder/"


def start_program(program, logbook):
    """`driftless serve` and the address that it prints first."""
    command = [program, "serve", "--no-open", "--port", "0", "--logbook", str(logbook)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    line = process.stdout.readline()
    found = re.search(r"http://\S+", line)
    assert found, f"the first line names no address: {line!r}"
    return process, found[0]


@pytest.fixture
def host(request, tmp_path):
    """The page with an empty logbook behind it."""
    if request.config.getoption("--host") == "serve":
        process, address = start_program(request.config.getoption("--driftless"), tmp_path / "logbook.sqlite")
        yield Host("serve", address)
        process.terminate()
        assert process.wait(10) is not None
    else:
        server = serve_folder(request.config.getoption("--folder"))
        yield Host("site", address_of(server))
        server.shutdown()


@pytest.fixture(scope="session")
def chromium():
    path = shutil.which("chromium")
    assert path, "chromium is missing: apt-get install chromium"
    with sync_playwright() as playwright:
        yield Chromium(playwright.chromium, {"executable_path": path, "args": FLAGS})


@dataclass
class Chromium:
    """The browser, as a pilot's own with a profile in a folder, or as a private window that keeps nothing."""

    kind: object
    options: dict

    def __call__(self, profile, **more) -> BrowserContext:
        return self.kind.launch_persistent_context(profile, **self.options, **more)

    def private(self):
        return self.kind.launch(**self.options).new_context()


@dataclass
class Visit:
    """What a browser did during a test: requests, and everything that it complained of."""

    origins: set = field(default_factory=set)
    requests: list = field(default_factory=list)
    complaints: list = field(default_factory=list)

    def watch(self, context: BrowserContext, origin):
        self.origins.add(origin)
        context.on("request", lambda request: self.requests.append(request.url))
        context.on("console", self.hear)
        context.on("weberror", lambda error: self.complaints.append(str(error.error)))

    def hear(self, message):
        # An answer that refuses something in words has a status of its own, which the browser notes.
        refused = message.text.startswith("Failed to load resource: the server responded with a status of 4")
        if message.type in ("error", "warning") and not refused:
            self.complaints.append(f"{message.type}: {message.text}")

    def elsewhere(self):
        own = tuple(self.origins) + ("blob:", "data:", "about:")
        return [url for url in self.requests if not url.startswith(own)]


@pytest.fixture
def visit():
    return Visit()


@pytest.fixture
def context(chromium, host, visit, tmp_path):
    """A browser of its own, watched: it asks its own origin alone and complains of nothing."""
    context = chromium(str(tmp_path / "browser"), viewport={"width": 1280, "height": 900}, accept_downloads=True)
    context.set_default_timeout(PATIENCE_MS)
    visit.watch(context, host.origin)
    yield context
    context.close()
    assert visit.requests, "the browser asked for nothing"
    assert visit.elsewhere() == []
    assert visit.complaints == []


@pytest.fixture
def page(context, host) -> Page:
    """The first screen."""
    page = context.pages[0]
    page.goto(host.at("/"))
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    wait_until_loaded(page, host)
    return page


def wait_until_loaded(page, host):
    """Until the engine has answered for the first time; the folder shows a word about loading before."""
    if host.kind == "site":
        expect(page.locator("#begin")).to_have_count(0)


@pytest.fixture(scope="session")
def axe():
    """axe-core, from where npm put it, and its rules for WCAG 2.2 A and AA."""
    script = (ROOT / "target/browser/npm/node_modules/axe-core/axe.min.js").read_text()

    def check(page: Page):
        # Into the page's own world by the browser's tools, where the page's policy does not hold.
        page.evaluate(script)
        found = page.evaluate("axe.run(document, {resultTypes: ['violations', 'passes']})")
        assert len(found["passes"]) > 5, "axe looked at nothing"
        told = [
            f"{v['id']} ({v['impact']}): {v['help']}: " + "; ".join(" ".join(map(str, n["target"])) for n in v["nodes"][:5])
            for v in found["violations"]
        ]
        assert told == [], json.dumps(told, indent=1)

    return check
