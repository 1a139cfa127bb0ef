//! Saving through the real app: merged, kept, had back, and whole at every moment.

use std::fs;
use std::path::Path;
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use serde_json::{Value, json};

use crate::serving::{Serving, post};

fn save(serving: &Serving, path: &str, base: &str, text: &str) -> Value {
    let reply = serving.post(&format!("{path}/save"), &json!({ "base": base, "text": text }));
    assert_eq!(reply.status, 200, "{}", reply.text());
    reply.json()
}

#[test]
fn an_empty_folder_becomes_a_project_with_the_first_save() {
    let folder = tempfile::tempdir().unwrap();
    let project = folder.path().join("engine");
    let serving = Serving::of(&project);
    assert_eq!(serving.read("/").status, 200);
    assert!(!project.exists(), "looking makes nothing");
    let new = json!({ "name": "Valve lever", "outside": "bosses", "unit": "inch" });
    assert_eq!(serving.post("/parts", &new).json()["go"], "/parts/valve-lever");
    assert_eq!(
        fs::read_to_string(project.join("parts/valve-lever.toml")).unwrap(),
        "part = \"Valve lever\"\nunit = \"inch\"\n\n[body]\nkind = \"bosses\"\n"
    );
    let again = serving.post("/parts", &new);
    assert_eq!(again.status, 422);
    assert!(again.json()["problem"]["what"].as_str().unwrap().contains("there already"));
    assert_eq!(save(&serving, "/bench", "", "name = \"b\"\n")["outcome"], "saved");
    assert_eq!(fs::read_to_string(project.join("bench.toml")).unwrap(), "name = \"b\"\n");
    for wrong in ["", "   ", "///", "\u{0}"] {
        let reply = serving.post("/parts", &json!({ "name": wrong, "outside": "disc", "unit": "mm" }));
        assert_eq!(reply.status, 422, "{wrong:?}");
    }
}

#[test]
fn neither_of_two_edits_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let serving = Serving::of(folder.path());
    let base = "name = \"b\"\n\n[mill]\n# mine\ncolumn = \"170 mm\"\n\n[lathe]\nswing = \"180 mm\"\n";
    let file = folder.path().join("bench.toml");
    save(&serving, "/bench", "", base);
    let stamp = serving.read("/bench/stamp").json()["stamp"].clone();
    // Somebody edits the file by hand while the page is open.
    fs::write(&file, base.replace("180", "210")).unwrap();
    assert_ne!(serving.read("/bench/stamp").json()["stamp"], stamp);
    let merged = save(&serving, "/bench", base, &base.replace("170", "165"));
    assert_eq!(merged["outcome"], "merged");
    let both = fs::read_to_string(&file).unwrap();
    assert!(both.contains("165 mm") && both.contains("210 mm") && both.contains("# mine"), "{both}");
    // Now the same line.
    fs::write(&file, both.replace("165", "150")).unwrap();
    let answer = save(&serving, "/bench", &both, &both.replace("165", "140"));
    assert_eq!(answer["outcome"], "conflict");
    assert!(fs::read_to_string(&file).unwrap().contains("150 mm"), "the file is as it was");
    let marked = answer["marked"].as_str().unwrap();
    assert!(marked.contains("150 mm") && marked.contains("140 mm"), "{marked}");
    let page = serving.read("/bench/earlier").text();
    let newest: u32 =
        page.split("/bench/earlier/").nth(1).unwrap().split('"').next().unwrap().parse().unwrap();
    let mine = serving.read(&format!("/bench/earlier/{newest}")).text();
    assert!(mine.contains("140 mm"), "what was sent is kept: {mine}");
    assert_eq!(serving.post(&format!("/bench/earlier/{newest}"), &json!({})).status, 200);
    assert!(fs::read_to_string(&file).unwrap().contains("140 mm"));
    // Taken away on disk: saving puts it back.
    let last = fs::read_to_string(&file).unwrap();
    fs::remove_file(&file).unwrap();
    assert_eq!(save(&serving, "/bench", &last, &last)["outcome"], "saved");
    assert!(file.exists());
}

#[test]
fn a_part_is_renamed_taken_away_and_had_back() {
    let folder = tempfile::tempdir().unwrap();
    let serving = Serving::of(folder.path());
    save(&serving, "/parts/arm", "", "part = \"Arm\"\n");
    save(&serving, "/parts/arm", "part = \"Arm\"\n", "part = \"Long arm\"\n");
    save(&serving, "/parts/other", "", "part = \"Other\"\n");
    assert_eq!(serving.post("/parts/arm/rename", &json!({ "to": "other" })).status, 422);
    assert_eq!(
        serving.post("/parts/arm/rename", &json!({ "to": "long-arm" })).json()["go"],
        "/parts/long-arm"
    );
    let parts = folder.path().join("parts");
    assert!(!parts.join("arm.toml").exists());
    assert_eq!(fs::read_to_string(parts.join("long-arm.toml")).unwrap(), "part = \"Long arm\"\n");
    assert_eq!(serving.read("/parts/long-arm/earlier/1").text(), "part = \"Arm\"\n");
    assert_eq!(serving.post("/parts/long-arm/remove", &json!({})).json()["go"], "/");
    assert!(!parts.join("long-arm.toml").exists());
    let page = serving.read("/").text();
    assert!(page.contains("long-arm") && page.contains("Have it back"), "{page}");
    assert_eq!(serving.post("/parts/long-arm/earlier/2", &json!({})).status, 200);
    assert_eq!(fs::read_to_string(parts.join("long-arm.toml")).unwrap(), "part = \"Long arm\"\n");
}

#[test]
fn no_name_leads_out_of_the_folder() {
    let folder = tempfile::tempdir().unwrap();
    let project = folder.path().join("engine");
    let serving = Serving::of(&project);
    save(&serving, "/parts/a", "", "part = \"A\"\n");
    let body = json!({ "base": "", "text": "stolen = 1\n" });
    for name in [
        "..%2f..%2fout",
        "..",
        ".hidden",
        "%2ftmp%2fout",
        "a%2fb",
        "a%5cb",
        "a%00",
        "a:b",
        "con",
        "a%0ab",
        "-",
        "a.",
    ] {
        let reply = serving.post(&format!("/parts/{name}/save"), &body);
        assert!([404, 422].contains(&reply.status), "{name}: {} {}", reply.status, reply.text());
        let reply =
            serving.post("/parts/a/rename", &json!({ "to": name.replace("%2f", "/").replace("%5c", "\\") }));
        assert_eq!(reply.status, 422, "{name}");
    }
    let names: Vec<String> = files_in(folder.path());
    assert!(names.iter().all(|name| !name.contains("out")), "{names:?}");
    assert!(project.join("parts/a.toml").exists());
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_out_is_refused_and_one_inside_is_followed() {
    use std::os::unix::fs::symlink;
    let folder = tempfile::tempdir().unwrap();
    let (project, outside) = (folder.path().join("engine"), folder.path().join("outside"));
    fs::create_dir_all(project.join("parts")).unwrap();
    fs::create_dir_all(&outside).unwrap();
    fs::write(outside.join("secret.toml"), "secret = 1\n").unwrap();
    fs::write(project.join("parts/real.toml"), "part = \"R\"\n").unwrap();
    symlink(outside.join("secret.toml"), project.join("parts/out.toml")).unwrap();
    symlink("real.toml", project.join("parts/near.toml")).unwrap();
    let serving = Serving::of(&project);
    let reply = serving.read("/parts/out/text");
    assert_eq!(reply.status, 422, "{}", reply.text());
    assert!(!reply.text().contains("secret = 1"));
    let save_out =
        serving.post("/parts/out/save", &json!({ "base": "secret = 1\n", "text": "secret = 2\n" }));
    assert_eq!(save_out.status, 422);
    assert_eq!(fs::read_to_string(outside.join("secret.toml")).unwrap(), "secret = 1\n");
    save(&serving, "/parts/near", "part = \"R\"\n", "part = \"S\"\n");
    assert_eq!(fs::read_to_string(project.join("parts/real.toml")).unwrap(), "part = \"S\"\n");
    assert!(project.join("parts/near.toml").is_symlink());
    // A whole folder that leads out.
    fs::remove_dir_all(project.join("earlier")).unwrap();
    symlink(&outside, project.join("earlier")).unwrap();
    let reply =
        serving.post("/parts/near/save", &json!({ "base": "part = \"S\"\n", "text": "part = \"T\"\n" }));
    assert_eq!(reply.status, 422, "{}", reply.text());
    assert_eq!(files_in(&outside), ["secret.toml"]);
}

fn files_in(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        match entry.path().is_dir() && !entry.path().is_symlink() {
            true => found.extend(files_in(&entry.path()).into_iter().map(|below| format!("{name}/{below}"))),
            false => found.push(name),
        }
    }
    found.sort();
    found
}

/// A text long enough that writing it takes a while, whole only with its last line.
fn long_text(word: &str) -> String {
    format!("# {word}\n{}end = \"{word}\"\n", format!("# {word} and more of it\n").repeat(12_000))
}

#[test]
fn killed_at_any_moment_the_file_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("parts/arm.toml");
    let texts = [long_text("one"), long_text("two")];
    let whole = |path: &Path| {
        let text = fs::read_to_string(path).unwrap();
        assert!(texts.contains(&text), "{} is not whole: {} bytes", path.display(), text.len());
        text
    };
    let mut saved = 0;
    for round in 0..12_u64 {
        let mut serving = Serving::of(folder.path());
        let address = serving.address.clone();
        let mut base = if file.exists() { whole(&file) } else { String::new() };
        let (one, two) = (texts[0].clone(), texts[1].clone());
        let (first_save, first_saved) = mpsc::channel();
        let saving = thread::spawn(move || {
            let mut done = 0;
            loop {
                let next = if base == one { &two } else { &one };
                let body = json!({ "base": base, "text": next });
                match post(&address, "/parts/arm/save", &body) {
                    Some(reply) if reply.status == 200 => done += 1,
                    _ => return done,
                }
                // Nobody listens any more after the first.
                let _ = first_save.send(());
                base = next.clone();
            }
        });
        first_saved.recv().expect("one save is made");
        thread::sleep(Duration::from_millis((round * 7) % 25));
        serving.kill();
        saved += saving.join().unwrap();
        if file.exists() {
            whole(&file);
        }
        let states = folder.path().join("earlier/parts/arm");
        for state in fs::read_dir(&states).into_iter().flatten().flatten() {
            if state.path().extension().is_some_and(|end| end == "toml") {
                whole(&state.path());
            }
        }
    }
    assert!(saved >= 12, "only {saved} saves were made");
}

/// Two programs at one folder, several pages at each, all saving at once: each
/// adds its own lines, and every line is there in the end.
#[test]
fn saves_at_the_same_time_lose_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let headings: String = (0..6).map(|who| format!("[page{who}]\nname = {who}\n\n")).collect();
    let servers = [Serving::of(folder.path()), Serving::of(folder.path())];
    save(&servers[0], "/bench", "", &headings);
    let pages: Vec<_> = (0..6)
        .map(|who: usize| {
            let address = servers[who % 2].address.clone();
            let mut text = headings.clone();
            thread::spawn(move || {
                for count in 0..5 {
                    let base = text.clone();
                    let mine = base.replace(
                        &format!("name = {who}\n"),
                        &format!("name = {who}\nline{count} = {count}\n"),
                    );
                    let reply =
                        post(&address, "/bench/save", &json!({ "base": base, "text": mine })).unwrap();
                    let answer = reply.json();
                    assert_ne!(answer["outcome"], "conflict", "{answer}");
                    text = answer["text"].as_str().unwrap().to_owned();
                }
            })
        })
        .collect();
    pages.into_iter().for_each(|page| page.join().unwrap());
    let text = fs::read_to_string(folder.path().join("bench.toml")).unwrap();
    for count in 0..5 {
        let line = format!("line{count} = {count}\n");
        assert_eq!(text.matches(&line).count(), 6, "{text}");
    }
}
