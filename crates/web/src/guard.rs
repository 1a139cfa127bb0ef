//! Answering only pages of this app on this machine.
//!
//! A page elsewhere can make a browser send requests to the loopback address,
//! directly or by a name that resolves to it. What it sends names another host,
//! comes from another origin, or is no JSON: it is refused before any page sees it.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// The port that a request must name; nothing takes any.
pub type Port = Option<u16>;

/// Headers of every answer, where the page does not set its own.
const HEADERS: [(HeaderName, &str); 5] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; \
         font-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::CACHE_CONTROL, "no-store"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// Passes on only what a page of this app on this machine asks.
pub async fn this_app_only(State(port): State<Port>, request: Request, next: Next) -> Response {
    if let Err((status, words)) = allowed(request.method(), request.headers(), port) {
        return (status, format!("{words}\n")).into_response();
    }
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.entry(name).or_insert(header::HeaderValue::from_static(value));
    }
    response
}

fn allowed(method: &Method, headers: &HeaderMap, port: Port) -> Result<(), (StatusCode, &'static str)> {
    let said = |name: &HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let host = said(&header::HOST).unwrap_or_default();
    if !names_loopback(host, port) {
        let words = "this app answers only on the machine it runs on, as 127.0.0.1 or localhost";
        return Err((StatusCode::FORBIDDEN, words));
    }
    if matches!(*method, Method::GET | Method::HEAD) {
        return Ok(());
    }
    if *method != Method::POST {
        return Err((StatusCode::METHOD_NOT_ALLOWED, "this app is read with GET and changed with POST"));
    }
    let own = said(&header::ORIGIN).and_then(|origin| origin.strip_prefix("http://")) == Some(host);
    let fetched = said(&HeaderName::from_static("sec-fetch-site"));
    if !own || !matches!(fetched, None | Some("same-origin" | "none")) {
        return Err((StatusCode::FORBIDDEN, "only a page of this app may change anything"));
    }
    let kind = said(&header::CONTENT_TYPE).unwrap_or_default();
    let kind = kind.split(';').next().unwrap_or_default().trim();
    if matches!(kind, "application/json" | "image/png" | "image/jpeg") {
        Ok(())
    } else {
        Err((StatusCode::UNSUPPORTED_MEDIA_TYPE, "a change is sent as JSON, a picture as PNG or JPEG"))
    }
}

fn names_loopback(host: &str, port: Port) -> bool {
    let (name, named) = match host.rsplit_once(':') {
        Some((name, digits)) if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) => {
            (name, digits.parse::<u16>().ok())
        }
        _ => (host, Some(80)),
    };
    matches!(name, "127.0.0.1" | "localhost" | "[::1]") && (port.is_none() || port == named)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_and_port_pass() {
        for host in ["127.0.0.1", "127.0.0.1:8080", "localhost:1", "[::1]:80"] {
            assert!(names_loopback(host, None), "{host}");
        }
        for host in [
            "",
            "example.org",
            "127.0.0.1.example.org",
            "localhost.example.org:80",
            "10.0.0.1",
            "a:localhost",
            "localhost:",
        ] {
            assert!(!names_loopback(host, None), "{host}");
        }
        assert!(names_loopback("127.0.0.1:8080", Some(8080)));
        for host in ["127.0.0.1", "127.0.0.1:8081", "127.0.0.1:99999", "localhost:80"] {
            assert!(!names_loopback(host, Some(8080)), "{host}");
        }
    }
}
