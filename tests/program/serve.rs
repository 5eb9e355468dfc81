//! `driftless serve` as a browser meets it, and as an attacker would.

use crate::run::{DEMOS, Place, executable, report_arguments, repository, slowed};
use serde_json::Value;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// A run of the page, ended with the test.
struct Served {
    child: Child,
    port: u16,
    token: String,
}

impl Drop for Served {
    /// Asked to stop, as a person does, so that it ends by itself.
    fn drop(&mut self) {
        let asked = Command::new("kill").arg(self.child.id().to_string()).status();
        let ended = |child: &mut Child| child.try_wait().is_ok_and(|status| status.is_some());
        let begun = std::time::Instant::now();
        while asked.is_ok() && !ended(&mut self.child) && begun.elapsed() < slowed(10) {
            std::thread::sleep(Duration::from_millis(10));
        }
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An answer: its head and its body.
struct Answer {
    status: u16,
    head: String,
    body: String,
}

impl Served {
    fn start(scratch: &Place, more: &[&str]) -> Self {
        let mut child = Command::new(executable())
            .args(["serve", "--no-open", "--port", "0", "--logbook"])
            .arg(scratch.path("logbook.sqlite"))
            .args(more)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("output")).read_line(&mut line).expect("an address");
        let rest = line.trim().strip_prefix("http://127.0.0.1:").expect("an address of this machine");
        let (port, token) = rest.split_once("/?token=").expect("a token");
        Self { port: port.parse().expect("a port"), token: token.to_owned(), child }
    }

    fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    fn cookie(&self) -> String {
        format!("Cookie: driftless-{}={}\r\n", self.port, self.token)
    }

    /// Sends bytes as they are, and reads the answer to its end.
    fn raw(&self, request: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        stream.set_read_timeout(Some(slowed(60))).expect("a time-out");
        // A server that has said no may close before all was sent.
        let _ = stream.write_all(request);
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        Answer { status, head: head.to_lowercase(), body: body.to_owned() }
    }

    fn get(&self, path: &str) -> Answer {
        self.get_with(path, &format!("Host: {}\r\n{}", self.host(), self.cookie()))
    }

    fn get_with(&self, path: &str, headers: &str) -> Answer {
        self.raw(format!("GET {path} HTTP/1.1\r\n{headers}Connection: close\r\n\r\n").as_bytes())
    }

    fn post(&self, path: &str, kind: &str, body: &[u8]) -> Answer {
        let origin = format!("Origin: http://{}\r\nSec-Fetch-Site: same-origin\r\n", self.host());
        self.post_with(path, kind, body, &format!("Host: {}\r\n{}{origin}", self.host(), self.cookie()))
    }

    fn post_with(&self, path: &str, kind: &str, body: &[u8], headers: &str) -> Answer {
        let head = format!(
            "POST {path} HTTP/1.1\r\n{headers}Content-Type: {kind}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            body.len()
        );
        self.raw(&[head.as_bytes(), body].concat())
    }

    fn drop_file(&self, name: &str, bytes: &[u8]) -> Answer {
        self.post("/flights", "multipart/form-data; boundary=x", &form(name, bytes))
    }
}

fn form(name: &str, bytes: &[u8]) -> Vec<u8> {
    let head = format!("--x\r\nContent-Disposition: form-data; name=\"files\"; filename=\"{name}\"\r\n\r\n");
    [head.as_bytes(), bytes, b"\r\n--x--\r\n"].concat()
}

fn location(answer: &Answer) -> String {
    let line = answer.head.lines().find_map(|line| line.strip_prefix("location: "));
    line.unwrap_or_else(|| panic!("no location: {} {}", answer.head, answer.body)).to_owned()
}

#[test]
fn a_log_goes_from_upload_to_report_without_a_script() {
    let scratch = Place::new();
    let served = Served::start(&scratch, &[]);
    let first = served.get_with(&format!("/?token={}", served.token), &format!("Host: {}\r\n", served.host()));
    assert_eq!((first.status, location(&first).as_str()), (303, "/"), "the token leaves the address");
    assert!(first.head.contains("httponly; samesite=strict"), "{}", first.head);
    let start = served.get("/");
    assert!(start.body.contains("type=\"file\"") && start.body.contains("Read them"));
    let log = std::fs::read(repository().join("demo-tracks/ridge-five-metres.igc")).expect("a demo track");
    let dropped = served.drop_file("ridge.igc", &log);
    assert_eq!(dropped.status, 303, "{}", dropped.body);
    let page = served.get(&location(&dropped));
    assert!(page.body.contains("turns left by itself at"), "no finding");
    assert!(served.get("/flights/1/report.html").body.contains("<svg"));
    drop(served);
    // The logbook is a file, and its flight is there in the next run.
    let again = Served::start(&scratch, &[]);
    assert!(again.get("/flights/1").body.contains("turns left by itself at"));
}

#[test]
fn every_attack_is_refused() {
    let scratch = Place::new();
    let served = Served::start(&scratch, &[]);
    let (host, cookie) = (format!("Host: {}\r\n", served.host()), served.cookie());
    let get = |headers: &str| served.get_with("/", headers);
    assert_eq!(get(&host).status, 403, "without the token");
    assert_eq!(served.get_with("/?token=00", &format!("{host}{cookie}")).status, 403, "a wrong token");
    assert_eq!(
        get(&format!("Host: evil.example:{}\r\n{cookie}", served.port)).status,
        421,
        "a foreign name for this machine"
    );
    assert_eq!(get(&format!("{host}{cookie}Origin: http://evil.example\r\n")).status, 403, "another origin");
    assert_eq!(get(&format!("{host}{cookie}Sec-Fetch-Site: cross-site\r\n")).status, 403, "another site");
    let post =
        |headers: &str| served.post_with("/settings", "application/x-www-form-urlencoded", b"paper=dark", headers);
    assert_eq!(post(&format!("{host}{cookie}")).status, 403, "posted without an origin");
    assert_eq!(post(&format!("{host}{cookie}Origin: null\r\n")).status, 403, "posted from a file");
    let own = format!("Origin: http://{}\r\n", served.host());
    assert_eq!(
        post(&format!("{host}{cookie}{own}Sec-Fetch-Site: same-site\r\n")).status,
        403,
        "posted from a neighbour"
    );
    for method in ["PUT", "DELETE", "TRACE", "OPTIONS"] {
        let request = format!("{method} / HTTP/1.1\r\n{host}{cookie}Connection: close\r\n\r\n");
        assert_eq!(served.raw(request.as_bytes()).status, 405, "{method}");
    }
    for path in ["/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/assets/../Cargo.toml", "/flights/1/..%2f..%2flog"]
    {
        let answer = served.get(path);
        assert!(answer.status == 404 && !answer.body.contains("root:"), "{path}: {}", answer.status);
    }
    let hostile = served.drop_file("../../x\\..\\evil<script>.igc", b"dear diary");
    let told = served.get(&location(&hostile));
    assert!(told.body.contains("evil&lt;script&gt;.igc") && !told.body.contains("<script>."), "the name does nothing");
    for kind in ["text/plain", "application/json", "multipart/form-data", ""] {
        assert_eq!(served.post("/flights", kind, b"x").status, 400, "{kind}");
    }
    let policy = served.get("/").head;
    for part in ["default-src 'none'", "script-src 'self';", "frame-ancestors 'none'", "nosniff", "no-referrer"] {
        assert!(policy.contains(part), "{part}: {policy}");
    }
    assert!(served.get("/settings").status == 200, "and it still answers");
}

#[test]
fn a_body_larger_than_is_taken_is_refused_while_it_streams() {
    let scratch = Place::new();
    let served = Served::start(&scratch, &["--limit", "bytes=20000"]);
    let declared = served.drop_file("large.igc", &vec![b'B'; 100_000]);
    assert_eq!(declared.status, 413, "{}", declared.body);
    assert!(declared.body.contains("larger than"), "{}", declared.body);
    let origin = format!("Origin: http://{}\r\n", served.host());
    let mut request = format!(
        "POST /flights HTTP/1.1\r\nHost: {}\r\n{}{origin}Content-Type: multipart/form-data; boundary=x\r\nTransfer-Encoding: \
         chunked\r\nConnection: close\r\n\r\n",
        served.host(),
        served.cookie()
    )
    .into_bytes();
    let body = form("large.igc", &vec![b'B'; 100_000]);
    for chunk in body.chunks(1000) {
        request.extend_from_slice(format!("{:x}\r\n", chunk.len()).as_bytes());
        request.extend_from_slice(chunk);
        request.extend_from_slice(b"\r\n");
    }
    request.extend_from_slice(b"0\r\n\r\n");
    assert_eq!(served.raw(&request).status, 413, "no length was declared");
}

#[test]
fn a_body_that_breaks_off_leaves_nothing_behind() {
    let scratch = Place::new();
    let served = Served::start(&scratch, &[]);
    let head = format!(
        "POST /flights HTTP/1.1\r\nHost: {}\r\n{}Origin: http://{}\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: \
         100000\r\n\r\n--x\r\nContent-Disposition: form-data; name=\"files\"; filename=\"a.igc\"\r\n\r\nAXXX",
        served.host(),
        served.cookie(),
        served.host()
    );
    for _ in 0..20 {
        let mut stream = TcpStream::connect(("127.0.0.1", served.port)).expect("it listens");
        stream.write_all(head.as_bytes()).expect("sent");
    }
    let start = served.get("/");
    assert!(start.status == 200 && start.body.contains("No flight yet"));
}

/// Both wait for the time-outs of the program, side by side.
#[test]
fn who_sends_nothing_more_is_not_waited_for() {
    let place = Place::new();
    let served = Served::start(&place, &[]);
    let slow = format!(
        "POST /flights HTTP/1.1\r\nHost: {}\r\n{}Origin: http://{}\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: \
         100000\r\nConnection: close\r\n\r\n--x\r\n",
        served.host(),
        served.cookie(),
        served.host()
    );
    std::thread::scope(|threads| {
        let head = threads.spawn(|| served.raw(b"GET / HTTP/1.1\r\nHost: "));
        let body = threads.spawn(|| served.raw(slow.as_bytes()));
        assert_eq!(body.join().expect("an answer").status, 408, "a body that stops coming");
        assert!([0, 408].contains(&head.join().expect("an end").status), "a head that stops coming");
    });
    assert_eq!(served.get("/").status, 200);
}

/// What the page gives to programs is what the command line gives, but for how it was made.
#[test]
fn documents_are_those_of_the_command_line() {
    let place = Place::new();
    let served = Served::start(&place, &[]);
    for (number, (log, marks)) in DEMOS.into_iter().enumerate() {
        let read = |name: &str| std::fs::read(repository().join("demo-tracks").join(name)).expect("a demo track");
        let mut body = Vec::new();
        for name in std::iter::once(log).chain(marks) {
            let head = format!("--x\r\nContent-Disposition: form-data; name=\"files\"; filename=\"{name}\"\r\n\r\n");
            body.extend([head.as_bytes(), &read(name), b"\r\n"].concat());
        }
        body.extend(b"--x--\r\n");
        let dropped = served.post("/flights", "multipart/form-data; boundary=x", &body);
        assert_eq!(location(&dropped), format!("/flights/{}", number + 1), "{log}");
        let page: Value =
            serde_json::from_str(&served.get(&format!("/flights/{}/report.json", number + 1)).body).expect("JSON");
        let path = format!("demo-tracks/{log}");
        let marks = marks.map(|marks| format!("demo-tracks/{marks}"));
        let ran = place.run(&report_arguments(&path, marks.as_deref(), &["--format", "json"])).expect_code(0);
        let line: Value = serde_json::from_str(&ran.stdout).expect("JSON");
        for key in ["windows", "combined", "wind", "flights", "problems"] {
            assert_eq!(page[key], line[key], "{log}: {key}");
        }
        assert_eq!(page["made_by"]["input_sha256"], line["made_by"]["input_sha256"]);
    }
}

#[test]
fn a_file_that_is_no_logbook_is_refused_and_not_touched() {
    let scratch = Place::new();
    let path = scratch.path("logbook.sqlite");
    std::fs::write(&path, b"dear diary").expect("written");
    let output = Command::new(executable())
        .args(["serve", "--no-open", "--logbook"])
        .arg(&path)
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(2));
    assert!(
        String::from_utf8_lossy(&output.stderr).contains("no logbook"),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert_eq!(std::fs::read(&path).expect("there"), b"dear diary");
}
