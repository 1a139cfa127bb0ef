//! Squaring and scaling the paper from a few typed dimensions.
//!
//! Each known dimension says how far apart two places of the image are on the
//! part. Dimensions across and up together square the sheet (an affine map);
//! two of each may also take out the keystone of a photograph (a projective
//! map), but only where no affine map will do; a single direction scales and
//! turns it. The map is the least-squares one, by Gauss and Newton's method
//! with exact derivatives.

use super::judge::PAPER_STRETCH;
use crate::drawing::{Known, Pixel, Way};
use crate::geometry::Point;
use crate::problem::Problem;

/// The paper laid in millimetres of the part: x to the right, y up the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// a, b, d, e, g and h of X = (a u + b v)/(1 + g u + h v), Y = (d u + e v)/(…).
    map: [f64; 6],
    /// The pixel that lies at the middle, and the pixels to one of u and v.
    middle: Pixel,
    unit_px: f64,
    /// Added to every place: what brings the datum to nought.
    pub(super) shift: Point,
    /// How the known dimensions together made it.
    pub form: Form,
    /// By how much the worst of the known dimensions is missed, in millimetres.
    pub worst_mm: f64,
    /// How much more the sheet is stretched one way than the other: 0.01 is one in a hundred.
    pub stretch: f64,
    /// Millimetres of the part to a pixel of the image, at its middle.
    pub mm_per_px: f64,
    /// Which of the known dimensions were left out, because they disagree with the rest.
    pub left_out: Vec<usize>,
}

/// What the known dimensions can settle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Turned and scaled.
    Turned,
    /// Squared as well: scaled apart across and up.
    Squared,
    /// Keystone taken out too.
    Keystone,
}

/// How far a place pointed to on the image may be from the one meant, in pixels.
pub(super) const POINTING_PX: f64 = 3.0;
/// A scanner or a camera held with care stretches no more than this one way.
/// Common practice.
const MOST_STRETCH: f64 = 0.15;
/// A photograph from nearly overhead changes scale from side to side no more
/// than this. Common practice.
const MOST_KEYSTONE: f64 = 0.3;

/// Lays the paper by its known dimensions.
///
/// With the map come the known dimensions that disagree: each as a problem that
/// says what the rest make of it. Where the one at fault is plain it is left out.
///
/// # Errors
///
/// Problems when nothing says how the sheet lies, or when the known dimensions
/// disagree and none of them can be told to be the one at fault.
pub fn fit(known: &[Known]) -> Result<(Laid, Vec<Problem>), Vec<Problem>> {
    let all: Vec<usize> = (0..known.len()).collect();
    let Some(laid) = lay(known, &all) else {
        return Err(vec![
            Problem::new("nothing says yet how the paper lies")
                .why("a dimension that runs across or up the sheet scales and turns it; one of each squares it")
                .mend("point to the two ends of a dimension on the scan and type it, once across and once up"),
        ]);
    };
    if sound(&laid, known, &all) {
        return Ok((laid, Vec::new()));
    }
    // The one at fault is the one without which the rest agree.
    let mut suspects: Vec<(usize, Laid)> = Vec::new();
    for out in 0..known.len() {
        let rest: Vec<usize> = all.iter().copied().filter(|&i| i != out).collect();
        if let Some(mut laid) = lay(known, &rest).filter(|laid| sound(laid, known, &rest)) {
            laid.left_out = vec![out];
            suspects.push((out, laid));
        }
    }
    // Square paper is likelier than stretched paper: the squarest is taken where it
    // is much squarer than the next.
    suspects.sort_by(|a, b| a.1.stretch.total_cmp(&b.1.stretch));
    let plain = match suspects.as_slice() {
        [_] => true,
        [(_, first), (_, second), ..] => {
            first.form != Form::Turned && second.stretch > 3.0 * first.stretch.max(2.0 * PAPER_STRETCH)
        }
        [] => false,
    };
    let doubt = |out: usize, laid: &Laid| {
        let one = &known[out];
        let seen_mm = laid.length_mm(one);
        Problem::new(format!("`{}` disagrees with the paper", one.written.text))
            .at(format!("line {}, `known`", one.line))
            .why(format!(
                "by the other known dimensions it is {seen_mm:.1} mm there, and as typed {:.1} mm",
                one.written.length.as_mm()
            ))
            .mend("check it against the drawing for a slip, and that its two ends are where it ends")
            .concerns("scan")
    };
    if plain {
        let (out, laid) = suspects.swap_remove(0);
        let problem = doubt(out, &laid);
        return Ok((laid, vec![problem]));
    }
    if suspects.is_empty() {
        let list = known.iter().map(|k| format!("`{}`", k.written.text)).collect::<Vec<_>>().join(", ");
        return Err(vec![
            Problem::new(format!("the known dimensions {list} cannot all be true of one sheet"))
                .why(format!(
                    "laid by all of them, one is missed by {:.1} mm and the paper is stretched by {:.0} % one way",
                    laid.worst_mm,
                    laid.stretch * 100.0
                ))
                .mend("check each against the drawing for a slip, and that its ends are where it ends; another dimension would tell which is wrong")
                .concerns("scan"),
        ]);
    }
    Err(suspects.iter().map(|(out, laid)| doubt(*out, laid)).collect())
}

impl Laid {
    /// The place on the part that a pixel shows.
    pub fn place(&self, pixel: Pixel) -> Point {
        let (x_mm, y_mm) = apply(&self.map, self.unit(pixel));
        Point::new(x_mm + self.shift.x_mm, y_mm + self.shift.y_mm)
    }

    /// The pixel that shows a place on the part.
    pub fn pixel(&self, place: Point) -> Pixel {
        let [a, b, d, e, g, h] = self.map;
        let (x, y) = (place.x_mm - self.shift.x_mm, place.y_mm - self.shift.y_mm);
        // X (1 + g u + h v) = a u + b v, and likewise Y.
        let (p, q, r, s) = (a - x * g, b - x * h, d - y * g, e - y * h);
        let determinant = p * s - q * r;
        let (u, v) = ((s * x - q * y) / determinant, (p * y - r * x) / determinant);
        Pixel { x_px: self.middle.x_px + u * self.unit_px, y_px: self.middle.y_px - v * self.unit_px }
    }

    /// Moves the paper so that what was found lies, on the whole, where the
    /// drawing places it. The middle of the differences is taken, not their mean:
    /// one slip of the pen moves nothing.
    #[must_use]
    pub fn onto(mut self, found: &[(Pixel, Point)]) -> Self {
        self.shift = Point::ORIGIN;
        let off = |axis: fn(Point) -> f64| {
            let mut each: Vec<f64> =
                found.iter().map(|&(pixel, place)| axis(place) - axis(self.place(pixel))).collect();
            each.sort_by(f64::total_cmp);
            match each.len() {
                0 => 0.0,
                n if n % 2 == 1 => each[n / 2],
                n => (each[n / 2 - 1] + each[n / 2]) / 2.0,
            }
        };
        self.shift = Point::new(off(|p| p.x_mm), off(|p| p.y_mm));
        self
    }

    /// The map as numbers in a row, for handing it to whoever squares the image.
    pub fn numbers(&self) -> [f64; 12] {
        let ([a, b, d, e, g, h], middle, shift) = (self.map, self.middle, self.shift);
        let unit_px = self.unit_px;
        [a, b, d, e, g, h, middle.x_px, middle.y_px, unit_px, shift.x_mm, shift.y_mm, self.mm_per_px]
    }

    /// The map of such numbers; none where they can be no map.
    pub fn of_numbers(numbers: [f64; 12]) -> Option<Self> {
        let [a, b, d, e, g, h, x_px, y_px, unit_px, x_mm, y_mm, mm_per_px] = numbers;
        let sound = numbers.iter().all(|n| n.is_finite() && n.abs() < 1e9)
            && unit_px > 0.0
            && mm_per_px > 0.0
            && (a * e - b * d).abs() > 0.0;
        sound.then_some(Self {
            map: [a, b, d, e, g, h],
            middle: Pixel { x_px, y_px },
            unit_px,
            shift: Point::new(x_mm, y_mm),
            form: Form::Keystone,
            worst_mm: 0.0,
            stretch: 0.0,
            mm_per_px,
            left_out: Vec::new(),
        })
    }

    /// How long a known dimension is by this map.
    fn length_mm(&self, known: &Known) -> f64 {
        let (from, to) = (self.place(known.from), self.place(known.to));
        match known.way {
            Way::Across => to.x_mm - from.x_mm,
            Way::Up => to.y_mm - from.y_mm,
            Way::Straight => from.distance_mm(to),
        }
    }

    fn unit(&self, pixel: Pixel) -> (f64, f64) {
        unit(pixel, self.middle, self.unit_px)
    }
}

/// Pixels as numbers about one, y turned to run up the sheet.
fn unit(pixel: Pixel, middle: Pixel, unit_px: f64) -> (f64, f64) {
    ((pixel.x_px - middle.x_px) / unit_px, -(pixel.y_px - middle.y_px) / unit_px)
}

fn apply([a, b, d, e, g, h]: &[f64; 6], (u, v): (f64, f64)) -> (f64, f64) {
    let w = 1.0 + g * u + h * v;
    ((a * u + b * v) / w, (d * u + e * v) / w)
}

/// Whether the map misses none of its dimensions by more than paper and pointing
/// explain, and is one that a scanner or a camera makes.
fn sound(laid: &Laid, known: &[Known], used: &[usize]) -> bool {
    let missed = used.iter().any(|&i| {
        let length_mm = known[i].written.length.as_mm();
        let allowed_mm = PAPER_STRETCH * length_mm + 2.0 * POINTING_PX * laid.mm_per_px;
        (laid.length_mm(&known[i]) - length_mm).abs() > allowed_mm
            || askew_mm(laid, &known[i]) > allowed_mm + 0.02 * length_mm
    });
    let keystone = laid.map[4].hypot(laid.map[5]);
    !missed && laid.stretch <= MOST_STRETCH && keystone <= MOST_KEYSTONE
}

/// How far a dimension across or up is from running so.
fn askew_mm(laid: &Laid, known: &Known) -> f64 {
    let (from, to) = (laid.place(known.from), laid.place(known.to));
    match known.way {
        Way::Across => (to.y_mm - from.y_mm).abs(),
        Way::Up => (to.x_mm - from.x_mm).abs(),
        Way::Straight => 0.0,
    }
}

/// The map by some of the known dimensions: the plainest form that they agree in.
fn lay(known: &[Known], used: &[usize]) -> Option<Laid> {
    let count = |way| used.iter().filter(|&&i| known[i].way == way).count();
    let (across, up) = (count(Way::Across), count(Way::Up));
    let start = used.iter().copied().find(|&i| known[i].way != Way::Straight)?;
    let ends: Vec<Pixel> = used.iter().flat_map(|&i| [known[i].from, known[i].to]).collect();
    let bound = |axis: fn(&Pixel) -> f64| {
        let all = || ends.iter().map(axis);
        (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max))
    };
    let ((left, right), (top, bottom)) = (bound(|p| p.x_px), bound(|p| p.y_px));
    let middle = Pixel { x_px: (left + right) / 2.0, y_px: (top + bottom) / 2.0 };
    let unit_px = ((right - left).max(bottom - top) / 2.0).max(1.0);
    let forms: &[Form] = match (across, up) {
        (0, _) | (_, 0) => &[Form::Turned],
        (2.., 2..) => &[Form::Squared, Form::Keystone],
        _ => &[Form::Squared],
    };
    let mut best: Option<Laid> = None;
    for &form in forms {
        let view = View { known, used, middle, unit_px };
        let Some(map) = view.solve(form, view.turned(start)) else { continue };
        let laid = view.laid(form, map);
        let is_sound = sound(&laid, known, used);
        if is_sound || best.is_none() {
            best = Some(laid);
        }
        if is_sound {
            break;
        }
    }
    best
}

/// The known dimensions in numbers about one.
struct View<'a> {
    known: &'a [Known],
    used: &'a [usize],
    middle: Pixel,
    unit_px: f64,
}

impl View<'_> {
    /// The map that one dimension makes alone: turned and scaled.
    fn turned(&self, one: usize) -> [f64; 6] {
        let known = &self.known[one];
        let (from, to) = (self.at(known.from), self.at(known.to));
        let (du, dv) = (to.0 - from.0, to.1 - from.1);
        let length_mm = known.written.length.as_mm();
        let (x, y) = if known.way == Way::Up { (0.0, length_mm) } else { (length_mm, 0.0) };
        // (alpha + i beta)(du + i dv) = x + i y
        let square = du * du + dv * dv;
        let (alpha, beta) = ((x * du + y * dv) / square, (y * du - x * dv) / square);
        [alpha, -beta, beta, alpha, 0.0, 0.0]
    }

    fn at(&self, pixel: Pixel) -> (f64, f64) {
        unit(pixel, self.middle, self.unit_px)
    }

    /// Gauss and Newton's method from a start.
    fn solve(&self, form: Form, start: [f64; 6]) -> Option<[f64; 6]> {
        // What each free number of the form does to the six of the map.
        let moves: &[[f64; 6]] = match form {
            Form::Turned => &[[1.0, 0.0, 0.0, 1.0, 0.0, 0.0], [0.0, -1.0, 1.0, 0.0, 0.0, 0.0]],
            Form::Squared => &EACH[..4],
            Form::Keystone => &EACH,
        };
        let mut map = start;
        for _ in 0..40 {
            let mut normal = vec![vec![0.0; moves.len() + 1]; moves.len()];
            for (miss, slope) in self.misses(&map) {
                let by: Vec<f64> =
                    moves.iter().map(|m| m.iter().zip(&slope).map(|(a, b)| a * b).sum()).collect();
                for (row, &left) in normal.iter_mut().zip(&by) {
                    for (cell, &right) in row.iter_mut().zip(&by) {
                        *cell += left * right;
                    }
                    *row.last_mut().expect("each row ends with its right side") -= left * miss;
                }
            }
            let step = solve_square(normal)?;
            for (number, by) in moves.iter().zip(&step) {
                for (into, share) in map.iter_mut().zip(number) {
                    *into += share * by;
                }
            }
            if step.iter().all(|by| by.abs() < 1e-12 * map[0].hypot(map[1])) {
                break;
            }
        }
        map.iter().all(|n| n.is_finite()).then_some(map)
    }

    /// What each dimension is missed by, and how that changes with the map.
    fn misses(&self, map: &[f64; 6]) -> Vec<(f64, [f64; 6])> {
        let place = |pixel: Pixel| {
            let (u, v) = self.at(pixel);
            let w = 1.0 + map[4] * u + map[5] * v;
            let (x, y) = apply(map, (u, v));
            let x_slope = [u / w, v / w, 0.0, 0.0, -x * u / w, -x * v / w];
            let y_slope = [0.0, 0.0, u / w, v / w, -y * u / w, -y * v / w];
            ((x, x_slope), (y, y_slope))
        };
        let mut misses = Vec::new();
        for &i in self.used {
            let known = &self.known[i];
            let ((x0, xs0), (y0, ys0)) = place(known.from);
            let ((x1, xs1), (y1, ys1)) = place(known.to);
            let (dx, dy) = (x1 - x0, y1 - y0);
            let less = |a: [f64; 6], b: [f64; 6]| std::array::from_fn(|k| a[k] - b[k]);
            let (sx, sy): ([f64; 6], [f64; 6]) = (less(xs1, xs0), less(ys1, ys0));
            let length_mm = known.written.length.as_mm();
            match known.way {
                Way::Across => misses.extend([(dx - length_mm, sx), (dy, sy)]),
                Way::Up => misses.extend([(dx, sx), (dy - length_mm, sy)]),
                Way::Straight => {
                    let far = dx.hypot(dy).max(1e-9);
                    let slope = std::array::from_fn(|k| (dx * sx[k] + dy * sy[k]) / far);
                    misses.push((far - length_mm, slope));
                }
            }
        }
        misses
    }

    fn laid(&self, form: Form, map: [f64; 6]) -> Laid {
        let [a, b, d, e, ..] = map;
        // The greatest and least stretch of the map at its middle: its singular values.
        let (sum, product) = (a * a + b * b + d * d + e * e, (a * e - b * d).abs());
        let apart = (sum * sum / 4.0 - product * product).max(0.0).sqrt();
        let (most, least) = ((sum / 2.0 + apart).sqrt(), (sum / 2.0 - apart).max(0.0).sqrt());
        let mut laid = Laid {
            map,
            middle: self.middle,
            unit_px: self.unit_px,
            shift: Point::ORIGIN,
            form,
            worst_mm: 0.0,
            stretch: if least > 0.0 { most / least - 1.0 } else { f64::INFINITY },
            mm_per_px: product.sqrt() / self.unit_px,
            left_out: Vec::new(),
        };
        let missed =
            |&i: &usize| (laid.length_mm(&self.known[i]) - self.known[i].written.length.as_mm()).abs();
        laid.worst_mm = self.used.iter().map(missed).fold(0.0, f64::max);
        laid
    }
}

const EACH: [[f64; 6]; 6] = {
    let mut each = [[0.0; 6]; 6];
    let mut k = 0;
    while k < 6 {
        each[k][k] = 1.0;
        k += 1;
    }
    each
};

/// Solves a small square system, each row ended by its right side; none where it
/// does not settle every number.
fn solve_square(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let size = rows.len();
    for column in 0..size {
        let pivot =
            (column..size).max_by(|&a, &b| rows[a][column].abs().total_cmp(&rows[b][column].abs()))?;
        rows.swap(column, pivot);
        let scale = rows[column].iter().take(size).fold(0.0_f64, |most, n| most.max(n.abs()));
        if rows[column][column].abs() <= 1e-12 * scale || scale == 0.0 {
            return None;
        }
        let own = rows[column].clone();
        for (index, row) in rows.iter_mut().enumerate() {
            if index != column {
                let share = row[column] / own[column];
                row.iter_mut().zip(&own).for_each(|(cell, n)| *cell -= share * n);
            }
        }
    }
    Some((0..size).map(|i| rows[i][size] / rows[i][i]).collect())
}

#[cfg(test)]
mod tests;
