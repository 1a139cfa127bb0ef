//! How large an SVG file is: `width`, `height` and `viewBox`.

use roxmltree::Node;
use svgtypes::{Align, AspectRatio, Length, LengthUnit, ViewBox};

use crate::exchange::affine::Affine;
use crate::exchange::drawn::Stated;
use crate::exchange::unit::FileUnit;
use crate::geometry::Point;
use crate::problem::Problem;

/// The unit of a sheet, and the way from its own axes to ours, Y up.
pub(super) struct Sheet {
    pub stated: Stated,
    pub to_sheet: Affine,
}

/// Two scales that differ by less than this share are one, rounded.
const SAME_SCALE: f64 = 1e-3;

/// The size of the whole file.
///
/// Lengths come out in its own units. Where it is stretched, so that X and Y
/// have not the same scale, Y is brought to that of X.
pub(super) fn of_sheet(root: &Node<'_, '_>) -> Result<Sheet, Problem> {
    let place = |fault: Problem| super::place(root, fault);
    let view = view_box(root).map_err(place)?;
    let (width, height) = (length(root, "width").map_err(place)?, length(root, "height").map_err(place)?);
    let known = |read: Option<Length>| read.and_then(|l| Some((l.number, unit_of(l.unit)?)));
    let across = |read: Option<Length>, view: Option<f64>| {
        let (number, unit) = known(read)?;
        let each_mm = match view {
            Some(units) => number * unit.each_mm() / units,
            None => FileUnit::Pixel.each_mm(),
        };
        (each_mm > 0.0 && each_mm.is_finite()).then_some((each_mm, unit))
    };
    let x = across(width, view.map(|v| v.w));
    let y = across(height, view.map(|v| v.h));
    let stretched = matches!(aspect(root).map_err(place)?.align, Align::None);
    let (each_mm, tall, unit) = match (x, y) {
        (Some((x, unit)), Some((y, _))) if stretched => (x, y / x, unit),
        (Some((x, unit)), Some((y, _))) if (x - y).abs() <= SAME_SCALE * x.max(y) => (x, 1.0, unit),
        // What does not fill its frame is drawn as large as fits.
        (Some((x, unit)), Some((y, _))) => (x.min(y), 1.0, unit),
        (Some((one, unit)), None) | (None, Some((one, unit))) => (one, 1.0, unit),
        (None, None) => {
            let bare = width.or(height).is_some_and(|l| l.unit == LengthUnit::None);
            let why = if bare {
                "its width and height are bare numbers"
            } else {
                "it gives no width or height with a unit"
            };
            let to_sheet = Affine::scaled(1.0, -1.0);
            // A bare width counts in whatever unit is said to be meant.
            let bare_width = width.filter(|l| l.unit == LengthUnit::None && l.number > 0.0);
            let each = match (bare_width, view) {
                (Some(width), Some(view)) => width.number / view.w,
                _ => 1.0,
            };
            return Ok(Sheet { stated: Stated::Nothing { why: why.into(), each }, to_sheet });
        }
    };
    let how = match unit {
        FileUnit::Pixel => "its width (96 px to the inch)".to_owned(),
        _ => "its width".to_owned(),
    };
    Ok(Sheet { stated: Stated::Unit { unit, each_mm, how }, to_sheet: Affine::scaled(1.0, -tall) })
}

/// From the axes of an `svg` within another to those around it.
pub(super) fn of_nested(node: &Node<'_, '_>) -> Result<Affine, Problem> {
    let at = Point::new(user(node, "x")?, user(node, "y")?);
    let view = view_box(node)?;
    let (width, height) = (user(node, "width")?, user(node, "height")?);
    Ok(Affine::moved(at).after(fitted(node, view, width, height)?))
}

/// From the axes of a symbol to where it is used.
pub(super) fn of_symbol(symbol: &Node<'_, '_>, used: &Node<'_, '_>) -> Result<Affine, Problem> {
    let view = view_box(symbol)?;
    fitted(symbol, view, user(used, "width")?, user(used, "height")?)
}

/// A view brought into a frame, in the middle of it unless it says otherwise.
fn fitted(node: &Node<'_, '_>, view: Option<ViewBox>, width: f64, height: f64) -> Result<Affine, Problem> {
    let Some(view) = view else { return Ok(Affine::SAME) };
    let from_corner = Affine::moved(Point::new(-view.x, -view.y));
    if !(width > 0.0 && height > 0.0) {
        return Ok(from_corner);
    }
    let (x, y) = (width / view.w, height / view.h);
    let ratio = aspect(node)?;
    let (left, top) = match ratio.align {
        Align::None => return Ok(Affine::scaled(x, y).after(from_corner)),
        Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    };
    let scale = if ratio.slice { x.max(y) } else { x.min(y) };
    let spare = Point::new((width - view.w * scale) * left, (height - view.h * scale) * top);
    Ok(Affine::moved(spare).after(Affine::scaled(scale, scale)).after(from_corner))
}

/// A length of an attribute in the axes it stands in; nought where there is none.
pub(super) fn user(node: &Node<'_, '_>, name: &str) -> Result<f64, Problem> {
    let Some(read) = length(node, name)? else { return Ok(0.0) };
    match unit_of(read.unit) {
        Some(unit) => Ok(read.number * unit.each_mm() / FileUnit::Pixel.each_mm()),
        None if read.unit == LengthUnit::None => Ok(read.number),
        None => Err(Problem::new(format!("`{name}` is a share of something else"))
            .why("a size of a part is a length, not a percentage or a height of letters")
            .mend("save the file again with plain numbers")),
    }
}

fn length(node: &Node<'_, '_>, name: &str) -> Result<Option<Length>, Problem> {
    let Some(text) = node.attribute(name) else { return Ok(None) };
    match text.trim().parse::<Length>() {
        Ok(length) if length.number.is_finite() => Ok(Some(length)),
        _ if text.trim() == "auto" => Ok(None),
        _ => Err(unreadable(name, text)),
    }
}

fn view_box(node: &Node<'_, '_>) -> Result<Option<ViewBox>, Problem> {
    let Some(text) = node.attribute("viewBox") else { return Ok(None) };
    match text.parse::<ViewBox>() {
        Ok(view) if [view.x, view.y, view.w, view.h].iter().all(|n| n.is_finite()) => Ok(Some(view)),
        _ => Err(unreadable("viewBox", text)),
    }
}

fn aspect(node: &Node<'_, '_>) -> Result<AspectRatio, Problem> {
    let Some(text) = node.attribute("preserveAspectRatio") else { return Ok(AspectRatio::default()) };
    text.parse().map_err(|_| unreadable("preserveAspectRatio", text))
}

fn unreadable(name: &str, text: &str) -> Problem {
    Problem::new(format!("cannot read `{name}`, which is `{}`", super::clipped(text)))
        .mend("save the file again from the program that drew it")
}

/// The unit of a length that has a true one.
const fn unit_of(unit: LengthUnit) -> Option<FileUnit> {
    Some(match unit {
        LengthUnit::Px => FileUnit::Pixel,
        LengthUnit::In => FileUnit::Inch,
        LengthUnit::Cm => FileUnit::Cm,
        LengthUnit::Mm => FileUnit::Mm,
        LengthUnit::Pt => FileUnit::Point,
        LengthUnit::Pc => FileUnit::Pica,
        LengthUnit::None | LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => return None,
    })
}
