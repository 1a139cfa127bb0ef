//! `open`: the address is said, the pages are there, and only for this machine.

use std::path::Path;

use crate::serving::Serving;

#[test]
fn the_pages_of_the_demo_project_are_served_to_this_machine_alone() {
    let examples = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"));
    let serving = Serving::of(&examples.join("kittiwake"));
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
