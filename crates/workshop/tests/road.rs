//! The whole road, walked with parts and benches unlike the demo project's.
//!
//! What a sheet says is reckoned again here by other means: places from the part's
//! coordinates by a table of the six ways up, outlines by laying a cutter of the
//! stated size where the sheet says and measuring what it would cut.

mod road {
    mod again;
    mod any;
    mod cuts;
    mod inch;
    mod particular;
    pub mod parts;
    mod plates;
    pub mod sheet;
    mod sizes;
    mod stacks;
}

use std::collections::BTreeSet;
use std::sync::OnceLock;

use road::parts::{BENCHES, PARTS};
use road::sheet::{Road, lengths_mm};
use workshop::bench::read_bench;
use workshop::drawing::read_drawing;
use workshop::order::{Located, Machine, Pieces, Work};
use workshop::plan::plan;
use workshop::why::Why;

/// Every part on every bench that has a plan, walked once.
fn roads() -> &'static [Road] {
    static ROADS: OnceLock<Vec<Road>> = OnceLock::new();
    ROADS.get_or_init(|| {
        let all = BENCHES.iter().flat_map(|&(bench, _)| PARTS.iter().map(move |&(part, _)| (part, bench)));
        // A row for each step: work that is moved along is tried in `road/again.rs`.
        all.filter_map(|(part, bench)| Road::walk(part, bench)).filter(|road| !road.is_moved()).collect()
    })
}

/// A part on a bench, which must have a plan.
fn road(part: &str, bench: &str) -> Road {
    Road::walk(part, bench).unwrap_or_else(|| panic!("{part} has a plan on {bench}"))
}

#[test]
fn every_part_has_a_plan_or_is_told_what_to_mend() {
    let mut planned = 0;
    for (file, text) in BENCHES {
        let bench = read_bench(file, text).unwrap_or_else(|faults| panic!("{file}: {faults:?}"));
        for (part, text) in PARTS {
            let drawing = read_drawing(part, text).unwrap_or_else(|faults| panic!("{part}: {faults:?}"));
            match plan(&drawing, &bench) {
                Ok(found) => {
                    planned += 1;
                    assert_eq!(found, plan(&drawing, &bench).unwrap(), "{part} on {file}, twice");
                }
                Err(faults) => {
                    assert!(!faults.is_empty(), "{part} on {file}");
                    for fault in faults {
                        assert!(fault.place().contains(part), "{part} on {file}: {fault}");
                        assert!(fault.reason().is_some(), "{part} on {file}: {fault}");
                        assert!(fault.remedy().is_some(), "{part} on {file}: {fault}");
                    }
                }
            }
        }
    }
    // Most parts can be made on most benches; fewer would be a road that gives up.
    assert!(planned * 4 > PARTS.len() * BENCHES.len() * 3, "{planned} plans");
}

/// Where a cut goes right through along the outside of work in the vice, the sheet says how far the
/// jaws may reach: short of every place of the cutter, its radius besides.
#[test]
fn jaws_end_short_of_every_cut_along_the_outside() {
    let number = |text: &str| text.split(' ').find_map(|word| word.parse::<f64>().ok());
    let mut looked_at = 0;
    for road in roads() {
        let in_vice = |title: &str| title.starts_with("Mill: in the vice on parallels");
        for setup in road.plan.setups.iter().filter(|setup| in_vice(&setup.title)) {
            let Some(jaws) = setup.presets.iter().find(|figure| figure.label() == "jaws along X") else {
                assert!(
                    setup.presets.iter().any(|figure| figure.label() == "mind the jaws")
                        || !setup.rows.iter().any(|row| row.what.contains("by stepped coordinates")),
                    "{road}: {:?}",
                    setup.presets
                );
                continue;
            };
            let bound_mm = number(jaws.shown.rsplit("X ").next().unwrap_or_default()).expect("a place");
            for row in setup.rows.iter().filter(|row| row.what.contains("by stepped coordinates")) {
                let radius_mm = number(&row.tool).expect("its size") / 2.0;
                let places =
                    row.sets.iter().filter(|f| f.label().starts_with("place ") && f.label().ends_with('X'));
                for place in places.filter(|figure| figure.shown.ends_with(" mm")) {
                    let x_mm = number(&place.shown).expect("a place");
                    let clear = match jaws.shown.split(' ').next() {
                        Some("not") if jaws.shown.starts_with("not right") => x_mm - radius_mm >= bound_mm,
                        Some("not") => x_mm + radius_mm <= bound_mm,
                        _ => continue,
                    };
                    assert!(clear, "{road}: {} at {}, jaws {}", row.what, place.shown, jaws.shown);
                    looked_at += 1;
                }
            }
        }
    }
    assert!(looked_at > 20, "{looked_at} places");
}

#[test]
fn every_figure_has_a_name_of_its_own_a_number_and_a_reason() {
    let mut wrong = Vec::new();
    for road in roads() {
        let mut names = BTreeSet::new();
        for figure in &road.plan.figures {
            let told = format!("{road}: {} = {}", figure.name, figure.shown);
            assert!(names.insert(figure.name.to_lowercase()), "twice: {told}");
            assert_eq!(road.plan.figure(&figure.name), Ok(figure), "{told}");
            assert!(!figure.shown.trim().is_empty(), "{told}");
            // From the number to a rule or its source, and nothing of the program's own in the words.
            if !ends(&figure.why) || !sourced(&figure.why) {
                wrong.push(format!("nothing behind {told}: {}", figure.why.statement));
            }
            let words = format!("{} {}", figure.label(), figure.shown);
            wrong.extend(odd(&words).map(|odd| format!("`{odd}` in {told}")));
            for word in figure.shown.split_whitespace() {
                let digits: Vec<char> = word.chars().filter(char::is_ascii_digit).collect();
                let nought = !digits.is_empty() && digits.iter().all(|&d| d == '0');
                assert!(!(nought && word.starts_with(['-', '−'])), "minus nought: {told}");
            }
        }
        for words in road.said() {
            wrong.extend(odd(&words).map(|odd| format!("`{odd}` in {road}: {words}")));
        }
        let early: Vec<&str> = road.plan.cover.traps.iter().map(|trap| trap.early.as_str()).collect();
        assert_eq!(early.len(), early.iter().collect::<BTreeSet<_>>().len(), "{road}: {early:?}");
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

/// Whether every statement of a chain says something.
fn ends(why: &Why) -> bool {
    !why.statement.trim().is_empty() && why.because.iter().all(ends)
}

/// Whether a chain leads to a published or practised rule, to the drawing or the person, or to
/// what is supposed.
fn sourced(why: &Why) -> bool {
    let own = why.source.as_ref().is_some_and(|source| !source.trim().is_empty());
    own || why.assumed || why.statement.contains("on the drawing") || why.because.iter().any(sourced)
}

/// What no sheet should say: words of the program, marks of a message, a slip of grammar, or more
/// digits than any workshop reads.
fn odd(words: &str) -> Option<String> {
    let program =
        ["None)", "Some(", "NaN", "  ", "1 setups", "1 holes", "1 passes", "1 turns", "1 pieces", " ."];
    let own = |found: &&&str| {
        // `11 holes` holds `1 holes`.
        words.match_indices(**found).any(|(at, _)| !words[..at].ends_with(|c: char| c.is_ascii_digit()))
    };
    if let Some(found) = program.iter().find(own) {
        return Some((*found).to_owned());
    }
    let pairs: Vec<&str> = words.split_whitespace().collect();
    let grammar = pairs.windows(2).find(|pair| {
        let eight = pair[1].starts_with('8') && !pair[1].starts_with("8/");
        pair[0] == "a" && (eight || ["11", "18"].contains(&pair[1]))
    });
    let digits = pairs.iter().find(|word| {
        let decimals = word.split_once('.').map_or("", |(_, after)| after);
        word.starts_with(|c: char| c.is_ascii_digit())
            && decimals.len() > 5
            && decimals.chars().all(|c| c.is_ascii_digit())
    });
    grammar.map(|pair| pair.join(" ")).or_else(|| digits.map(|word| (*word).to_owned()))
}

#[test]
fn every_row_has_a_tool_and_every_cut_on_a_machine_its_numbers() {
    for road in roads() {
        for (setup, sheet) in road.order.setups.iter().zip(&road.plan.setups) {
            // At the bench lines are scribed from the edges; nothing there has axes to set.
            if matches!(setup.located, Located::Edges(..)) && setup.machine != Machine::BenchVice {
                let presets = sheet.presets.iter().filter(|p| p.label().starts_with("preset")).count();
                assert_eq!(presets, 2, "{road}: setup {}", sheet.number);
            }
            for (step, row) in road.steps(sheet.number).zip(&sheet.rows) {
                let told = format!("{road}: setup {}, {}: {}", sheet.number, row.number, row.what);
                assert!(!row.tool.is_empty(), "{told}");
                if setup.machine == Machine::BenchVice {
                    continue;
                }
                let numbers = row.sets.len() + row.depth.len() + usize::from(row.check.is_some());
                let only_centred = matches!(step.work, Work::CentreEnd { .. });
                assert!(only_centred || numbers > 0, "no number: {told}");
                let placed = matches!(
                    step.work,
                    Work::RoundEnd
                        | Work::StepEnd
                        | Work::MillFlanks { .. }
                        | Work::MillSide { .. }
                        | Work::StepArc { .. }
                        | Work::MillStep { .. }
                        | Work::MillSlot { .. }
                        | Work::MillPocket { .. }
                        | Work::Countersink { .. }
                        | Work::TaperReam { .. }
                );
                assert!(!placed || (!row.sets.is_empty() && !row.depth.is_empty()), "no place: {told}");
            }
        }
    }
}

#[test]
fn every_hole_on_the_mill_is_where_the_part_has_it() {
    let mut checked = 0;
    for road in roads() {
        for (index, setup) in road.order.setups.iter().enumerate() {
            if setup.machine != Machine::Mill {
                continue;
            }
            for (step, row) in road.steps(index + 1).zip(&road.plan.setups[index].rows) {
                let hole = matches!(
                    step.work,
                    Work::Drill { .. }
                        | Work::Ream { .. }
                        | Work::Bore { .. }
                        | Work::Tap { .. }
                        | Work::OpenClearance { .. }
                        | Work::Counterbore { .. }
                        | Work::Countersink { .. }
                        | Work::TaperReam { .. }
                );
                // Where the other hand lies beside the first is tried in `several.rs`.
                let first = !matches!(setup.pieces, Pieces::Both(_)) || step.hand == road.drawing().hands[0];
                let Some(feature) = step.feature.filter(|_| hole && first) else { continue };
                let holes = road.holes(feature);
                for (nth, &id) in holes.iter().enumerate() {
                    let suffix = if holes.len() > 1 { format!(", hole {}", nth + 1) } else { String::new() };
                    let (at, off) = (road.expected(setup, id), road.drilled_off(setup, id));
                    let expected = [at[0] + off[0], at[1] + off[1]];
                    for (axis, expected_mm) in ["X", "Y"].iter().zip(expected) {
                        let label = format!("{axis}{suffix}");
                        let figure = row.sets.iter().find(|f| f.label() == label);
                        let figure = figure.unwrap_or_else(|| panic!("{road}: {} has no {label}", row.what));
                        let shown_mm = road.slide_mm(&figure.shown);
                        assert!(
                            (shown_mm - expected_mm).abs() <= road.half_step_mm() + 1e-6,
                            "{road}: {} = {}, reckoned {expected_mm}",
                            figure.name,
                            figure.shown
                        );
                        checked += 1;
                    }
                }
            }
        }
    }
    assert!(checked > 2000, "{checked} places checked");
}

/// What is set to a place on the mill or the table has its number on the picture, at the place or on
/// the side that it is said of.
#[test]
fn every_row_that_sets_a_place_has_its_number_on_the_picture() {
    let (mut keyed, mut missing) = (0, Vec::new());
    for road in roads() {
        for (sheet, setup) in road.plan.setups.iter().zip(&road.order.setups) {
            if !matches!(setup.machine, Machine::Mill | Machine::RotaryTable) {
                continue;
            }
            for row in sheet.rows.iter().filter(|row| !row.sets.is_empty()) {
                keyed += 1;
                if !sheet.scene.marks.iter().any(|mark| mark.number == row.number) {
                    missing.push(format!("{road}, setup {}: {} {}", sheet.number, row.number, row.what));
                }
            }
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
    assert!(keyed > 1000, "{keyed} rows");
}

/// A plate with 48 holes and a pocket: however crowded, each row that sets a place has its number.
#[test]
fn on_a_crowded_picture_every_row_keeps_its_number() {
    let mut text = String::from(
        "part = \"Sieve\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = \"150\"\n\
         height = \"100\"\nthickness = \"10\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"window\"\nkind = \"pocket\"\n\
         width = \"20\"\nheight = \"12\"\ncorner = \"3\"\ndepth = \"4\"\n\
         place = [\"130 from left edge\", \"50 from bottom edge\"]\n",
    );
    for n in 0..48 {
        let (across, up) = (10 + n % 8 * 14, 12 + n / 8 * 14);
        text += &format!(
            "[[feature]]\nname = \"hole {n}\"\nkind = \"hole\"\ndiameter = \"{}\"\n\
             place = [\"{across} from left edge\", \"{up} from bottom edge\"]\n",
            4 + n % 3
        );
    }
    let drawing = read_drawing("sieve.toml", &text).unwrap();
    let plan = plan(&drawing, &road::parts::bench("kittiwake")).unwrap();
    let sheet = plan.setups.iter().max_by_key(|sheet| sheet.rows.len()).unwrap();
    let has = |number| sheet.scene.marks.iter().any(|mark| mark.number == number);
    let lacking = sheet.rows.iter().filter(|row| !row.sets.is_empty() && !has(row.number));
    assert_eq!(lacking.map(|row| row.what.clone()).collect::<Vec<_>>(), Vec::<String>::new());
}

/// The number of a flank stands on the flank between its own two bosses: its middle is as far from
/// either as the flank is long, so nearer to both than to any other boss.
#[test]
fn the_number_of_a_flank_stands_on_that_flank() {
    let text = "part = \"Arm\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"bosses\"\nthickness = \"5\"\n\
                around = [\"a\", \"b\", \"c\"]\n";
    let boss = |name: &str, at: &str| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"boss\"\nradius = \"7\"\nplace = [{at}]\n[[feature]]\nname = \"{name} bore\"\n\
             kind = \"hole\"\ndiameter = \"6\"\nfinish = \"reamed\"\nplace = [\"concentric with {name}\"]\n"
        )
    };
    let text = format!(
        "{text}{}{}{}",
        boss("a", "\"datum\""),
        boss("b", "\"60 right of a\", \"level with a\""),
        boss("c", "\"20 right of a\", \"50 above a\"")
    );
    let drawing = read_drawing("arm.toml", &text).unwrap();
    let plan = plan(&drawing, &road::parts::bench("kittiwake")).unwrap();
    let mut flanks = 0;
    for sheet in &plan.setups {
        for row in sheet.rows.iter().filter(|row| row.what.starts_with("mill the flanks of ")) {
            let own: Vec<&str> = row.what["mill the flanks of ".len()..].split(" and ").collect();
            // The bosses as they lie: the nought is over one bore, the next along X.
            let at = |name: &str| {
                let hole = sheet.scene.holes.iter().map(|hole| hole.centre);
                let lengths = [("a", 60.0, 53.852), ("b", 60.0, 64.031), ("c", 53.852, 64.031)];
                let (_, one, two) = lengths.into_iter().find(|(own, ..)| *own == name).unwrap();
                let all: Vec<_> = hole.clone().collect();
                all.iter().copied().find(|p| {
                    let mut far: Vec<f64> =
                        all.iter().map(|q| p.distance_mm(*q)).filter(|d| *d > 1.0).collect();
                    far.sort_by(f64::total_cmp);
                    let mut asked = [one, two];
                    asked.sort_by(f64::total_cmp);
                    far.len() == 2 && far.iter().zip(asked).all(|(a, b)| (a - b).abs() < 1e-2)
                })
            };
            for mark in sheet.scene.marks.iter().filter(|mark| mark.number == row.number) {
                let [first, last] =
                    [own[0], own[1]].map(|name| at(name).expect("its bore is on the picture"));
                let middle = (first.x_mm + last.x_mm) / 2.0;
                let off = (mark.at.x_mm - middle).hypot(mark.at.y_mm - (first.y_mm + last.y_mm) / 2.0);
                assert!((off - 7.0).abs() < 1e-3, "{}: {:?} is {off} off", row.what, mark.at);
                flanks += 1;
            }
        }
    }
    assert_eq!(flanks, 3);
}

/// The side of the cutter, and not its middle, stands at the shoulder, on the side
/// that is cut away.
#[test]
fn every_step_is_cut_up_to_its_shoulder() {
    let mut steps = 0;
    for road in roads() {
        for (index, setup) in road.order.setups.iter().enumerate() {
            for (step, row) in road.steps(index + 1).zip(&road.plan.setups[index].rows) {
                let (Work::MillStep { .. }, Some(id)) = (&step.work, step.feature) else { continue };
                let (axis, shoulder_mm, way) = road.expected_shoulder(setup, id);
                let expected_mm = shoulder_mm + way * road.cutter_radius_mm(step);
                let value = |label: String| {
                    let figure = row.sets.iter().find(|f| f.label() == label);
                    road.slide_mm(
                        &figure.unwrap_or_else(|| panic!("{road}: {} has no {label}", row.what)).shown,
                    )
                };
                let at_mm = value(format!("{axis} at the shoulder"));
                // Rounded away from the metal, by less than a step of the slide.
                let left_mm = (at_mm - expected_mm) * way;
                assert!(
                    (-1e-6..2.0 * road.half_step_mm() + 1e-6).contains(&left_mm),
                    "{road}: {at_mm}, {expected_mm}"
                );
                let far_mm = value(format!("{axis} from"));
                assert!((far_mm - at_mm) * way > 0.0, "{road}: from {far_mm} to {at_mm}");
                steps += 1;
            }
        }
    }
    assert!(steps > 30, "{steps} steps");
}

/// The middle line of a slot runs from one end's centre to the other's.
#[test]
fn every_slot_runs_between_its_ends() {
    let mut slots = 0;
    for road in roads() {
        for (index, setup) in road.order.setups.iter().enumerate() {
            for (step, row) in road.steps(index + 1).zip(&road.plan.setups[index].rows) {
                let (Work::MillSlot { .. }, Some(id)) = (&step.work, step.feature) else { continue };
                let set = |label: String| {
                    let found = row.sets.iter().find(|figure| figure.label() == label);
                    found.map(|figure| road.slide_mm(&figure.shown))
                };
                // Both sides are cut the same way round, so that one begins where the other ends.
                let middle = |axis: &str, [end, other]: [&str; 2]| {
                    let own = [
                        set(format!("{axis} {end}")),
                        set(format!("{axis} {end}, side 1")),
                        set(format!("{axis} {other}, side 2")),
                    ];
                    let own: Vec<f64> = own.into_iter().flatten().collect();
                    own.iter().sum::<f64>() / own.len() as f64
                };
                let ends = [["start", "stop"], ["stop", "start"]];
                let shown = ends.map(|end| ["X", "Y"].map(|axis| middle(axis, end)));
                // Down the middle a narrower cutter goes at least as far.
                let down = ends.map(|[end, _]| ["X", "Y"].map(|axis| set(format!("{axis} {end}, middle"))));
                if let [[Some(x), Some(y)], [Some(to_x), Some(to_y)]] = down {
                    let far = (shown[0][0] - shown[1][0]).hypot(shown[0][1] - shown[1][1]);
                    let gone = (x - to_x).hypot(y - to_y);
                    assert!(gone > far - 2.0 * road.half_step_mm(), "{road}: {}: {gone} of {far}", row.what);
                }
                let near = |a: [f64; 2], b: [f64; 2]| {
                    a.iter().zip(b).all(|(a, b)| (a - b).abs() <= road.half_step_mm() + 1e-6)
                };
                let [one, other] = road.expected_slot(setup, id, road.cutter_radius_mm(step));
                let either = (near(shown[0], one) && near(shown[1], other))
                    || (near(shown[0], other) && near(shown[1], one));
                assert!(either, "{road}: {} {shown:?}, reckoned {one:?} {other:?}", row.what);
                slots += 1;
            }
        }
    }
    assert!(slots > 20, "{slots} slots");
}

/// A cutter laid where the sheet says, at every reading from start to stop, touches
/// the finished outline and never cuts into it.
#[test]
fn no_cutter_that_forms_the_outline_cuts_into_it() {
    let mut cuts = 0;
    for road in roads() {
        let Some(outline) = road.outlines() else { continue };
        for (index, setup) in road.order.setups.iter().enumerate() {
            for (step, row) in road.steps(index + 1).zip(&road.plan.setups[index].rows) {
                for path in road.cutter_paths(setup, step, row) {
                    let radius_mm = road.cutter_radius_mm(step);
                    let mut least_mm = f64::INFINITY;
                    for at in &path.places {
                        let apart = outline[usize::from(setup.image == workshop::drawing::Image::Mirrored)]
                            .iter()
                            .map(|piece| piece.nearest(*at).distance_mm(*at))
                            .fold(f64::INFINITY, f64::min);
                        least_mm = least_mm.min(apart - radius_mm);
                    }
                    assert!(
                        (-1e-6..path.greatest_gap_mm).contains(&least_mm),
                        "{road}: setup {}, {}: {} leaves {least_mm} mm",
                        index + 1,
                        row.number,
                        row.what
                    );
                    cuts += 1;
                }
            }
        }
    }
    assert!(cuts > 150, "{cuts} cuts laid");
}

/// From bores the two hands are read from the same bore: X changes its sign, Y stays.
#[test]
fn the_other_hand_reads_the_same_with_x_reversed() {
    let mut pairs = 0;
    for road in roads() {
        let rows = |pieces: fn(&Pieces) -> bool| {
            let setups = road.order.setups.iter().enumerate();
            let own = setups.filter(move |(_, s)| {
                pieces(&s.pieces)
                    && s.machine == Machine::Mill
                    && matches!(s.located, Located::TwoBores(..) | Located::Bore(_))
            });
            own.flat_map(|(index, _)| road.steps(index + 1).zip(&road.plan.setups[index].rows))
                .collect::<Vec<_>>()
        };
        let right = rows(|p| matches!(p, Pieces::One(workshop::drawing::Hand::Right)));
        let left = rows(|p| matches!(p, Pieces::One(workshop::drawing::Hand::Left)));
        for (step, row) in &right {
            // A side is run against the feed on either hand, and so the other way round.
            if matches!(step.work, Work::MillSide { .. } | Work::StepArc { .. }) {
                continue;
            }
            let Some((_, other)) =
                left.iter().find(|(o, _)| (&o.work, o.feature) == (&step.work, step.feature))
            else {
                continue;
            };
            for (mine, theirs) in row.sets.iter().zip(&other.sets) {
                let sign = if mine.label().starts_with('X') { -1.0 } else { 1.0 };
                if !mine.label().starts_with(['X', 'Y'])
                    || mine.label().contains("from")
                    || mine.label().contains("to")
                {
                    continue;
                }
                let (a, b) = (road.slide_mm(&mine.shown), road.slide_mm(&theirs.shown));
                assert!((a - sign * b).abs() < 1e-9, "{road}: {} {a} and {} {b}", mine.name, theirs.name);
                pairs += 1;
            }
        }
    }
    assert!(pairs > 40, "{pairs} pairs of readings");
}

#[test]
fn no_wall_of_the_metric_part_is_broken() {
    for road in roads() {
        let faults = road.impossible();
        assert!(faults.is_empty(), "{road}: {faults:?}");
    }
}

/// What holds pressure keeps every size to the letter, says so, and still has its numbers.
#[test]
fn a_part_that_holds_pressure_keeps_its_sizes() {
    for (bench, _) in BENCHES {
        let Some(road) = Road::walk("cylinder-cover", bench) else { continue };
        for change in &road.plan.cover.changes {
            assert_eq!(change.difference, "", "{road}: {}", change.name);
            assert_eq!(change.role, "kept: holds pressure", "{road}: {}", change.name);
        }
        assert!(road.plan.cover.cautions.iter().any(|c| c.contains("inspector")), "{road}");
    }
    let road = road("cylinder-cover", "everything");
    let studs: Vec<&str> = road.plan.setups.iter().flat_map(|s| &s.rows).map(|r| r.what.as_str()).collect();
    assert!(studs.iter().any(|what| what.contains("stud")), "{studs:?}");
}

/// A blind tapped hole is drilled deeper than its thread, in the lathe as on the mill.
#[test]
fn a_blind_tapped_hole_leaves_room_for_the_tap() {
    for road in roads() {
        let rows: Vec<_> = road.plan.setups.iter().flat_map(|s| &s.rows).collect();
        for (index, tap) in rows.iter().enumerate().filter(|(_, r)| r.what.starts_with("tap ")) {
            let name = tap.what.trim_start_matches("tap ").rsplit_once(' ').unwrap().0;
            let drilled = rows[..index].iter().rev().find(|r| r.what.starts_with(&format!("drill {name}")));
            let (Some(drilled), Some(full)) = (drilled, tap.depth.first()) else { continue };
            if full.shown.contains("through") || drilled.depth[0].shown.contains("through") {
                continue;
            }
            let (hole, thread) = (lengths_mm(&drilled.depth[0].shown)[0], lengths_mm(&full.shown)[0]);
            assert!(hole > thread, "{road}: {} drilled {hole}, tapped {thread}", tap.what);
        }
    }
}

/// A note of what is lost stands where it is lost, and nowhere after.
#[test]
fn what_is_lost_is_said_once() {
    for road in roads() {
        let mut seen = BTreeSet::new();
        for sheet in &road.plan.setups {
            for note in sheet.notes.iter().filter(|n| n.starts_with("Afterwards")) {
                // Each hand loses its own.
                assert!(
                    seen.insert((sheet.hands.clone(), note.clone())),
                    "{road}: setup {}: {note}",
                    sheet.number
                );
            }
        }
    }
}
