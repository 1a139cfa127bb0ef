//! Only pages of the app change anything, within bounds, and no name becomes markup.

use std::fs;

use serde_json::json;

use crate::serving::Serving;

#[test]
fn only_a_page_of_this_app_may_post_and_only_json() {
    let folder = tempfile::tempdir().unwrap();
    let serving = Serving::of(folder.path());
    let own = serving.address.clone();
    let port = own.rsplit_once(':').unwrap().1;
    let origin = format!("http://{own}");
    let localhost = format!("localhost:{port}");
    let body = json!({ "base": "", "text": "name = \"b\"\n" }).to_string();
    let kind = ("Content-Type", "application/json");
    for (headers, status) in [
        (vec![("Host", own.as_str()), kind], 403),
        (vec![("Host", &own), ("Origin", "null"), kind], 403),
        (vec![("Host", &own), ("Origin", "https://example.org"), kind], 403),
        (vec![("Host", &own), ("Origin", "http://127.0.0.1:1"), kind], 403),
        (vec![("Host", &own), ("Origin", &origin), ("Sec-Fetch-Site", "cross-site"), kind], 403),
        (vec![("Host", &own), ("Origin", &origin), ("Sec-Fetch-Site", "same-site"), kind], 403),
        (vec![("Host", "example.org"), ("Origin", "http://example.org"), kind], 403),
        (vec![("Host", "127.0.0.1:1"), ("Origin", "http://127.0.0.1:1"), kind], 403),
        (vec![("Host", &own), ("Origin", &origin), ("Content-Type", "text/plain")], 415),
        (
            vec![("Host", &own), ("Origin", &origin), ("Content-Type", "application/x-www-form-urlencoded")],
            415,
        ),
        (vec![("Host", &own), ("Origin", &origin)], 415),
    ] {
        let reply = serving.post_with("/bench/save", &headers, body.as_bytes());
        assert_eq!(reply.status, status, "{headers:?}: {}", reply.text());
        assert!(!folder.path().join("bench.toml").exists(), "{headers:?}");
    }
    let other = format!("http://{localhost}");
    let headers = [("Host", localhost.as_str()), ("Origin", &other), kind];
    assert_eq!(serving.post_with("/bench/save", &headers, body.as_bytes()).status, 200);
    assert_eq!(fs::read_to_string(folder.path().join("bench.toml")).unwrap(), "name = \"b\"\n");
}

#[test]
fn what_is_too_large_is_refused_in_plain_words() {
    let folder = tempfile::tempdir().unwrap();
    let serving = Serving::of(folder.path());
    let long = |length: usize| "#".repeat(length);
    for (path, body) in [
        ("/bench/save", json!({ "base": "", "text": long(1_000_001) })),
        ("/bench/save", json!({ "base": long(1_000_001), "text": "" })),
        ("/bench/change", json!({ "text": long(1_000_001), "changes": [] })),
        ("/bench/save", json!({ "base": "", "text": long(6_000_000) })),
    ] {
        let reply = serving.post(path, &body);
        assert_eq!(reply.status, 413, "{path}");
        let problem = &reply.json()["problem"];
        assert!(
            problem["what"].as_str().unwrap().contains("MB")
                || problem["why"].as_str().unwrap().contains("MB")
        );
        assert!(problem["mend"].is_string());
    }
    let mut picture = b"\x89PNG\r\n\x1a\n".to_vec();
    let origin = format!("http://{}", serving.address);
    let headers = [("Host", serving.address.as_str()), ("Origin", &origin), ("Content-Type", "image/png")];
    let small = serving.post_with("/images/sheet%207.png", &headers, &picture);
    assert_eq!((small.status, small.json()["image"].as_str().unwrap()), (201, "sheet 7.png"));
    picture.resize(20_000_001, 0);
    let large = serving.post_with("/images/sheet%208.png", &headers, &picture);
    assert_eq!(large.status, 413, "{}", large.text());
    assert!(large.json()["problem"]["why"].as_str().unwrap().contains("20 MB"));
    let kept: Vec<_> = fs::read_dir(folder.path().join("sheets")).unwrap().flatten().collect();
    assert_eq!(kept.len(), 1);
}

#[test]
fn a_picture_is_what_its_bytes_say_and_stays_in_its_folder() {
    let folder = tempfile::tempdir().unwrap();
    let serving = Serving::of(folder.path());
    let origin = format!("http://{}", serving.address);
    let put = |name: &str, bytes: &[u8]| {
        let headers =
            [("Host", serving.address.as_str()), ("Origin", &origin), ("Content-Type", "image/png")];
        serving.post_with(&format!("/images/{name}"), &headers, bytes)
    };
    let png = b"\x89PNG\r\n\x1a\nrest";
    let jpeg = b"\xff\xd8\xffrest";
    assert_eq!(put("a.png", png).json()["image"], "a.png");
    assert_eq!(put("a.png", png).json()["image"], "a.png", "the same picture is kept once");
    assert_eq!(put("a.png", b"\x89PNG\r\n\x1a\nother").json()["image"], "a-2.png");
    assert_eq!(put("photo.png", jpeg).json()["image"], "photo.jpg");
    let back = serving.read("/images/a.png");
    assert!(back.head.contains("image/png") && back.head.contains("nosniff"), "{}", back.head);
    assert_eq!(back.body, png);
    for (name, bytes) in [
        ("a.svg", &b"<svg onload=alert(1)>"[..]),
        ("a.png", b"GIF89a"),
        ("..%2f..%2fa.png", png),
        (".hidden.png", png),
        ("a%00b.png", png),
        ("%2fetc%2fa.png", png),
    ] {
        assert_eq!(put(name, bytes).status, 422, "{name}");
    }
    for name in ["..%2fbench.toml", "none.png", "a.toml", "..%2fearlier%2f.lock"] {
        assert_eq!(serving.read(&format!("/images/{name}")).status, 404, "{name}");
    }
}

/// Names that would be markup if a page forgot to say that they are words.
const HOSTILE: &str = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>]]>&lt;\u{202e}</svg>";

fn hostile_project() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let quoted = serde_json::to_string(HOSTILE).unwrap();
    let part = format!(
        "part = {quoted}\nsheet = {quoted}\nunit = \"mm\"\nmaterial = \"brass\"\n\
         [body]\nkind = \"disc\"\ndiameter = \"40\"\nthickness = \"4\"\n\
         [[feature]]\nname = {quoted}\nkind = \"hole\"\ndiameter = \"6\"\nplace = [\"datum\"]\n\
         [[mate]]\nname = {quoted}\nin = {quoted}\nsize = \"6\"\nfit = \"sliding\"\n"
    );
    fs::create_dir_all(folder.path().join("parts")).unwrap();
    fs::write(folder.path().join("parts/sound.toml"), &part).unwrap();
    let broken = part.replace("\"6\"\nplace", &format!("{quoted}\nplace"));
    fs::write(folder.path().join("parts/broken.toml"), broken).unwrap();
    let bench = format!(
        "name = {quoted}\ndrills = [{quoted}]\ntaps = [{quoted}]\n[lathe]\nswing = {quoted}\n\
         [[stock]]\nmaterial = {quoted}\nround = [{quoted}]\n{quoted} = 1\n"
    );
    fs::write(folder.path().join("hostile-bench.toml"), bench).unwrap();
    folder
}

/// Whether any of it stands in a page as markup.
fn markup_in(page: &str) -> Option<&str> {
    let lower = page.to_lowercase();
    ["<script>", "<img", "alert(1)</script", "]]></svg"].into_iter().find(|mark| lower.contains(mark))
}

#[test]
fn no_name_becomes_markup_on_any_page() {
    let folder = hostile_project();
    let serving = Serving::of(folder.path());
    let mut seen = 0;
    let mut visit = |path: &str, status: u16| {
        let reply = serving.read(path);
        assert_eq!(reply.status, status, "{path}");
        let page = reply.text();
        assert_eq!(markup_in(&page), None, "{path}\n{page}");
        assert!(reply.head.to_lowercase().contains("script-src 'self';"), "{path}: {}", reply.head);
        let lower = page.to_lowercase();
        for (at, _) in lower.match_indices("<script") {
            assert!(lower[at..].starts_with("<script src=\"/"), "{path} has a script in it");
        }
        seen += usize::from(page.contains("alert(1)"));
        page
    };
    visit("/", 200);
    for page in [
        "drawing",
        "published",
        "metric",
        "order",
        "sheets",
        "sheets/cover",
        "sheets/setup-1",
        "print",
        "why",
    ] {
        let path = format!("/parts/sound/{page}");
        if matches!(serving.read(&path).status, 200) {
            visit(&path, 200);
        }
    }
    for page in ["metric", "order", "sheets"] {
        visit(&format!("/parts/broken/{page}"), 422);
    }
    visit("/parts/broken/drawing", serving.read("/parts/broken/drawing").status);
    visit("/parts/%3Cscript%3Ealert(1)%3C%2Fscript%3E/drawing", 404);
    fs::rename(folder.path().join("hostile-bench.toml"), folder.path().join("bench.toml")).unwrap();
    visit("/bench", 200);
    assert!(seen >= 8, "the names are shown on only {seen} pages");
    // What is drawn anew after a change is escaped as well.
    let text = fs::read_to_string(folder.path().join("bench.toml")).unwrap();
    let reply = serving.post("/bench/change", &json!({ "text": text, "changes": [] }));
    let form = reply.json()["fragments"]["bench-form"].as_str().unwrap().to_owned();
    assert!(form.contains("alert(1)"));
    assert_eq!(markup_in(&form), None, "{form}");
}
