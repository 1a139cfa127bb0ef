//! A whole plan, printed and shown: the calls that a program makes.

use workshop::abreast::abreast;
use workshop::plan::Plan;
use workshop::plan::sheet::{CuttingList, MakeList, Overlay, Projections, Scene, SetupSheet};
use workshop::problem::{Outcome, Problem};

use crate::ink::{Ink, PAGE};
use crate::pages::{self, Medium};
use crate::scene::{Datum, Room, Screen};
use crate::sheet::{Sheet, paginate, paginate_close};
use crate::svg::{self, Dress, Links};
use crate::{html, pdf, scene};

/// What a picture on a screen may take, as millimetres of paper.
const SCREEN: Room = Room { width_mm: 180.0, height_mm: 140.0 };
/// How much higher it may grow where so much is said of it that it must.
const MOST_MM: f64 = 400.0;

/// A scene as a picture for the screen: a file of its own that names its font
/// but does not carry it. A figure in it carries its name in `data-why`.
pub fn scene_svg(scene: &Scene) -> String {
    let datum = if scene.datum_name.is_empty() { Datum::Hidden } else { Datum::Axes };
    let placed = scene::picture(scene, datum, SCREEN, MOST_MM, &|_| None);
    svg::write(&placed.ink, placed.view(), Dress::Light)
}

/// The views of a part in line with each other, with their dimensions, as a
/// picture for the screen: part of a page that has [`svg::style`].
///
/// Every line of a feature, and what is said of it, stands in a group of class
/// `feature` that carries the feature's name in `data-feature` and in `<title>`; a
/// dimension carries its own name in `data-why`. In front of each line of a feature
/// lies one of class `touch`, wide and not seen, to be pointed at.
pub fn views_svg(projections: &Projections, screen: Screen) -> String {
    let placed = scene::views(projections, screen);
    svg::write(&placed.ink, placed.view(), Dress::Inline)
}

/// The same as marks on paper, with its width and height in millimetres.
pub fn views_ink(projections: &Projections, screen: Screen) -> (Ink, f64, f64) {
    let placed = scene::views(projections, screen);
    (placed.ink, placed.width_mm, placed.height_mm)
}

/// The metric part laid over the drawing, differences magnified, as a picture for the
/// screen: part of a page that has [`svg::style`]. What it shows is said by
/// [`Overlay::caption`].
///
/// What was drawn stands in lines of class `before`; what moved is named at its place,
/// with the dimension that it shows in `data-why`.
pub fn overlay_svg(overlay: &Overlay, screen: Screen) -> String {
    let placed = scene::overlay(overlay, screen.frame());
    svg::write(&placed.ink, placed.view(), Dress::Inline)
}

/// The work as it lies in a setup, as [`scene_svg`] shows it.
pub fn setup_svg(setup: &SetupSheet) -> String {
    let figures = || setup.rows.iter().flat_map(|row| &row.sets).chain(&setup.presets);
    let find = |name: &str| figures().find(|figure| figure.name == name);
    let datum = pages::setup::datum(setup);
    let placed = scene::picture(&setup.scene, datum, SCREEN, MOST_MM, &find);
    svg::write(&placed.ink, placed.view(), Dress::Light)
}

/// The sheets of a plan in order: the key by which [`sheet_html`] knows each,
/// and its title. Keys are `cover`, `changes`, then `setup-1` and so on, `inspection`, then `aid-1` and so on.
pub fn titles(plan: &Plan) -> Vec<(String, String)> {
    pages::all(plan).into_iter().map(|which| (which.key(plan), which.title(plan))).collect()
}

/// One sheet as a piece of HTML, a `<section>`, in which every figure is a link
/// to `why` of its name. The page round it needs [`svg::style`] and
/// [`html::style`].
///
/// # Errors
/// A [`Problem`] when the plan has no sheet of that key.
pub fn sheet_html(plan: &Plan, key: &str, why: &dyn Fn(&str) -> String) -> Outcome<String> {
    let all = pages::all(plan);
    match all.iter().find(|which| which.key(plan) == key) {
        Some(which) => Ok(html::section(&pages::sheet(plan, *which, Medium::Screen), Links::To(why))),
        None => {
            let keys: Vec<String> = all.iter().map(|which| which.key(plan)).collect();
            Err(vec![
                Problem::new(format!("there is no sheet `{key}`"))
                    .mend(format!("the sheets of this plan are {}", keys.join(", "))),
            ])
        }
    }
}

/// The whole plan as one document that prints on A4 and needs no other file.
///
/// # Errors
/// None at present: whatever finds no room on a picture stands under it.
pub fn print_html(plan: &Plan) -> Outcome<String> {
    Ok(html::document(&plan.part, &sheets(plan, Medium::Screen)))
}

/// The whole plan as a PDF document of A4 pages.
///
/// # Errors
/// A [`Problem`] when the writer refuses the document.
pub fn print_pdf(plan: &Plan) -> Outcome<Vec<u8>> {
    pages_pdf(plan, &page_inks(plan))
}

/// The pages of a plan, as [`page_inks`] gives them, as a PDF document.
///
/// # Errors
/// A [`Problem`] when the writer refuses the document.
pub fn pages_pdf(plan: &Plan, pages: &[Ink]) -> Outcome<Vec<u8>> {
    pdf::write(&plan.part, pages).map_err(|problem| vec![problem])
}

/// The make list of a project as one document that prints on A4 and needs no other file.
pub fn make_list_html(list: &MakeList, project: &str) -> String {
    let title = format!("{project}: {}", pages::make_list::TITLE);
    html::document(&title, &make_list_sheets(list, project))
}

/// The make list of a project as a PDF document of A4 pages.
///
/// # Errors
/// A [`Problem`] when the writer refuses the document.
pub fn make_list_pdf(list: &MakeList, project: &str) -> Outcome<Vec<u8>> {
    let title = format!("{project}: {}", pages::make_list::TITLE);
    pdf::write(&title, &make_list_inks(list, project)).map_err(|problem| vec![problem])
}

/// Every printed page of a make list as an SVG file: the name of the file without its
/// ending, and what it holds.
pub fn make_list_svgs(list: &MakeList, project: &str) -> Vec<(String, String)> {
    page_svgs(&make_list_inks(list, project))
}

fn make_list_inks(list: &MakeList, project: &str) -> Vec<Ink> {
    paginate(&make_list_sheets(list, project))
}

/// The list, then the aids that the project itself says what they are made to.
fn make_list_sheets(list: &MakeList, project: &str) -> Vec<Sheet> {
    let aids = list.aids.iter().map(|aid| pages::aid::of_project(aid, project));
    std::iter::once(pages::make_list::sheet(list, project)).chain(aids).collect()
}

/// A cutting list as one document that prints on A4 and needs no other file.
pub fn cutting_list_html(list: &CuttingList, project: &str) -> String {
    let title = format!("{project}: {}", pages::cutting::TITLE);
    html::document(&title, &[pages::cutting::sheet(list, project)])
}

/// A cutting list as a PDF document of A4 pages.
///
/// # Errors
/// A [`Problem`] when the writer refuses the document.
pub fn cutting_list_pdf(list: &CuttingList, project: &str) -> Outcome<Vec<u8>> {
    let title = format!("{project}: {}", pages::cutting::TITLE);
    let inks = paginate(&[pages::cutting::sheet(list, project)]);
    pdf::write(&title, &inks).map_err(|problem| vec![problem])
}

/// Every printed page of a cutting list as an SVG file: the name of the file without its
/// ending, and what it holds.
pub fn cutting_list_svgs(list: &CuttingList, project: &str) -> Vec<(String, String)> {
    page_svgs(&paginate(&[pages::cutting::sheet(list, project)]))
}

/// Every page, as [`page_inks`] gives them, as an SVG file: the name of the file without
/// its ending, and what it holds.
pub fn page_svgs(pages: &[Ink]) -> Vec<(String, String)> {
    let written =
        |(n, ink): (usize, &Ink)| (format!("page-{:02}", n + 1), svg::write(ink, PAGE, Dress::Alone));
    pages.iter().enumerate().map(written).collect()
}

fn sheets(plan: &Plan, medium: Medium) -> Vec<Sheet> {
    abreast(&pages::all(plan), |&which| pages::sheet(plan, which, medium))
}

/// Every printed page as marks on paper: what [`pages_pdf`] and [`page_svgs`] write. To
/// lay a plan out is what takes long, so it is done once for both.
pub fn page_inks(plan: &Plan) -> Vec<Ink> {
    let all = pages::all(plan);
    let smaller = pages::SmallerPictures::of(plan, &all);
    paginate_close(&sheets(plan, Medium::Paper), &|n, level| smaller.at(n, level))
}
