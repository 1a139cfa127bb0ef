//! The web app served by the real binary, spoken to as a browser would.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};

use serde_json::Value;

/// A server that is stopped when the test is done with it.
pub struct Serving {
    child: Child,
    pub address: String,
}

/// What came back.
pub struct Reply {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Reply {
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|fault| panic!("{fault}: {}", self.text()))
    }
}

impl Serving {
    pub fn of(project: &Path) -> Self {
        let mut child = Command::new(assert_cmd::cargo_bin!("oddleg"))
            .arg("open")
            .arg(project)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let out = BufReader::new(child.stdout.take().expect("the output is piped"));
        let line = out.lines().map_while(Result::ok).find_map(|line| {
            line.trim().strip_prefix("http://").map(|rest| rest.trim_end_matches('/').to_owned())
        });
        Self { child, address: line.expect("the address is said") }
    }

    /// Stops it at once, as a loss of power would.
    pub fn kill(&mut self) {
        // A server that has already ended needs no stopping.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }

    /// The whole answer to a request for a path, under a host name.
    pub fn get(&self, path: &str, host: &str) -> String {
        let request = format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
        let reply = send(&self.address, request.as_bytes(), &[]).expect("there is an answer");
        format!("{}\r\n\r\n{}", reply.head, reply.text())
    }

    /// The answer to a request for a path.
    pub fn read(&self, path: &str) -> Reply {
        let request = format!("GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.address);
        send(&self.address, request.as_bytes(), &[]).expect("there is an answer")
    }

    /// Posts JSON as a page of the app does.
    pub fn post(&self, path: &str, body: &Value) -> Reply {
        post(&self.address, path, body).expect("there is an answer")
    }

    /// Posts with headers of one's own.
    pub fn post_with(&self, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Reply {
        let headers: String = headers.iter().map(|(name, value)| format!("{name}: {value}\r\n")).collect();
        let request = format!(
            "POST {path} HTTP/1.1\r\n{headers}Content-Length: {}\r\nConnection: close\r\n\r\n",
            body.len()
        );
        send(&self.address, request.as_bytes(), body).expect("there is an answer")
    }
}

/// Posts JSON as a page of the app does; nothing when nobody answers.
pub fn post(address: &str, path: &str, body: &Value) -> Option<Reply> {
    let body = body.to_string();
    let request = format!(
        "POST {path} HTTP/1.1\r\nHost: {address}\r\nOrigin: http://{address}\r\n\
         Sec-Fetch-Site: same-origin\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\
         Connection: close\r\n\r\n",
        body.len()
    );
    send(address, request.as_bytes(), body.as_bytes())
}

fn send(address: &str, head: &[u8], body: &[u8]) -> Option<Reply> {
    let mut stream = TcpStream::connect(address).ok()?;
    stream.write_all(head).ok()?;
    // Too long a body is answered before it is all read.
    let _ = stream.write_all(body);
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    let at = answer.windows(4).position(|four| four == b"\r\n\r\n")?;
    let head = String::from_utf8_lossy(&answer[..at]).into_owned();
    let status = head.split(' ').nth(1)?.parse().ok()?;
    Some(Reply { status, head, body: answer[at + 4..].to_vec() })
}

impl Drop for Serving {
    fn drop(&mut self) {
        self.kill();
    }
}
