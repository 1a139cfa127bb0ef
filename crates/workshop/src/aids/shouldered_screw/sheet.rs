//! The sheet of a shouldered screw: its sizes with their reasons, how to make it, its picture.

use super::{Made, Task};
use crate::aids::locating::limits_shown;
use crate::aids::own::Turned;
use crate::aids::picture::{dimension, note};
use crate::aids::rack::tapped;
use crate::bench::Bench;
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Toward};
use crate::settings::show::{mm, practice};
use crate::settings::tapping::Depth;
use crate::sheet::{Runs, Scene, Serves, blank_scene, box_lines};
use crate::why::{Figure, Why};

impl Made<'_> {
    pub(super) fn whole(&self) -> Length {
        self.high + self.long + self.threaded
    }

    /// All of it, 3 mm for parting each, and 25 mm in the chuck.
    pub(super) fn material(&self) -> String {
        let each = self.whole() + Length::mm(3);
        let long =
            (each * i64::from(self.screw.count) + Length::mm(25)).rounded(Length::mm(1), Toward::More).value;
        self.bar.words("round bar", &format!("{} long", mm(long)))
    }

    pub(super) fn shown(&self) -> String {
        limits_shown(self.shoulder.0, self.shoulder.1)
    }

    /// The relief beside the shoulder: one and a half pitches wide, down to the core.
    pub(super) fn relief(&self) -> (Length, Length) {
        let wide = (self.thread.pitch * 3 / 2).rounded(Length::mm_ratio(1, 10), Toward::More).value;
        let core = (self.thread.major - self.thread.pitch * 13 / 10)
            .rounded(Length::mm_ratio(1, 10), Toward::Less)
            .value;
        (core, wide)
    }

    pub(super) fn kept_as(&self) -> String {
        format!(
            "shouldered screw {}, {} under the head, {}",
            self.shown(),
            mm(self.long),
            self.thread.designation
        )
    }

    pub(super) fn serves(&self) -> Serves {
        Serves {
            same: vec![
                "shouldered screw".into(),
                self.shown(),
                format!("{} under the head", mm(self.long)),
                self.thread.designation.clone(),
            ],
            at_most: vec![("head".into(), self.head)],
        }
    }

    pub(super) fn file(&self) -> String {
        let (core, wide) = self.relief();
        let aim = (self.shoulder.0 + self.shoulder.1).half();
        let part = Turned::new(&self.screw.name, &self.bar.material, self.screw.count, false)
            .section("head", self.head, self.high)
            .section("shoulder", aim, self.long)
            .threaded("thread", self.thread, self.threaded)
            .groove("relief", "thread", core, wide);
        match self.across {
            Some(across) => part.flats("spanner flats", "head", 2, across, self.high),
            None => part,
        }
        .file()
    }

    pub(super) fn figures(&self, bench: &Bench) -> Vec<Figure> {
        let screw = self.screw;
        let (least, greatest) =
            (self.fit.least_clearance() + screw.under, self.fit.greatest_clearance() + screw.under);
        let mut fit = Why::new(format!(
            "{} in {}: at worst {} mm free and {} mm loose",
            self.fit.shaft.class,
            screw.hole.0,
            least.decimals(3),
            greatest.decimals(3)
        ))
        .source(self.fit.shaft.source.to_string());
        if screw.under.is_positive() {
            fit = fit.because(practice(format!(
                "turned {} under that: the two centres may differ by so much between work and plate, and a screw cannot \
                 be filed to one direction",
                mm(screw.under)
            )));
        }
        let length = match screw.task {
            Task::Holds { seat } => practice(format!(
                "{} of work and {} in {}, less {}: the head must bear on the work before the shoulder stops",
                mm(screw.thick),
                mm(seat),
                screw.into,
                mm(screw.thick + seat - self.long)
            )),
            Task::Pivots { play } => practice(format!(
                "{} lies under the head, and {} of end play lets it turn",
                mm(screw.thick),
                mm(play)
            )),
        };
        let (core, wide) = self.relief();
        let tapped = tapped(bench, self.thread, Depth::Through(self.threaded), "mild steel");
        let thread = match screw.thread {
            Some(_) => practice("the thread of the hole it is screwed into"),
            None => Why::new("the largest owned that leaves the shoulder a ledge of a twelfth on each side")
                .source("ISO 7379, pairs of shoulder and thread"),
        };
        let mut figures = vec![
            Figure::new("bar", self.material(), self.bar.why("round steel bar")),
            Figure::new("shoulder diameter", self.shown(), fit.because(screw.why.clone())),
            Figure::new("length under the head", mm(self.long), length),
            Figure::new("thread", format!("{}, {} long", self.thread.designation, mm(self.threaded)), thread),
            Figure::new(
                "relief beside the shoulder",
                format!("⌀ {}, {} wide", mm(core), mm(wide)),
                practice(
                    "one and a half pitches, below the core: the shoulder comes down on its ledge, not on the run-out of the thread",
                ),
            ),
            Figure::new(
                "hole it is screwed into",
                tapped.shown,
                practice("one and a half diameters of thread").because(tapped.why),
            ),
            Figure::new(
                "head",
                format!("⌀ {}, {} high", mm(self.head), mm(self.high)),
                practice(match screw.widest {
                    Some(widest) => {
                        format!("bears on the work all round; {} at most, clear of the cutter", mm(widest))
                    }
                    None => "bears on the work all round".into(),
                }),
            ),
        ];
        figures.push(match self.across {
            Some(across) => Figure::new(
                "across the flats of the head",
                mm(across),
                Why::new("two flats for a spanner of a usual width").source("ISO 272"),
            ),
            None => Figure::new(
                "slot in the head",
                "1 mm wide, a third of the head deep",
                practice("no usual spanner fits so small a head: a saw cut for a screwdriver"),
            ),
        });
        if screw.count > 1 {
            figures.push(Figure::new(
                "how many",
                format!("{} off", screw.count),
                practice("all are in use at once"),
            ));
        }
        figures
    }

    pub(super) fn steps(&self) -> Vec<String> {
        let (core, wide) = self.relief();
        let mut steps = vec![
            format!("Hold the bar by 25 mm with {} out, and face the end.", mm(self.whole() + Length::mm(4))),
            format!("Turn {} for {}, for the thread.", mm(self.thread.major), mm(self.threaded)),
            format!(
                "In the same holding turn the shoulder {} for {}, its ledge and the face under the head square.",
                self.shown(),
                mm(self.long)
            ),
            format!("Cut the relief beside the shoulder {} wide, down to ⌀ {}.", mm(wide), mm(core)),
            format!("Thread it {} with the die in its tailstock holder.", self.thread.designation),
        ];
        if self.head < self.bar.size {
            steps.push(format!("Turn the head {} for {}.", mm(self.head), mm(self.high)));
        }
        steps.push(format!("Part off with the head {} high, and take the burrs off.", mm(self.high)));
        steps.push(match self.across {
            Some(across) => format!("File or mill two flats on the head, {} across.", mm(across)),
            None => "Saw a slot across the head.".into(),
        });
        steps.push(match self.screw.task {
            Task::Holds { .. } => format!(
                "Try it: through {} into {} the head pulls the work down, and a cigarette paper under it is held all round.",
                self.screw.hole.0, self.screw.into
            ),
            Task::Pivots { .. } => format!(
                "Try it: screwed home in {}, {} turns freely and does not rock.",
                self.screw.into, self.screw.hole.0
            ),
        });
        steps
    }

    pub(super) fn cautions(&self, bench: &Bench) -> Vec<String> {
        let mut cautions = vec![
            "Do it up on its ledge, not harder: the thread is weaker than the shoulder looks.".to_owned(),
        ];
        if let Task::Holds { .. } = self.screw.task {
            cautions.push(
                "Its head stands above the work: check the cutter’s path against it before starting.".into(),
            );
        }
        if bench.lathe.is_none() {
            cautions.push("It is turned, and no lathe is on the bench file: have it made.".into());
        }
        cautions
    }

    /// From the side, the head to the left.
    pub(super) fn scene(&self) -> Scene {
        let mut scene = blank_scene("from the side", Point::ORIGIN, "under the head, on the axis");
        let [head, high, long, threaded, thread] =
            [self.head, self.high, self.long, self.threaded, self.thread.major].map(Length::as_mm);
        let shoulder = (self.shoulder.0 + self.shoulder.1).half().as_mm();
        let (core, wide) = self.relief();
        scene.outline.extend(box_lines(-high, -head / 2.0, 0.0, head / 2.0));
        scene.outline.extend(box_lines(0.0, -shoulder / 2.0, long, shoulder / 2.0));
        let (neck, end) = (long + wide.as_mm(), long + threaded);
        scene.outline.extend(box_lines(long, -core.as_mm() / 2.0, neck, core.as_mm() / 2.0));
        scene.outline.extend(box_lines(neck, -thread / 2.0, end, thread / 2.0));
        scene.centre_lines.push(Segment::line(Point::new(-high - 3.0, 0.0), Point::new(end + 3.0, 0.0)));
        let mut across = |from: f64, to: f64, text: String, figure: &str| {
            let below = -head / 2.0;
            scene.dimensions.push(dimension((from, below), (to, below), Runs::Across, text, figure));
        };
        across(0.0, long, mm(self.long), "length under the head");
        across(long, end, mm(self.threaded), "thread");
        across(-high, 0.0, mm(self.high), "head");
        scene.notes.push(note(
            (long / 2.0, shoulder / 2.0),
            format!("⌀ {}", self.shown()),
            "shoulder diameter",
        ));
        scene.notes.push(note(
            (end - threaded / 4.0, thread / 2.0),
            self.thread.designation.clone(),
            "thread",
        ));
        scene.notes.push(note((-high / 2.0, head / 2.0), format!("⌀ {}", mm(self.head)), "head"));
        scene
    }
}
