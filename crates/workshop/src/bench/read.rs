//! Reading a bench file.

use super::{
    Bench, Boring, DialReads, EndMill, Grows, Lathe, Mill, Readout, Reamer, RotaryTable, Saw, Section, Stock,
};
use crate::document::{Content, Sheet, read_document};
use crate::measure::{Angle, Length, Unit, read_angle, read_length};
use crate::problem::{Outcome, Problem};
use crate::tables::drills::{self, Drill, DrillSeries};
use crate::tables::{Source, Standing, fits, materials, threads};

/// Most sizes that one range may name.
const MOST_IN_RANGE: i64 = 500;

/// A bench of which nothing is known: every machine is supposed, nothing is owned.
pub fn empty_bench() -> Bench {
    let mut reader = Reader { faults: Vec::new(), assumed: Vec::new() };
    let mut bench = reader.bench(&read_document("name = \"no bench given\"\n").expect("a fixed text reads"));
    bench
        .assumed
        .insert(0, "no bench file: nothing is owned, so every tool and bar is something to buy".into());
    bench
}

/// Reads the text of a bench file; `file` is its name, for problems only.
///
/// Everything may be left out; what matters is then supposed and listed in
/// [`Bench::assumed`].
///
/// # Errors
///
/// Every fault found, each with its line.
pub fn read_bench(file: &str, text: &str) -> Outcome<Bench> {
    let mut reader = Reader { faults: Vec::new(), assumed: Vec::new() };
    let bench = match read_document(text) {
        Ok(sheet) => Some(reader.bench(&sheet)),
        Err(fault) => {
            reader.faults.push(fault);
            None
        }
    };
    match bench {
        Some(bench) if reader.faults.is_empty() => Ok(bench),
        _ => Err(reader.faults.into_iter().map(|fault| fault.at(file)).collect()),
    }
}

struct Reader {
    faults: Vec<Problem>,
    assumed: Vec<String>,
}

impl Reader {
    fn bench(&mut self, sheet: &Sheet) -> Bench {
        let name = sheet.text("name", &mut self.faults).map_or("the bench", |(text, _)| text).to_owned();
        let mill = self.mill(sheet);
        let lathe = self.heading(sheet, "lathe").map(|table| self.lathe(table));
        let rotary_table = self.heading(sheet, "rotary_table").map(|table| self.rotary_table(table));
        let edge_finder = self.length(sheet, "edge_finder").unwrap_or_else(|| {
            self.assumed.push("an edge finder with a 10 mm tip".into());
            Length::mm(10)
        });
        let drills = self.drills(sheet);
        let reamers = self.reamers(sheet);
        let taps = self.taps(sheet);
        let mut end_mills = Vec::new();
        for table in sheet.tables("end_mill", &mut self.faults) {
            end_mills.extend(self.end_mill(table));
        }
        end_mills.sort_by_key(|mill| mill.diameter);
        let mut saws = Vec::new();
        for table in sheet.tables("saw", &mut self.faults) {
            saws.extend(self.saw(table));
        }
        saws.sort_by_key(|saw| saw.width);
        let mut collets = self.sizes(sheet, "collets");
        collets.sort();
        let boring = self.heading(sheet, "boring_head").and_then(|table| {
            let (least, most) = (self.need_length(table, "least"), self.need_length(table, "most"));
            table.finish(&mut self.faults);
            Some(Boring { least: least?, most: most? })
        });
        let mut stock = Vec::new();
        for table in sheet.tables("stock", &mut self.faults) {
            self.stock(table, &mut stock);
        }
        sheet.finish(&mut self.faults);
        Bench {
            name,
            mill,
            lathe,
            rotary_table,
            edge_finder,
            drills,
            reamers,
            taps,
            end_mills,
            saws,
            collets,
            boring,
            stock,
            assumed: std::mem::take(&mut self.assumed),
        }
    }

    fn heading<'a>(&mut self, sheet: &'a Sheet, key: &str) -> Option<&'a Sheet> {
        match sheet.get(key).map(|entry| (&entry.value, entry)) {
            Some((Content::Table(table), _)) => Some(table),
            Some((_, entry)) => {
                self.faults
                    .push(entry.fault("is not a heading", &format!("write `[{key}]` on a line of its own")));
                None
            }
            None => None,
        }
    }

    fn mill(&mut self, sheet: &Sheet) -> Mill {
        let Some(table) = self.heading(sheet, "mill") else {
            self.assumed.push(
                "a mill with a readout to 0.005 mm, 300 × 140 × 200 mm of travel and speeds from 100 to 2500"
                    .into(),
            );
            return Mill {
                speeds: vec![100, 250, 500, 1000, 1600, 2500],
                readout: Readout::Digital { step: Length::microns(5) },
                travel: [Length::mm(300), Length::mm(140), Length::mm(200)],
                column: Length::mm(160),
            };
        };
        let speeds = self.speeds(table, "the mill's", &[100, 250, 500, 1000, 1600, 2500]);
        let readout = match self.length(table, "readout_step") {
            Some(step) => Readout::Digital { step },
            None => match self.length(table, "handwheel_pitch") {
                Some(pitch) => Readout::Handwheels {
                    pitch,
                    divisions: self.count(table, "handwheel_divisions").unwrap_or_else(|| {
                        self.assumed.push("the mill's handwheels have 100 divisions".into());
                        100
                    }),
                    backlash: self.length(table, "backlash").unwrap_or_else(|| {
                        self.assumed.push("the mill's screws have 0.2 mm of backlash".into());
                        Length::microns(200)
                    }),
                },
                None => {
                    self.assumed.push("the mill has a readout to 0.005 mm".into());
                    Readout::Digital { step: Length::microns(5) }
                }
            },
        };
        let mut travel = [Length::mm(300), Length::mm(140), Length::mm(200)];
        for (axis, key) in ["travel_x", "travel_y", "travel_z"].into_iter().enumerate() {
            match self.length(table, key) {
                Some(length) => travel[axis] = length,
                None => {
                    self.assumed.push(format!("the mill's {} is {}", key.replace('_', " in "), travel[axis]))
                }
            }
        }
        let column = self.length(table, "column").unwrap_or_else(|| {
            self.assumed.push("there are 160 mm from the mill's spindle to its column".into());
            Length::mm(160)
        });
        table.finish(&mut self.faults);
        Mill { speeds, readout, travel, column }
    }

    fn lathe(&mut self, table: &Sheet) -> Lathe {
        let speeds = self.speeds(table, "the lathe's", &[80, 150, 300, 600, 1000, 1800]);
        let swing = self.length(table, "swing").unwrap_or_else(|| {
            self.assumed.push("the lathe swings 180 mm over the bed".into());
            Length::mm(180)
        });
        let between_centres = self.length(table, "between_centres").unwrap_or_else(|| {
            self.assumed.push("the lathe takes 300 mm between centres".into());
            Length::mm(300)
        });
        let step = self.length(table, "dial_step").unwrap_or_else(|| {
            self.assumed.push("the lathe's dial can be set to 0.02 mm".into());
            Length::microns(20)
        });
        let dial = match table.text("dial_reads", &mut self.faults) {
            Some(("diameter", _)) => DialReads::Diameter,
            Some(("radius", _)) => DialReads::Radius,
            Some((text, line)) => {
                self.faults.push(
                    Problem::new(format!("`{text}` is not known for `dial_reads`"))
                        .at(format!("line {line}"))
                        .mend("it may be `diameter` or `radius`"),
                );
                DialReads::Diameter
            }
            None => {
                self.assumed.push("the lathe's cross-slide dial shows the change in diameter".into());
                DialReads::Diameter
            }
        };
        table.finish(&mut self.faults);
        Lathe { speeds, swing, between_centres, dial, step }
    }

    fn rotary_table(&mut self, table: &Sheet) -> RotaryTable {
        let ratio = self.count(table, "ratio").unwrap_or_else(|| {
            self.assumed.push("the rotary table's handle turns 90 times for one turn".into());
            90
        });
        let bore = self.length(table, "bore").unwrap_or_else(|| {
            self.assumed.push("the rotary table has a 20 mm bore for a stub".into());
            Length::mm(20)
        });
        let reads = match table.text("reads", &mut self.faults).map(|(text, line)| (read_angle(text), line)) {
            Some((Ok(angle), _)) if angle > Angle::default() => angle,
            Some((Ok(_), line)) => {
                self.faults.push(
                    Problem::new("the rotary table reads in steps of nothing")
                        .at(format!("line {line}, `reads`"))
                        .mend("write its smallest mark, such as `5'`"),
                );
                Angle::ratio(1, 60)
            }
            Some((Err(fault), line)) => {
                self.faults.push(fault.at(format!("line {line}, `reads`")));
                Angle::ratio(1, 60)
            }
            None => {
                self.assumed.push("the rotary table can be set to 5 minutes of arc".into());
                Angle::ratio(5, 60)
            }
        };
        let grows = match table.text("scale_grows", &mut self.faults) {
            Some(("clockwise", _)) => Some(Grows::Clockwise),
            Some(("anticlockwise", _)) => Some(Grows::Anticlockwise),
            Some((text, line)) => {
                self.faults.push(
                    Problem::new(format!("`{text}` is not known for `scale_grows`"))
                        .at(format!("line {line}"))
                        .why("it says which turn of the table, seen from above, makes its reading larger")
                        .mend("it may be `clockwise` or `anticlockwise`"),
                );
                None
            }
            None => {
                self.assumed.push("the rotary table's reading grows as the table turns clockwise".into());
                None
            }
        };
        table.finish(&mut self.faults);
        RotaryTable { ratio, reads, bore, grows }
    }

    fn end_mill(&mut self, table: &Sheet) -> Option<EndMill> {
        let diameter = self.need_length(table, "diameter");
        let flute = self.length(table, "flute");
        let teeth = self.count(table, "teeth");
        table.finish(&mut self.faults);
        let diameter = diameter?;
        let flute = flute.unwrap_or_else(|| {
            self.assumed.push(format!("the {diameter} end mill cuts to twice its diameter in depth"));
            diameter * 2
        });
        Some(EndMill { diameter, flute, teeth: teeth.unwrap_or(4) })
    }

    fn saw(&mut self, table: &Sheet) -> Option<Saw> {
        let (diameter, width) = (self.need_length(table, "diameter"), self.need_length(table, "width"));
        let collar = self.length(table, "collar");
        let teeth = self.count(table, "teeth");
        table.finish(&mut self.faults);
        let (diameter, width) = (diameter?, width?);
        let collar = collar.unwrap_or_else(|| {
            self.assumed.push(format!("the {width} saw is held by a collar 25 mm across"));
            Length::mm(25)
        });
        if collar >= diameter {
            self.faults.push(
                Problem::new("a saw's collar is as large as the saw")
                    .at(table.place())
                    .mend("check `diameter` and `collar`"),
            );
            return None;
        }
        Some(Saw { diameter, width, collar, teeth: teeth.unwrap_or(64) })
    }

    fn stock(&mut self, table: &Sheet, rack: &mut Vec<Stock>) {
        let material = match table
            .need("material", "mild steel", &mut self.faults)
            .map(|(t, l)| (materials::find(t), l))
        {
            Some((Ok(material), _)) => Some(material.name.to_string()),
            Some((Err(fault), line)) => {
                self.faults.push(fault.at(format!("line {line}, `material`")));
                None
            }
            None => None,
        };
        let class = table.text("class", &mut self.faults).map(|(text, line)| (text.to_owned(), line));
        let class = class.and_then(|(class, line)| match fits::limits(&class, Length::mm(5)) {
            Ok(_) => Some(class),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `class`")));
                None
            }
        });
        let (round, thick) = (self.sizes(table, "round"), self.sizes(table, "flat"));
        let width = self.length(table, "width");
        table.finish(&mut self.faults);
        if round.is_empty() && thick.is_empty() && self.faults.is_empty() {
            self.faults.push(
                Problem::new("a bar in the rack has no size")
                    .at(table.place())
                    .mend("write `round = [\"6 mm\"]` or `flat = [\"10 mm\"]` with `width = \"50 mm\"`"),
            );
        }
        let Some(material) = material else { return };
        rack.extend(round.into_iter().map(|diameter| Stock {
            material: material.clone(),
            section: Section::Round { diameter },
            class: class.clone(),
        }));
        rack.extend(thick.into_iter().map(|thickness| Stock {
            material: material.clone(),
            section: Section::Flat { thickness, width },
            class: class.clone(),
        }));
    }

    fn drills(&mut self, sheet: &Sheet) -> Vec<Drill> {
        let mut owned = Vec::new();
        for (text, line) in sheet.texts("drills", &mut self.faults) {
            match read_drills(text) {
                Ok(drills) => owned.extend(drills),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `drills`"))),
            }
        }
        owned.sort_by(|a, b| a.diameter.cmp(&b.diameter).then_with(|| a.name.cmp(&b.name)));
        owned.dedup_by(|a, b| a.name == b.name);
        owned
    }

    fn reamers(&mut self, sheet: &Sheet) -> Vec<Reamer> {
        let mut owned = Vec::new();
        for (text, line) in sheet.texts("reamers", &mut self.faults) {
            let place = |fault: Problem| fault.at(format!("line {line}, `reamers`"));
            let (size, class) = match text.trim().rsplit_once(' ') {
                Some((size, class)) if class.starts_with(['H', 'G', 'F', 'E', 'K', 'N']) => (size, class),
                _ => (text, "H7"),
            };
            match (read_range(size), fits::limits(class, Length::mm(5))) {
                (Ok(sizes), Ok(_)) => {
                    owned.extend(
                        sizes.into_iter().map(|diameter| Reamer { diameter, class: class.to_owned() }),
                    );
                }
                (Err(fault), _) | (_, Err(fault)) => self.faults.push(place(fault)),
            }
        }
        owned.sort_by_key(|reamer| reamer.diameter);
        owned.dedup();
        owned
    }

    fn taps(&mut self, sheet: &Sheet) -> Vec<&'static threads::Thread> {
        let mut owned = Vec::new();
        for (text, line) in sheet.texts("taps", &mut self.faults) {
            match threads::find(text) {
                Ok(thread) => owned.push(thread),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `taps`"))),
            }
        }
        owned.sort_by_key(|thread| (thread.major, thread.pitch));
        owned.dedup_by_key(|thread| (thread.major, thread.pitch));
        owned
    }

    fn speeds(&mut self, table: &Sheet, whose: &str, usual: &[u32]) -> Vec<u32> {
        let mut speeds = Vec::new();
        for (text, line) in table.texts("speeds", &mut self.faults) {
            match text.parse::<u32>() {
                Ok(speed @ 1..=60_000) => speeds.push(speed),
                _ => self.faults.push(
                    Problem::new(format!("`{text}` is no spindle speed"))
                        .at(format!("line {line}, `speeds`"))
                        .mend("write whole turns a minute, such as `speeds = [100, 250, 500]`"),
                ),
            }
        }
        if speeds.is_empty() {
            let list = usual.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
            self.assumed.push(format!("{whose} speeds are {list} turns a minute"));
            return usual.to_vec();
        }
        speeds.sort_unstable();
        speeds.dedup();
        speeds
    }

    fn count(&mut self, sheet: &Sheet, key: &str) -> Option<u32> {
        let (text, line) = sheet.text(key, &mut self.faults)?;
        match text.parse() {
            Ok(count @ 1..=1000) => Some(count),
            _ => {
                self.faults.push(
                    Problem::new(format!("`{text}` is not a count"))
                        .at(format!("line {line}, `{key}`"))
                        .mend("write a whole number from 1 to 1000"),
                );
                None
            }
        }
    }

    fn length(&mut self, sheet: &Sheet, key: &str) -> Option<Length> {
        let (text, line) = sheet.text(key, &mut self.faults)?;
        let read = read_length(text, None).and_then(|written| positive(written.length, text));
        match read {
            Ok(length) => Some(length),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `{key}`")));
                None
            }
        }
    }

    fn need_length(&mut self, sheet: &Sheet, key: &str) -> Option<Length> {
        if sheet.get(key).is_none() {
            sheet.need(key, "6 mm", &mut self.faults);
            return None;
        }
        self.length(sheet, key)
    }

    /// Sizes and ranges of sizes.
    fn sizes(&mut self, sheet: &Sheet, key: &str) -> Vec<Length> {
        let mut sizes = Vec::new();
        for (text, line) in sheet.texts(key, &mut self.faults) {
            match read_range(text) {
                Ok(range) => sizes.extend(range),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `{key}`"))),
            }
        }
        sizes
    }
}

fn positive(length: Length, text: &str) -> Result<Length, Problem> {
    if length.is_positive() {
        Ok(length)
    } else {
        Err(Problem::new(format!("`{text}` is not more than nought")).mend("write the size it has"))
    }
}

/// `6 mm`, or `1 mm to 6 mm by 0.1 mm`.
fn read_range(text: &str) -> Result<Vec<Length>, Problem> {
    let Some((first, rest)) = text.split_once(" to ") else {
        return Ok(vec![positive(read_length(text, None)?.length, text)?]);
    };
    let such_as = "write a range such as `1 mm to 6 mm by 0.1 mm`";
    let Some((last, step)) = rest.split_once(" by ") else {
        return Err(Problem::new(format!("`{text}` does not say in what steps")).mend(such_as));
    };
    // The unit may stand once, at the end of the first, the last or the step.
    let unit = [first, last, step].into_iter().find_map(|part| read_length(part, None).ok()).map(|w| w.unit);
    let read = |part: &str| read_length(part, unit).and_then(|w| positive(w.length, part));
    let (first, last, step) = (read(first)?, read(last)?, read(step)?);
    let steps = (last - first).ratio_to(step).floor().to_integer();
    if last < first || steps >= MOST_IN_RANGE.into() {
        return Err(Problem::new(format!("the range `{text}` has no sizes, or too many")).mend(such_as));
    }
    Ok((0..=steps as i64).map(|n| first + step * n).collect())
}

/// A drill by name, a range of metric drills, or a range of number drills.
fn read_drills(text: &str) -> Result<Vec<Drill>, Problem> {
    let lower = text.trim().to_ascii_lowercase();
    if let Some((first, last)) = lower.strip_prefix("numbers ").and_then(|rest| rest.split_once(" to ")) {
        return match (first.trim().parse::<u32>(), last.trim().parse::<u32>()) {
            (Ok(first), Ok(last)) if 1 <= first && first <= last && last <= 80 => {
                (first..=last).map(|n| drills::find(&format!("No. {n}")).cloned()).collect()
            }
            _ => Err(Problem::new(format!("`{text}` is no range of number drills"))
                .mend("write such as `numbers 1 to 60`")),
        };
    }
    if lower == "letters" {
        return ('A'..='Z').map(|letter| drills::find(&format!("letter {letter}")).cloned()).collect();
    }
    if lower.contains(" to ") {
        return Ok(read_range(text)?.into_iter().map(metric_drill).collect());
    }
    match drills::find(text) {
        Ok(drill) => Ok(vec![drill.clone()]),
        // A size that no standard step has may still be owned.
        Err(fault) => match read_length(text, None) {
            Ok(written) if written.unit == Unit::Mm && written.length.is_positive() => {
                Ok(vec![metric_drill(written.length)])
            }
            _ => Err(fault),
        },
    }
}

/// A metric drill as the bench file gives it, whether or not a standard lists it.
fn metric_drill(diameter: Length) -> Drill {
    Drill {
        name: diameter.to_string(),
        diameter,
        series: DrillSeries::Metric,
        source: Source { published: "the bench file".into(), standing: Standing::Published },
    }
}
