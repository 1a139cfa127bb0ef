//! Reading the machines of a bench file, and what turns in their spindles.

use super::ranges::{read_pitch, read_power};
use super::read::Reader;
use super::{
    DepthDial, DialReads, DrillPress, EndMill, Grows, Lathe, Mill, Readout, RotaryTable, Saw, Tailstock,
};
use crate::document::{Content, Sheet};
use crate::measure::{Angle, Length, read_angle};
use crate::problem::Problem;

impl Reader {
    /// Whether there is a mill: one is supposed, unless the file says `mill = "none"` or has a
    /// drill press and no mill.
    pub(super) fn mills(&mut self, sheet: &Sheet, press: bool) -> bool {
        match sheet.get("mill").map(|entry| (&entry.value, entry)) {
            Some((Content::Table(_), _)) => true,
            Some((Content::Text(text), _)) if text.trim().eq_ignore_ascii_case("none") => false,
            Some((_, entry)) => {
                self.faults.push(entry.fault(
                    "is neither a heading nor `none`",
                    "write `[mill]` on a line of its own, or `mill = \"none\"` where there is no mill",
                ));
                true
            }
            None => {
                if press {
                    self.assumed
                        .push("there is no mill: the bench file has a drill press and no `[mill]`".into());
                }
                !press
            }
        }
    }

    pub(super) fn drill_press(&mut self, table: &Sheet) -> DrillPress {
        let speeds = self.speeds(table, "the drill press's", &[500, 850, 1300, 1900, 2600]);
        let travel = self.length(table, "travel").unwrap_or_else(|| {
            self.assumed.push("the quill of the drill press comes down 50 mm".into());
            Length::mm(50)
        });
        let throat = self.length(table, "throat").unwrap_or_else(|| {
            self.assumed.push("there are 100 mm from the spindle of the drill press to its column".into());
            Length::mm(100)
        });
        table.finish(&mut self.faults);
        DrillPress { speeds, travel, throat }
    }

    pub(super) fn mill(&mut self, sheet: &Sheet, there: bool) -> Mill {
        let table = if there { self.heading(sheet, "mill") } else { None };
        let Some(table) = table else {
            if there {
                self.assumed.push(
                    "a mill with a readout to 0.005 mm, 300 × 140 × 200 mm of travel and speeds from 100 to 2500"
                        .into(),
                );
            }
            return Mill {
                speeds: vec![100, 250, 500, 1000, 1600, 2500],
                readout: Readout::Digital { step: Length::microns(5) },
                travel: [Length::mm(300), Length::mm(140), Length::mm(200)],
                column: Length::mm(160),
                depth_dial: None,
                vice: None,
                jaws: None,
                motor_w: None,
            };
        };
        let speeds = self.speeds(table, "the mill's", &[100, 250, 500, 1000, 1600, 2500]);
        let readout = match self.length(table, "readout_step") {
            Some(step) => Readout::Digital { step },
            None => match self.length(table, "handwheel_pitch") {
                Some(pitch) => Readout::Handwheels {
                    pitch,
                    divisions: table.count("handwheel_divisions", &mut self.faults).unwrap_or_else(|| {
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
        let vice = self.length(table, "vice_width");
        let jaws = self.length(table, "vice_depth");
        let depth_dial = self.depth_dial(table);
        let motor_w = self.power(table, "power");
        table.finish(&mut self.faults);
        Mill { speeds, readout, travel, column, depth_dial, vice, jaws, motor_w }
    }

    /// The dial of the knee, head or quill.
    fn depth_dial(&mut self, table: &Sheet) -> Option<DepthDial> {
        let moves = match table.text("depth_by", &mut self.faults) {
            Some((word @ ("quill" | "knee" | "head"), _)) => Some(word.to_owned()),
            Some((text, line)) => {
                self.faults.push(
                    Problem::new(format!("`{text}` is not known for `depth_by`"))
                        .at(format!("line {line}"))
                        .mend("it may be `quill`, `knee` or `head`"),
                );
                None
            }
            None => None,
        };
        let divisions = table.count("depth_divisions", &mut self.faults);
        let Some(pitch) = self.length(table, "depth_pitch") else {
            for key in ["depth_by", "depth_divisions"] {
                if let Some(entry) = table.get(key) {
                    self.faults.push(entry.fault(
                        "says nothing without `depth_pitch`",
                        "give `depth_pitch` too: how far one turn of that handwheel moves",
                    ));
                }
            }
            return None;
        };
        let divisions = divisions.unwrap_or_else(|| {
            self.assumed.push("the mill's dial for depths has 100 divisions".into());
            100
        });
        let moves = moves.unwrap_or_else(|| {
            self.assumed.push("the mill's dial for depths is that of its quill".into());
            "quill".to_owned()
        });
        Some(DepthDial { moves, pitch, divisions })
    }

    fn power(&mut self, table: &Sheet, key: &str) -> Option<u32> {
        let (text, line) = table.text(key, &mut self.faults)?;
        match read_power(text) {
            Ok(watts) => Some(watts),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `{key}`")));
                None
            }
        }
    }

    pub(super) fn lathe(&mut self, table: &Sheet) -> Lathe {
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
        let leadscrew = self.pitches(table, "leadscrew").into_iter().next();
        let change_wheels = self.wheels(table);
        let gearbox = self.pitches(table, "gearbox");
        let (top_slide, set_over) = (self.length(table, "top_slide"), self.length(table, "set_over"));
        let tailstock = self.tailstock(table);
        let motor_w = self.power(table, "power");
        if leadscrew.is_none() && !change_wheels.is_empty() {
            self.faults.push(
                Problem::new("the lathe has change wheels and no leadscrew")
                    .at(table.place())
                    .why("what a train of wheels cuts depends on the pitch of the leadscrew")
                    .mend("write `leadscrew = \"3 mm\"` or `leadscrew = \"8 tpi\"`"),
            );
        }
        table.finish(&mut self.faults);
        Lathe {
            speeds,
            swing,
            between_centres,
            dial,
            step,
            leadscrew,
            change_wheels,
            gearbox,
            top_slide,
            set_over,
            tailstock,
            motor_w,
        }
    }

    /// The handwheel of the tailstock.
    fn tailstock(&mut self, table: &Sheet) -> Option<Tailstock> {
        let divisions = table.count("tailstock_divisions", &mut self.faults);
        let Some(pitch) = self.length(table, "tailstock_pitch") else {
            if let Some(entry) = table.get("tailstock_divisions") {
                self.faults.push(entry.fault(
                    "says nothing without `tailstock_pitch`",
                    "give `tailstock_pitch` too: how far one turn of its handwheel sends the barrel out",
                ));
            }
            return None;
        };
        Some(Tailstock { pitch, divisions })
    }

    /// Pitches in millimetres or threads to the inch.
    fn pitches(&mut self, table: &Sheet, key: &str) -> Vec<Length> {
        let mut pitches = Vec::new();
        for (text, line) in table.texts(key, &mut self.faults) {
            match read_pitch(text) {
                Ok(pitch) => pitches.push(pitch),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `{key}`"))),
            }
        }
        pitches
    }

    /// The teeth of every change wheel.
    fn wheels(&mut self, table: &Sheet) -> Vec<u32> {
        let mut wheels = Vec::new();
        for (text, line) in table.texts("change_wheels", &mut self.faults) {
            match text.parse::<u32>() {
                Ok(teeth @ 10..=400) => wheels.push(teeth),
                _ => self.faults.push(
                    Problem::new(format!("`{text}` is no change wheel"))
                        .at(format!("line {line}, `change_wheels`"))
                        .mend("write how many teeth each has, such as `change_wheels = [20, 30, 40]`"),
                ),
            }
        }
        wheels.sort_unstable();
        wheels
    }

    pub(super) fn rotary_table(&mut self, table: &Sheet) -> RotaryTable {
        let ratio = table.count("ratio", &mut self.faults).unwrap_or_else(|| {
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

    pub(super) fn end_mill(&mut self, table: &Sheet) -> Option<EndMill> {
        let diameter = self.need_length(table, "diameter");
        let flute = self.length(table, "flute");
        let teeth = table.count("teeth", &mut self.faults);
        let (stick_out, shank) = (self.length(table, "stick_out"), self.length(table, "shank"));
        table.finish(&mut self.faults);
        let diameter = diameter?;
        let flute = flute.unwrap_or_else(|| {
            self.assumed.push(format!("the {diameter} end mill cuts to twice its diameter in depth"));
            diameter * 2
        });
        if let Some(short) = stick_out.filter(|&out| out < flute) {
            self.faults.push(
                Problem::new(format!(
                    "the {diameter} end mill stands out of its collet by less than its flutes"
                ))
                .at(table.place())
                .why(format!("{short} stand out and the flutes are {flute}: the collet would grip the teeth"))
                .mend("write in `stick_out` what is seen from the collet to the end of the cutter"),
            );
        }
        Some(EndMill { stick_out, shank, ..EndMill::new(diameter, flute, teeth.unwrap_or(4)) })
    }

    pub(super) fn saw(&mut self, table: &Sheet) -> Option<Saw> {
        let (diameter, width) = (self.need_length(table, "diameter"), self.need_length(table, "width"));
        let collar = self.length(table, "collar");
        let teeth = table.count("teeth", &mut self.faults);
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
}
