//! The make list of a project: printed, written to sheets, and on its page.

use std::fs;
use std::path::Path;

use crate::serving::Serving;
use crate::{complained, oddleg, printed};

fn examples() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples"))
}

/// Copies a case to a folder of its own.
fn copied(case: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let from = examples().join("cases").join(case);
    fs::create_dir(folder.path().join("parts")).unwrap();
    for file in ["bench.toml", "assembly.toml", "parts/arm.toml", "parts/post.toml"] {
        fs::copy(from.join(file), folder.path().join(file)).unwrap();
    }
    folder
}

#[test]
fn the_demo_project_goes_together_in_an_order_that_keeps_its_traps() {
    let order = printed(&oddleg(examples(), &["order", "kittiwake"]));
    let list = &order[order.find("make list: about").expect("a make list")..];
    let at = |words: &str| list.find(words).unwrap_or_else(|| panic!("no `{words}` in\n{list}"));
    let places = [
        "Harden and temper: harden the crank pin",
        "Press together: pin in the first web",
        "Screw together: eccentric on the shaft",
        "Screw together: flywheel on the shaft",
        "Press together: second web on the shaft",
    ]
    .map(at);
    assert!(places.is_sorted(), "{list}");
    assert!(at("Crank setting plate") < places[4], "{list}");
    // Its angle and throws are the mechanism's.
    assert!(at("Eccentric setting block") < places[2] && !list.contains("has no sheet"), "{list}");
    let traps = &list[at("not to be done early")..];
    for trap in [
        "“press together: second web on the shaft” before “make crank setting plate”",
        "leaves nothing to set the angle between the webs by",
        "“press together: pin in the first web” before “harden and temper: harden the crank pin”",
    ] {
        assert!(traps.contains(trap), "{trap}: {traps}");
    }
    assert!(list.contains("No order of the whole project that keeps these rules"), "{list}");
    // The pin of the governor arm goes through arm and spindle: it is not on the arm's own sheets.
    let arm = &order[order.find("Governor arm (kittiwake/parts/").unwrap()..];
    let arm = &arm[..arm.find("Governor spindle (kittiwake/parts/").unwrap()];
    assert!(arm.contains("left for assembly\n  Hub pin: "), "{arm}");
    assert!(!arm.contains("taper ream hub pin") && !arm.contains("drill hub pin"), "{arm}");
}

#[test]
fn one_part_asked_for_alone_leaves_the_same_for_assembly() {
    let alone = printed(&oddleg(examples(), &["order", "kittiwake/parts/governor-arm.toml"]));
    assert!(alone.contains("left for assembly\n  Hub pin: "), "{alone}");
    assert!(!alone.contains("make list"), "{alone}");
}

#[test]
fn a_faulty_assembly_is_told_and_the_parts_are_answered() {
    let folder = copied("jig-first");
    let file = folder.path().join("assembly.toml");
    fs::write(&file, fs::read_to_string(&file).unwrap().replace("Post: shank", "Past: shank")).unwrap();
    let output = oddleg(folder.path(), &["order", "."]);
    let (told, out) = (complained(&output), printed(&output));
    assert_eq!(output.status.code(), Some(1));
    assert!(told.contains("no part called `Past`") && told.contains("did you mean `Post`?"), "{told}");
    assert!(out.contains("Post (") && !out.contains("make list"), "{out}");
    let check = oddleg(folder.path(), &["check", "."]);
    assert!(complained(&check).contains("assembly.toml, line"), "{}", complained(&check));
}

#[test]
fn a_project_that_checks_says_what_is_said_of_fitting() {
    let check = printed(&oddleg(examples(), &["check", "cases/jig-first"]));
    assert!(check.contains("1 join, 1 work in assembly, 1 heat treatment and 1 aid"), "{check}");
}

#[test]
fn the_make_list_is_among_the_sheets_and_prints_its_reasons() {
    let folder = copied("jig-first");
    let output = oddleg(folder.path(), &["sheets", ".", "-o", "out"]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    let html = fs::read_to_string(folder.path().join("out/make-list.html")).unwrap();
    for words in
        ["Make list", "Press together: post in the arm", "the angle plug sets the angle", "Not too early"]
    {
        assert!(html.contains(words), "{words}");
    }
    let arm = fs::read_to_string(folder.path().join("out/arm.html")).unwrap();
    assert!(
        arm.contains("Left for assembly") && arm.contains("Pivot bore: "),
        "the part's own sheet says so"
    );
    assert!(fs::read(folder.path().join("out/make-list.pdf")).unwrap().starts_with(b"%PDF-"));
    assert!(folder.path().join("out/make-list-page-01.svg").exists());
}

#[test]
fn the_page_of_the_make_list_shows_it_and_what_stands_in_its_way() {
    let serving = Serving::of(&examples().join("cases/jig-first"));
    let page = serving.get("/make-list", &serving.address);
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("Press together: post in the arm"), "{page}");
    assert!(serving.get("/", &serving.address).contains("href=\"/make-list\""));
    let order = serving.get("/parts/arm/order", &serving.address);
    assert!(order.contains("<h2>Left for assembly</h2>\n<ul class=\"said\"><li>Pivot bore: "), "{order}");
    let supposed =
        &order[order.find("<h2>Supposed, and where it may fall short</h2>").expect("it is listed")..];
    assert!(supposed.contains("a 10 mm end mill with 22 mm flutes has to be bought"), "{supposed}");
    let pdf = serving.get("/make-list/print.pdf", &serving.address);
    assert!(pdf.contains("application/pdf") && pdf.contains("%PDF-"));
    let serving = Serving::of(&examples().join("cases/jig-too-late"));
    let page = serving.get("/make-list", &serving.address);
    assert!(page.contains("no order in which this project can be put together"), "{page}");
}

#[test]
fn why_reaches_the_rows_of_the_make_list() {
    let here = printed(&oddleg(examples(), &["why", "kittiwake", "make crank setting plate"]));
    assert!(here.contains("“press together: second web on the shaft” waits for it"), "{here}");
    let before =
        ["why", "kittiwake", "make crank setting plate before press together: second web on the shaft"];
    let before = printed(&oddleg(examples(), &before));
    assert!(
        before.contains("has to come first") && before.contains("sets the angle between the webs"),
        "{before}"
    );
    assert!(before.contains("assembly.toml, line"), "{before}");
}

/// An assembly file that is there and cannot be read is a fault on every page that rests on it:
/// never a project of which nothing is said.
#[test]
fn an_assembly_file_that_cannot_be_read_is_told_on_the_pages() {
    let folder = copied("jig-first");
    let file = folder.path().join("assembly.toml");
    let whole = fs::read(&file).unwrap();
    let serving = Serving::of(folder.path());
    assert!(!serving.get("/", &serving.address).contains("cannot be read"));
    let not_text = [&whole[..], &[0xff, 0xfe, 0xff]].concat();
    for (bytes, what, mend) in [
        (Some(&not_text[..]), "is not text", "save it again as UTF-8"),
        (Some(&b"[[join]\nname = 3"[..]), "assembly.toml, line 1", ""),
        (None, "is a folder", "name the TOML file"),
    ] {
        if file.is_dir() {
            fs::remove_dir(&file).unwrap()
        } else {
            fs::remove_file(&file).unwrap()
        }
        match bytes {
            Some(bytes) => fs::write(&file, bytes).unwrap(),
            None => fs::create_dir(&file).unwrap(),
        }
        let list = serving.get("/make-list", &serving.address);
        assert!(list.contains("What stands in the way") && list.contains("assembly.toml"), "{list}");
        assert!(list.contains(what) && list.contains(mend), "{what}: {list}");
        let project = serving.get("/", &serving.address);
        assert!(
            project.contains("How the parts go together cannot be read") && project.contains(what),
            "{project}"
        );
        let sheet = serving.get("/parts/arm/sheets/cover", &serving.address);
        assert!(sheet.contains("What is left for assembly is not known"), "{sheet}");
        let order = oddleg(folder.path(), &["order", "."]);
        assert_eq!(order.status.code(), Some(1));
        assert!(complained(&order).contains("assembly.toml"), "{}", complained(&order));
    }
}

/// One mandrel of two levers alike: the sheet of the one says what else it is for, that of the
/// other that it is not made again, printed and on the page.
#[test]
fn the_sheets_of_a_shared_aid_say_so() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("parts")).unwrap();
    fs::copy(examples().join("kittiwake/bench.toml"), folder.path().join("bench.toml")).unwrap();
    for name in ["Long lever", "Short lever"] {
        let hole = |end: &str| {
            format!(
                "[[feature]]\nname = \"{end} bore\"\nkind = \"hole\"\ndiameter = {{ is = \"8\", pin = \"8 mm\" }}\n\
                 finish = \"reamed\"\nplace = [\"concentric with {end}\"]\n"
            )
        };
        let text = format!(
            "part = \"{name}\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\ngeneral_tolerance = \"coarse\"\n\
             [body]\nkind = \"bosses\"\naround = [\"left\", \"right\"]\nthickness = \"8\"\n\
             [[feature]]\nname = \"left\"\nkind = \"boss\"\nradius = \"11\"\nplace = [\"datum\"]\n\
             [[feature]]\nname = \"right\"\nkind = \"boss\"\nradius = \"10\"\nplace = [\"45 right of left\", \"level with left\"]\n{}{}",
            hole("left"),
            hole("right")
        );
        let file = format!("parts/{}.toml", name.to_lowercase().replace(' ', "-"));
        fs::write(folder.path().join(file), text).unwrap();
    }
    let output = oddleg(folder.path(), &["sheets", ".", "-o", "out"]);
    assert_eq!(output.status.code(), Some(0), "{}", complained(&output));
    let printed = |name: &str| fs::read_to_string(folder.path().join(format!("out/{name}.html"))).unwrap();
    let (long, short) = (printed("long-lever"), printed("short-lever"));
    assert!(
        long.contains("Also used as the stub mandrel") && long.contains("of Short lever"),
        "{}",
        long.len()
    );
    assert!(short.contains("Not made again: the stub mandrel"), "{}", short.len());
    // The aid's own part file stands beside the sheets, and is a part like any other.
    let out = fs::read_dir(folder.path().join("out")).unwrap().flatten();
    let stub = out.map(|entry| entry.path()).find(|path| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        name.starts_with("long-lever-stub-mandrel-for-the-") && name.ends_with(".toml")
    });
    let stub = stub.expect("the mandrel has a part file");
    let serving = Serving::of(folder.path());
    let page = serving.get("/parts/short-lever/print", &serving.address);
    assert!(page.contains("Not made again: the stub mandrel"), "{}", page.len());
    let page = serving.get("/make-list", &serving.address);
    assert!(page.contains("its own part file") && page.contains("in one holding"), "{}", page.len());
    fs::copy(stub, folder.path().join("parts/stub.toml")).unwrap();
    let order = oddleg(folder.path(), &["order", "parts/stub.toml"]);
    assert_eq!(order.status.code(), Some(0), "{}", complained(&order));
    assert!(crate::printed(&order).contains("turn stub"), "{}", crate::printed(&order));
}
