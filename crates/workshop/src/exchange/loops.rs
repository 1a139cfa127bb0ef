//! Closed loops: made sound, sorted into the outline and what lies in it.

use std::f64::consts::TAU;

use super::fit::through;
use super::join::Edge;
use super::report::Spots;
use crate::geometry::{Bounds, Line, Outline, Point, Segment, crossings};
use crate::problem::{Outcome, Problem};

/// A closed loop, anticlockwise.
#[derive(Clone, Debug)]
pub(super) struct Loop {
    pub edges: Vec<Edge>,
    pub outline: Outline,
    /// How far the lines and arcs lie from the curves they stand for at most,
    /// beyond what each of them does by itself.
    pub off_mm: f64,
}

/// One outline and the loops within it.
pub(super) struct Chosen {
    pub outer: Loop,
    pub inner: Vec<Loop>,
    /// Loops within loops: islands in holes, which are no part of this part.
    pub islands: Vec<Loop>,
}

/// Two lines are one, and two arcs of one circle, when joining them moves nothing
/// by more than this, in millimetres.
const IN_LINE_MM: f64 = 1e-5;
/// The same for arcs that stand for curves.
const IN_CURVE_MM: f64 = 1e-4;
/// The most loops of one file.
const MOST_LOOPS: usize = 2000;
/// The most lines and arcs of one loop.
const MOST_EDGES: usize = 1000;

/// Makes a loop sound: joins what is one line or one arc, runs it anticlockwise.
///
/// A loop of curves that lies within `curves_mm` of a circle is that circle.
pub(super) fn sound(edges: Vec<Edge>, curves_mm: f64, spots: Spots) -> Result<Loop, Problem> {
    let (edges, off_mm) = match ring(&edges, curves_mm) {
        Some((circle, off_mm)) => (vec![circle], off_mm),
        None => (joined_in_line(edges), 0.0),
    };
    let at = edges[0].start;
    if edges.len() > MOST_EDGES {
        return Err(Problem::new(format!("one loop has {} lines and arcs", edges.len()))
            .at(format!("the loop through {}", spots.spot(at)))
            .why(format!("{MOST_EDGES} is the most that is read; nobody would cut so many"))
            .mend(
                "allow curves to lie farther off with `--curve`, or save the outline as fewer lines and arcs",
            ));
    }
    let segments: Vec<Segment> = edges.iter().map(Edge::closed).collect();
    let outline =
        Outline::new(segments).map_err(|fault| fault.at(format!("the loop through {}", spots.spot(at))))?;
    if outline.area_mm2() > 0.0 {
        return Ok(Loop { edges, outline, off_mm });
    }
    let turned = edges
        .iter()
        .rev()
        .map(|e| Edge { drawn: e.drawn.reversed(), start: e.end, end: e.start, ..*e })
        .collect();
    Ok(Loop { edges: turned, outline: outline.reversed(), off_mm })
}

/// Sorts loops into one outline, what lies in it and what lies in that; `asked` is
/// which outer loop is meant, counted from one, the largest first.
pub(super) fn choose(mut loops: Vec<Loop>, asked: Option<usize>, spots: Spots) -> Outcome<Chosen> {
    if loops.len() > MOST_LOOPS {
        return Err(vec![
            Problem::new(format!("the file draws {} closed loops", loops.len()))
                .why(format!("{MOST_LOOPS} is the most that is read; no part has so many holes"))
                .mend("save the part alone, or choose its layers with `--layer`"),
        ]);
    }
    loops.sort_by(|a, b| b.outline.area_mm2().total_cmp(&a.outline.area_mm2()));
    let bounds: Vec<Bounds> = loops.iter().map(|l| l.outline.bounds()).collect();
    crossed(&loops, &bounds, spots)?;
    let holds = |a: usize, b: usize| {
        let within = |p: Point| {
            p.x_mm >= bounds[a].least.x_mm
                && p.x_mm <= bounds[a].most.x_mm
                && p.y_mm >= bounds[a].least.y_mm
                && p.y_mm <= bounds[a].most.y_mm
        };
        within(bounds[b].least)
            && within(bounds[b].most)
            && loops[a].outline.contains(loops[b].outline.segments()[0].along(0.5))
    };
    // The largest come first, so what holds a loop stands before it.
    let around: Vec<Vec<usize>> =
        (0..loops.len()).map(|b| (0..b).filter(|&a| holds(a, b)).collect()).collect();
    let outer: Vec<usize> = (0..loops.len()).filter(|&i| around[i].is_empty()).collect();
    let place = match (outer.as_slice(), asked) {
        ([], _) => {
            return Err(vec![
                Problem::new("the file draws nothing closed")
                    .why("an outline is a closed loop of lines, arcs and curves, or a circle")
                    .mend("choose the layers that hold it with `--layer`, or save the file with it"),
            ]);
        }
        ([only], None | Some(1)) => *only,
        (several, Some(n)) if (1..=several.len()).contains(&n) => several[n - 1],
        (several, asked) => return Err(vec![which(several, &bounds, asked, spots)]),
    };
    let (mut inner, mut islands) = (Vec::new(), Vec::new());
    let mut chosen = None;
    for (index, found) in loops.into_iter().enumerate() {
        match around[index].as_slice() {
            [] if index == place => chosen = Some(found),
            [only] if *only == place => inner.push(found),
            [first, ..] if *first == place => islands.push(found),
            _ => {}
        }
    }
    let outer = chosen.expect("the place is that of a loop");
    Ok(Chosen { outer, inner, islands })
}

/// Several outlines stand side by side: the person says which is meant.
fn which(outer: &[usize], bounds: &[Bounds], asked: Option<usize>, spots: Spots) -> Problem {
    const LISTED: usize = 12;
    let one = |(n, &index): (usize, &usize)| {
        let b = bounds[index];
        format!("{}: {:.2} by {:.2} mm from {}", n + 1, b.width_mm(), b.height_mm(), spots.spot(b.least))
    };
    let list: Vec<String> = outer.iter().enumerate().take(LISTED).map(one).collect();
    let more =
        if outer.len() > LISTED { format!("; and {} smaller", outer.len() - LISTED) } else { String::new() };
    let what = match asked {
        Some(n) => format!("there is no outline {n}; the file has {}", outer.len()),
        None => format!("the file has {} outlines side by side", outer.len()),
    };
    Problem::new(what).why(format!("{}{more}", list.join("; "))).mend(
        "say which is the part with `--outline 1`, or leave out the layers that are not with `--without`",
    )
}

/// A problem for the first few pairs of loops that cross.
fn crossed(loops: &[Loop], bounds: &[Bounds], spots: Spots) -> Outcome<()> {
    const TOLD: usize = 10;
    let pieces: Vec<Vec<(Segment, Bounds)>> = loops
        .iter()
        .map(|found| found.outline.segments().iter().map(|piece| (*piece, piece.bounds())).collect())
        .collect();
    let mut faults = Vec::new();
    for a in 0..loops.len() {
        for b in a + 1..loops.len() {
            if !bounds[a].meets(bounds[b]) || faults.len() >= TOLD {
                continue;
            }
            let beside = |one: &(Segment, Bounds)| one.1.meets(bounds[b]);
            let met = pieces[a].iter().filter(|one| beside(one)).find_map(|(one, around)| {
                let mut others = pieces[b].iter().filter(|(_, other)| around.meets(*other));
                others.find_map(|(other, _)| crossings(one, other).first().copied())
            });
            if let Some(at) = met {
                faults.push(
                    Problem::new("two closed loops cross or touch")
                        .at(spots.spot(at))
                        .why("what is cut out must lie within the outline, and nothing cut out may meet another")
                        .mend("correct the file, or leave out the layer that does not belong with `--without`"),
                );
            }
        }
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// Joins neighbours that are one straight line or lie on one circle.
fn joined_in_line(mut edges: Vec<Edge>) -> Vec<Edge> {
    let mut place = 0;
    let mut unjoined = 0;
    while edges.len() > 1 && unjoined <= edges.len() {
        place %= edges.len();
        let next = (place + 1) % edges.len();
        match one(&edges[place], &edges[next], edges.len() == 2) {
            Some(made) => {
                edges[place] = made;
                edges.remove(next);
                if next < place {
                    place -= 1;
                }
                unjoined = 0;
            }
            None => {
                place += 1;
                unjoined += 1;
            }
        }
    }
    edges
}

/// Two edges as one; `both` when they are the whole loop.
fn one(a: &Edge, b: &Edge, both: bool) -> Option<Edge> {
    let fitted = a.fitted && b.fitted;
    let moved_mm = if fitted { IN_CURVE_MM } else { IN_LINE_MM };
    let drawn = match (&a.drawn, &b.drawn) {
        (Segment::Line(_), Segment::Line(_)) => {
            let line = Line::new(a.start, b.end);
            let ahead = (a.end - a.start).dot(b.end - b.start) > 0.0;
            if both || !ahead || line.nearest(a.end).distance_mm(a.end) > IN_LINE_MM {
                return None;
            }
            Segment::Line(line)
        }
        (Segment::Arc(first), Segment::Arc(second)) => {
            let same = first.centre.distance_mm(second.centre) <= moved_mm
                && (first.radius_mm - second.radius_mm).abs() <= moved_mm;
            if !same || first.sweep_rad * second.sweep_rad < 0.0 {
                return None;
            }
            let sweep = first.sweep_rad + second.sweep_rad;
            let whole = both && sweep.abs() >= TAU - 1e-3;
            let sweep = if whole { sweep.signum() * TAU } else { sweep };
            if !whole && sweep.abs() >= TAU - 1e-6 {
                return None;
            }
            let longer = if first.sweep_rad.abs() >= second.sweep_rad.abs() { first } else { second };
            Segment::arc(longer.centre, longer.radius_mm, first.start_rad, sweep)
        }
        _ => return None,
    };
    if !follows(&drawn, &[a, b], 2.0 * moved_mm) {
        return None;
    }
    let whole = matches!(drawn, Segment::Arc(arc) if arc.sweep_rad.abs() >= TAU - 1e-9);
    let (start, end) = if whole { (drawn.start(), drawn.start()) } else { (a.start, b.end) };
    Some(Edge { drawn, start, end, layer: a.layer, fitted })
}

/// The circle that a loop of curves is, and how far they lie from it.
fn ring(edges: &[Edge], within_mm: f64) -> Option<(Edge, f64)> {
    if edges.len() < 2 || !edges.iter().all(|edge| edge.fitted) {
        return None;
    }
    let along = |edge: &Edge| (0..8).map(|i| edge.drawn.along(f64::from(i) / 8.0)).collect::<Vec<_>>();
    let places: Vec<Point> = edges.iter().flat_map(along).collect();
    let count = places.len();
    let Segment::Arc(rough) = through(places[0], places[count / 3], places[2 * count / 3])? else {
        return None;
    };
    // Of all circles round this centre, the one half-way between nearest and farthest.
    let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
    for place in places {
        let radius = rough.centre.distance_mm(place);
        (least, most) = (least.min(radius), most.max(radius));
    }
    let off_mm = (most - least) / 2.0;
    let circle = Segment::arc(rough.centre, f64::midpoint(least, most), 0.0, TAU);
    (off_mm <= within_mm).then(|| {
        let edge = Edge { start: circle.start(), end: circle.start(), ..edges[0] };
        (Edge { drawn: circle, ..edge }, off_mm)
    })
}

/// True when every part of some edges lies within a distance of one segment.
fn follows(made: &Segment, edges: &[&Edge], within_mm: f64) -> bool {
    edges.iter().all(|edge| {
        (0..=8).all(|i| {
            let at = edge.drawn.along(f64::from(i) / 8.0);
            made.nearest(at).distance_mm(at) <= within_mm
        })
    })
}
