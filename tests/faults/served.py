#!/usr/bin/env python3
"""`driftless serve` under load on loopback: many uploads at once, bodies that break off or come drop by drop, a thousand reports.

    python3 tests/faults/served.py

Prints a table of tries; ends with 1 when something broke or memory grew. DRIFTLESS_PROGRAM names another program.
"""

import concurrent.futures
import http.client
import os
import pathlib
import re
import socket
import subprocess
import sys
import tempfile
import time

REPOSITORY = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("DRIFTLESS_PROGRAM", REPOSITORY / "target" / "release" / "driftless"))
SEASON = REPOSITORY / "tests" / "season" / "season.py"

UPLOADS = 200
REPORTS = 1_000
# Memory after all reports may be so much above that after the first tenth of them.
GROWTH = 1.15


class Served:
    """A run of the program that answers."""

    def __init__(self, folder: pathlib.Path, under: list | None = None) -> None:
        command = [*(under or []), PROGRAM, "serve", "--no-open", "--logbook", folder / "kept.logbook"]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        assert self.process.stdout is not None
        told = re.match(r"http://([^:]+):(\d+)/\?token=([0-9a-f]+)", self.process.stdout.readline())
        assert told, "no address was told"
        self.host, self.port, token = told[1], int(told[2]), told[3]
        answer, headers, _ = self.ask("GET", f"/?token={token}", cookie="")
        assert answer == 303
        self.cookie = headers["set-cookie"].split(";")[0]

    def headers(self, cookie: str | None = None) -> dict:
        own = f"{self.host}:{self.port}"
        return {"Host": own, "Origin": f"http://{own}", "Cookie": self.cookie if cookie is None else cookie}

    def ask(self, method: str, path: str, body: bytes = b"", cookie: str | None = None, kind: str = "") -> tuple:
        connection = http.client.HTTPConnection(self.host, self.port, timeout=120)
        headers = self.headers(cookie)
        if method == "POST":
            headers["Content-Type"] = kind or "multipart/form-data; boundary=x"
        connection.request(method, path, body or None, headers)
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        return answer.status, {name.lower(): value for name, value in answer.getheaders()}, content

    def memory_mib(self) -> float:
        status = pathlib.Path(f"/proc/{self.process.pid}/status").read_text(encoding="utf-8")
        return int(re.search(r"VmRSS:\s+(\d+)", status)[1]) / 1024.0


def form(name: str, content: bytes) -> bytes:
    head = f'--x\r\nContent-Disposition: form-data; name="files"; filename="{name}"\r\n\r\n'.encode()
    return head + content + b"\r\n--x--\r\n"


def broken_off(served: Served, send: bytes, drop: float | None) -> int:
    """A body that is announced and not sent whole: closed at once, or held open until the program ends it."""
    with socket.create_connection((served.host, served.port), timeout=60) as line:
        head = "POST /flights HTTP/1.1\r\n" + "".join(f"{name}: {value}\r\n" for name, value in served.headers().items())
        line.sendall(f"{head}Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 1000000\r\n\r\n".encode() + send)
        if drop is None:
            return 0
        time.sleep(drop)
        answer = line.recv(64).decode(errors="replace").split(" ")
        return int(answer[1]) if len(answer) > 1 else 0


def main() -> None:
    wrong = []
    rows = []
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        subprocess.run([sys.executable, SEASON, "make", str(UPLOADS), folder / "season"], check=True)
        logs = sorted(file for file in (folder / "season").rglob("*") if file.is_file())
        served = Served(folder)
        with concurrent.futures.ThreadPoolExecutor(UPLOADS) as pool:
            slow = [pool.submit(broken_off, served, b"--x\r\n", 25.0) for _ in range(20)]
            cut = [pool.submit(broken_off, served, form("a.igc", b"B")[:60], None) for _ in range(60)]
            began = time.monotonic()
            answers = list(pool.map(lambda log: served.ask("POST", "/flights", form(log.name, log.read_bytes())), logs))
            took = time.monotonic() - began
            for future in cut:
                future.result()
            told = [future.result() for future in slow]
        good = sum(answer[0] == 303 for answer in answers)
        rows.append(["uploads at once", UPLOADS, f"{good} taken in {took:.0f} s"])
        if good != UPLOADS:
            wrong.append(f"uploads: {sorted({answer[0] for answer in answers})}")
        rows.append(["bodies that break off", len(cut), "nothing kept of them"])
        rows.append(["bodies that stop coming", len(slow), f"{sum(code == 408 for code in told)} told that it took too long"])
        if any(code != 408 for code in told):
            wrong.append(f"slow bodies: {sorted(set(told))}")
        listed = subprocess.run([PROGRAM, "logbook", "list", folder / "kept.logbook"], check=True, capture_output=True, text=True)
        flights = len(re.findall(r"^  flight-", listed.stdout, re.MULTILINE))
        if flights != UPLOADS:
            wrong.append(f"{flights} of {UPLOADS} flights are in the logbook")
        early = 0.0
        for number in range(REPORTS):
            status, _, content = served.ask("GET", f"/flights/{1 + number % UPLOADS}/report.html")
            if status != 200 or b"</html>" not in content:
                wrong.append(f"report {number}: {status}")
                break
            if number == REPORTS // 10:
                early = served.memory_mib()
        late = served.memory_mib()
        rows.append(["reports", REPORTS, f"memory {early:.0f} MiB after a tenth, {late:.0f} MiB after all"])
        if late > GROWTH * early:
            wrong.append(f"memory grew from {early:.0f} to {late:.0f} MiB")
        if served.process.poll() is not None:
            wrong.append("the program ended")
        served.process.terminate()
        served.process.wait(20)
    print("| what | tries | came to |\n|---|---|---|")
    for row in rows:
        print("| " + " | ".join(map(str, row)) + " |")
    for line in wrong:
        print(line)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
