//! Answering only those who asked for this machine by name.
//!
//! A page elsewhere can make a browser send requests to the loopback address
//! (by a name that resolves to it). Its requests name another host: they are
//! refused before any page sees them.

use axum::extract::Request;
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// Passes a request on only when its `Host` is the loopback address.
pub async fn loopback_only(request: Request, next: Next) -> Response {
    let host = request.headers().get(header::HOST).and_then(|host| host.to_str().ok()).unwrap_or_default();
    if !names_loopback(host) {
        let words = "this app answers only on the machine it runs on, as 127.0.0.1 or localhost\n";
        return (StatusCode::FORBIDDEN, words).into_response();
    }
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in [
        (
            header::CONTENT_SECURITY_POLICY,
            "default-src 'self'; style-src 'self' 'unsafe-inline'; frame-ancestors 'none'",
        ),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
    ] {
        headers.entry(name).or_insert(header::HeaderValue::from_static(value));
    }
    response
}

fn names_loopback(host: &str) -> bool {
    let name = match host.rsplit_once(':') {
        Some((name, port)) if port.bytes().all(|b| b.is_ascii_digit()) => name,
        _ => host,
    };
    matches!(name, "127.0.0.1" | "localhost" | "[::1]")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_pass() {
        for host in ["127.0.0.1", "127.0.0.1:8080", "localhost:1", "[::1]:80"] {
            assert!(names_loopback(host), "{host}");
        }
        for host in [
            "",
            "example.org",
            "127.0.0.1.example.org",
            "localhost.example.org:80",
            "10.0.0.1",
            "a:localhost",
        ] {
            assert!(!names_loopback(host), "{host}");
        }
    }
}
