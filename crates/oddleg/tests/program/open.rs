//! `open`: the address is said, the pages are there, and only for this machine.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// A server that is stopped when the test is done with it.
struct Serving {
    child: Child,
    address: String,
}

impl Serving {
    fn of(project: &str) -> Self {
        let examples = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"));
        let mut child = Command::new(assert_cmd::cargo_bin!("oddleg"))
            .current_dir(examples)
            .args(["open", project])
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let out = BufReader::new(child.stdout.take().expect("the output is piped"));
        let line = out.lines().map_while(Result::ok).find_map(|line| {
            line.trim().strip_prefix("http://").map(|rest| rest.trim_end_matches('/').to_owned())
        });
        Self { child, address: line.expect("the address is said") }
    }

    /// The whole answer to a request for a path, under a host name.
    fn get(&self, path: &str, host: &str) -> String {
        let mut stream = TcpStream::connect(&self.address).expect("somebody listens");
        write!(stream, "GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        String::from_utf8_lossy(&answer).into_owned()
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        // A server that has already ended needs no stopping.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn the_pages_of_the_demo_project_are_served_to_this_machine_alone() {
    let serving = Serving::of("kittiwake");
    assert!(serving.address.starts_with("127.0.0.1:"), "{}", serving.address);
    let list = serving.get("/", &serving.address);
    assert!(list.starts_with("HTTP/1.1 200"), "{list}");
    for part in ["Valve lever", "Gear cover", "Pump bracket", "Valve spindle"] {
        assert!(list.contains(part), "{part}: {list}");
    }
    for page in
        ["drawing", "metric", "order", "sheets", "sheets/setup-1", "print", "why?of=rod%20bore%3A%20diameter"]
    {
        let answer = serving.get(&format!("/parts/valve-lever/{page}"), &serving.address);
        assert!(answer.starts_with("HTTP/1.1 200"), "{page}: {}", answer.lines().next().unwrap_or_default());
    }
    let pdf = serving.get("/parts/valve-lever/print.pdf", &serving.address);
    assert!(pdf.contains("application/pdf") && pdf.contains("%PDF-"));
    let elsewhere = serving.get("/", "example.org");
    assert!(elsewhere.starts_with("HTTP/1.1 403"), "{elsewhere}");
    for missing in
        ["/parts/none/drawing", "/parts/..%2f..%2fbench/drawing", "/parts/valve-lever/sheets/none", "/x"]
    {
        let answer = serving.get(missing, &serving.address);
        assert!(
            answer.starts_with("HTTP/1.1 404"),
            "{missing}: {}",
            answer.lines().next().unwrap_or_default()
        );
    }
}
