//! Threads, tapers and holes on a circle.

use super::{Asked, Rows, limits};
use crate::drawing::{Depth, DimensionId, FeatureId, Kind, SectionSize};
use crate::measure::{Angle, Length};
use crate::settings::measuring::over_pins::{between_holes, round_circle};
use crate::settings::measuring::over_rollers::{StandsOn, ball_top, over_rollers};
use crate::settings::measuring::over_wires::{over_wires, wires};
use crate::settings::measuring::reading::Limits;
use crate::settings::measuring::sine_bar::sine_bar;
use crate::settings::show::{both_angles, geometry, mm, practice};
use crate::settings::taper::{Cone, taper};
use crate::tables::instruments::Across;
use crate::tables::taper_pins;
use crate::why::Why;

pub(super) fn add(rows: &mut Rows) {
    let part = rows.job.part;
    for (id, feature) in part.features() {
        match &feature.kind {
            Kind::Section { size: SectionSize::Threaded(thread), .. } => {
                outside_thread(rows, &feature.name, thread.0);
            }
            Kind::Section { size: SectionSize::Taper { .. }, .. } => tapered(rows, id),
            Kind::Tapped { thread, .. } | Kind::ClampScrew { thread, .. } => {
                inside_thread(rows, &feature.name, thread.0);
            }
            Kind::PitchCircle { diameter, holes, .. } => {
                circle(rows, &feature.name, part.size(*diameter), *diameter, holes);
            }
            Kind::Row { spacing, holes, .. } => row(rows, &feature.name, *spacing, holes),
            _ => {}
        }
    }
}

/// What a thread of the drawing became, and why.
fn thread_asked(rows: &Rows, name: &str, at: usize) -> Asked {
    let choice = &rows.job.metric.threads[at];
    let major = choice.chosen.major;
    Asked {
        what: format!("{name}: thread {}", choice.chosen.designation),
        size: major,
        limits: Limits::about(major, Length::ZERO),
        why: choice.why.clone(),
        across: Across::Outside,
        how: String::new(),
    }
}

/// Over wires where they are owned and the micrometer takes them; else its nut.
fn outside_thread(rows: &mut Rows, name: &str, at: usize) {
    let thread = rows.job.metric.threads[at].chosen;
    let mut asked = thread_asked(rows, name, at);
    let [_, best, _] = wires(thread);
    let owned = rows.job.bench.gauges("thread wires").into_iter();
    let fit = owned.filter_map(|wire| over_wires(thread, wire).ok());
    let Some(found) = fit.min_by_key(|found| found.wire.gap(best)) else {
        let would = format!("three wires of about {} and a micrometer", mm(best));
        rows.by_tool(asked, "the nut, or what it screws into, goes on by hand without shake", &would);
        return;
    };
    // No more than basic, and less by no more than a twelfth of the pitch: about the 6g of
    // ISO 965, from memory.
    let less = thread.pitch / 12;
    asked.limits = Limits { least: found.over - less, greatest: found.over };
    asked.size = found.over;
    asked.how = format!("over three wires of {}", mm(found.wire));
    let why = found.figures().into_iter().next().map_or_else(|| Why::new(""), |figure| figure.why);
    let less = Why::assumed(format!("no larger than basic, and less by {} mm at most", less.decimals(3)));
    asked.why = why.because(less.source("about 6g of ISO 965, from memory")).because(asked.why.clone());
    rows.measured(asked);
}

fn inside_thread(rows: &mut Rows, name: &str, at: usize) {
    let asked = thread_asked(rows, name, at);
    let percent = rows.job.metric.threads[at].percent.as_ref();
    let percent = percent.map_or(String::new(), |percent| format!("; {percent} by its drill"));
    let would = format!("a plug gauge of {}", rows.job.metric.threads[at].chosen.designation);
    rows.by_tool(asked, &format!("its screw goes in by hand, square and without shake{percent}"), &would);
}

/// A hole for a taper pin: two balls where they are owned, else the pin itself.
pub(super) fn pin_hole(rows: &mut Rows, id: DimensionId, asked: Asked) {
    let part = rows.job.part;
    let found = part.features().find_map(|(feature, kind)| match kind.kind {
        Kind::TaperPin { pin, depth } if pin == id => Some((feature, depth)),
        _ => None,
    });
    let pin = taper_pins::of_nominal(asked.size);
    let else_by = "the pin itself: how far it stands out by thumb";
    let (Some((feature, depth)), Some(pin)) = (found, pin) else {
        rows.by_tool(asked, else_by, "two balls and a depth micrometer");
        return;
    };
    let long = match depth {
        Depth::To(deep) => part.size(deep),
        Depth::Through => rows.through(feature),
    };
    let ends = [pin.large_end(long), pin.small_end(long)];
    let [Ok(large), Ok(small)] = ends else {
        rows.by_tool(asked, else_by, "two balls and a depth micrometer");
        return;
    };
    let cone = Cone { large, small, length: long };
    let touching = |ball: Length| ball_top(cone, ball).ok();
    let balls: Vec<(Length, Length)> =
        rows.job.bench.gauges("balls").into_iter().filter_map(|ball| Some((ball, touching(ball)?))).collect();
    let (Some(&low), Some(&high)) = (balls.first(), balls.last().filter(|_| balls.len() > 1)) else {
        let would = format!("two balls between {} and {} and a depth micrometer", mm(small), mm(large));
        rows.by_tool(asked, else_by, &would);
        return;
    };
    let apart = low.1.gap(high.1);
    let why = geometry(format!(
        "balls of {} and {} lie {} and {} below the face, top to face, in a bore of {} to {} over {}",
        mm(low.0),
        mm(high.0),
        mm(-low.1),
        mm(-high.1),
        mm(large),
        mm(small),
        mm(long)
    ))
    .because(asked.why.clone());
    // A degree of freedom of a fiftieth: 0.02 mm across shows as a millimetre along.
    let fine = Length::microns(20);
    let spread = fine.scaled(cone.length.ratio_to(large - small)).half();
    let words = format!(
        "the tops {} apart, the upper {} below the face, each within {}",
        mm(apart),
        mm(-high.1),
        mm(spread)
    );
    let rule = practice(format!("{} across is as good as a reamer leaves it", mm(fine)));
    let how = format!(
        "a ball of {} dropped in, then one of {}, each top measured from the face",
        mm(low.0),
        mm(high.0)
    );
    let asked = Asked { how, ..asked };
    rows.push(&asked, "balls and a depth measure".into(), words, why.because(rule), true);
}

/// A taper on a sine bar, over rollers, or by an indicator along it.
fn tapered(rows: &mut Rows, id: FeatureId) {
    let part = rows.job.part;
    let Kind::Section { size: SectionSize::Taper { left, right }, .. } = part.feature(id).kind else {
        return;
    };
    let (a, b) = (part.size(left), part.size(right));
    let cone = Cone { large: a.max(b), small: a.min(b), length: part.section_length(id) };
    let Ok(set) = taper(cone) else { return };
    let name = &part.feature(id).name;
    // The diameters' own limits, over the length, let the taper be out by so much a side.
    let out = (limits::either_way(rows.job, left) + limits::either_way(rows.job, right)).half();
    let why = rows.job.why_dimension(left).because(rows.job.why_dimension(right));
    let asked = |how: String, size: Length, limits: Limits| Asked {
        what: format!("{name}: taper"),
        size,
        limits,
        why: why.clone(),
        across: Across::Outside,
        how,
    };
    let bench = rows.job.bench;
    let whole = set.half_angle + set.half_angle;
    if let Some(&bar) = bench.gauges("sine bar").first()
        && let Ok(stack) = sine_bar(bar, whole, &bench.gauges("gauge blocks"), Length::microns(10))
    {
        let figure = stack.figures().swap_remove(0);
        let how = format!("on the sine bar at {}, an indicator along the top", both_angles(whole));
        let words = format!("stack {}; indicator still within {}", figure.shown, mm(out));
        let row = asked(how, stack.set.value, Limits::about(stack.set.value, out));
        let why = figure.why.because(row.why.clone());
        rows.push(&row, format!("sine bar {}", mm(bar)), words, why, true);
        return;
    }
    let (rollers, blocks) = (bench.gauges("rollers"), bench.gauges("gauge blocks"));
    for (&roller, &block) in rollers.iter().zip(blocks.iter().rev().cycle()) {
        let Ok(over) = over_rollers(cone, StandsOn::Small, roller, block) else { continue };
        let how =
            format!("stood on its small end, over two rollers of {} on blocks of {}", mm(roller), mm(block));
        let mut row = asked(how, over.high, Limits::about(over.high, out * 2));
        if let Some(figure) = over.figures().into_iter().nth(1) {
            row.why = figure.why.because(row.why.clone());
        }
        rows.measured(row);
        return;
    }
    if let Some(protractor) = rows.protractor() {
        let steep = set.check > INDICATOR_TRAVEL || bench.plain_instrument("indicator").is_none();
        let found = protractor.reading(Angle::degrees(90) - set.half_angle, steepness(cone, out));
        if steep && found.told {
            let how =
                "the stock on a face turned square to the axis, the blade along the side, against the light";
            let row = asked(how.into(), Length::ZERO, Limits::about(Length::ZERO, Length::ZERO));
            rows.at_angle(&row, Angle::degrees(90) - set.half_angle, &found);
            return;
        }
    }
    let how = format!(
        "an indicator moved {} along the side by the carriage; then blue on it and turned in its mate, or in a true socket: marked all along",
        mm(set.check_over)
    );
    let share = set.check_over.ratio_to(cone.length);
    let limits = Limits::about(set.check, out.scaled(share));
    let row = asked(how, set.check, limits);
    let rule = geometry("half the difference of the diameters over that length").because(practice(
        "blue: a thin line along the cone, an eighth of a turn in the socket; rubbed at the large end the taper is too steep, at the small end too slow",
    ));
    rows.indicated(row, limits, rule);
}

/// As far as an indicator is followed up a taper: half of its usual travel, common practice.
const INDICATOR_TRAVEL: Length = Length::mm(5);

/// How far the side of a cone may lean either way where each side may be out by so much.
fn steepness(cone: Cone, out: Length) -> Angle {
    let rise_mm = (cone.large - cone.small).half().as_mm();
    let lean = |rise_mm: f64| rise_mm.atan2(cone.length.as_mm());
    let out_mm = out.as_mm();
    Angle::nearest_rad((lean(rise_mm + out_mm) - lean(rise_mm - out_mm)) / 2.0)
}

/// Holes on a circle: over the widest pair, and from neighbour to neighbour.
fn circle(rows: &mut Rows, name: &str, across: Length, id: crate::drawing::DimensionId, holes: &[FeatureId]) {
    let Some(plug) = plug(rows, holes) else { return };
    let Ok(count) = u32::try_from(holes.len()) else { return };
    let out = limits::either_way(rows.job, id);
    let why = rows.job.why_dimension(id);
    if let Ok(found) = round_circle(count, across, plug) {
        let how =
            if count % 2 == 0 { "over two opposite plugs" } else { "over the two plugs farthest apart" };
        over(rows, format!("{name}: circle"), (found.over - plug, found.over), out, (how, plug), why.clone());
    }
    let apart = across.as_mm() * (std::f64::consts::PI / f64::from(count.max(1))).sin();
    let apart = Length::nearest(apart);
    if count > 2
        && let Ok(found) = between_holes(apart, [plug, plug])
    {
        let what = format!("{name}: neighbours");
        over(rows, what, (apart, found.over), out, ("over two plugs side by side, all round", plug), why);
    }
}

fn row(rows: &mut Rows, name: &str, spacing: crate::drawing::DimensionId, holes: &[FeatureId]) {
    let Some(plug) = plug(rows, holes) else { return };
    let whole = rows.job.part.size(spacing) * (holes.len().max(1) as i64 - 1);
    let Ok(found) = between_holes(whole, [plug, plug]) else { return };
    let out = limits::either_way(rows.job, spacing);
    let why = rows.job.why_dimension(spacing);
    over(rows, format!("{name}: first to last"), (whole, found.over), out, ("over two plugs", plug), why);
}

/// The plug of the holes of a pattern.
fn plug(rows: &Rows, holes: &[FeatureId]) -> Option<Length> {
    match rows.job.part.feature(*holes.first()?).kind {
        Kind::Hole { diameter, .. } => Some(rows.job.part.size(diameter)),
        Kind::Tapped { thread, .. } => {
            rows.job.metric.threads[thread.0].tapping_drill.as_ref().map(|drill| drill.diameter)
        }
        _ => None,
    }
}

fn over(
    rows: &mut Rows,
    what: String,
    (size, over): (Length, Length),
    out: Length,
    (how, plug): (&str, Length),
    why: Why,
) {
    let why = practice("plugs that fill their holes without shake").because(why);
    let limits = Limits::about(over, out);
    let plugs = format!("two of {}", rows.plug(plug));
    rows.over(Asked { what, size, limits, why, across: Across::Outside, how: how.to_owned() }, over, &plugs);
}
