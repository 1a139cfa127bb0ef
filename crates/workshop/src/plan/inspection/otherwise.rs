//! Sizes that no instrument is laid on as they are: by an angle, over plugs and pins, by a gauge, by the
//! tool that makes them.

use super::*;

impl Rows<'_> {
    /// A radius: by its gauge, over a plug in the bore at its middle, or by a template.
    pub(super) fn radius(&mut self, id: DimensionId, asked: Asked) {
        let owned = self.job.bench.gauges("radius gauges");
        if !owned.iter().any(|gauge| (asked.limits.least..=asked.limits.greatest).contains(gauge))
            && let Some((bore, plug)) = places::bore_of(self.job, id)
        {
            let over = asked.size + plug.half();
            let why = geometry(format!("the radius and half of the plug in {bore}, {}", mm(plug.half())));
            let how = format!("from the far side of a plug in {bore} to the outside, at three places round");
            let limits = asked.limits.moved(plug.half());
            let plug = self.plug(plug);
            self.over(Asked { limits, how, why: why.because(asked.why.clone()), ..asked }, over, &plug);
            return;
        }
        self.gauged(asked, "a button or template turned to it, held against the light");
    }

    /// The protractor that shows the least, where one is owned.
    pub(super) fn protractor(&self) -> Option<Protractor> {
        self.job.bench.protractor().map(|(step, vernier)| Protractor { step, vernier })
    }

    /// An angle, by a protractor.
    pub(super) fn at_angle(&mut self, asked: &Asked, angle: Angle, found: &protractor::Reading) {
        let words = match found.told {
            true => found.words(),
            false => format!("{}; a sine bar would", found.words()),
        };
        let why = found.why.clone().because(asked.why.clone());
        self.push(asked, "protractor".into(), words, why, found.told);
        if let Some(row) = self.rows.last_mut() {
            row.size.shown = angle.degrees_minutes();
        }
    }

    /// What is read over plugs, or to the far side of them; the size itself stands beside it.
    pub(super) fn over(&mut self, asked: Asked, reading: Length, plugs: &str) {
        let at = self.rows.len();
        self.over_nothing(asked, reading);
        if let Some(row) = self.rows.get_mut(at) {
            row.with = format!("{plugs}; {}", row.with);
        }
    }

    /// A size inside that is read with so much more, a bore or a width, which is taken off again.
    pub(super) fn less(&mut self, more: Length, asked: Asked) {
        let (limits, reading) = (asked.limits.moved(more), asked.size + more);
        self.over_nothing(Asked { limits, ..asked }, reading);
    }

    /// The same where nothing is put in between.
    pub(super) fn over_nothing(&mut self, asked: Asked, reading: Length) {
        self.over_nothing_among(|_| true, asked, reading);
    }

    pub(super) fn over_nothing_among(&mut self, among: Among, asked: Asked, reading: Length) {
        let (at, size) = (self.rows.len(), asked.size);
        self.measured_among(among, Asked { size: reading, ..asked });
        if let Some(row) = self.rows.get_mut(at) {
            row.size.shown = mm(size);
        }
    }

    /// A radius by its gauge, else by what makes it.
    pub(super) fn gauged(&mut self, asked: Asked, else_by: &str) {
        let owned = self.job.bench.gauges("radius gauges").into_iter();
        let fits = owned.filter(|gauge| (asked.limits.least..=asked.limits.greatest).contains(gauge));
        match fits.min_by_key(|gauge| gauge.gap(asked.size)) {
            Some(gauge) => {
                let words = format!("gauge {} shows no light", mm(gauge));
                let why =
                    practice("light under the ends: the work is too large; under the middle: too small");
                let why = why.because(asked.why.clone());
                self.push(&asked, "radius gauges".into(), words, why, true);
            }
            None => {
                let would = format!("a radius gauge of {}", mm(asked.size));
                self.by_tool(asked, else_by, &would);
            }
        }
    }

    /// A saw cut by a leaf of its width.
    pub(super) fn leaf(&mut self, asked: Asked) {
        let leaves = self.job.bench.gauges("feeler gauges");
        let goes = leaves.iter().copied().filter(|leaf| *leaf >= asked.limits.least).min();
        let stays_out = leaves.iter().copied().filter(|leaf| *leaf <= asked.limits.greatest).max();
        match (goes, stays_out) {
            (Some(goes), Some(stays)) if goes < stays => {
                let words = format!("{} goes in, {} does not", mm(goes), mm(stays));
                let why = practice("leaves by themselves, clean and flat").because(asked.why.clone());
                self.push(&asked, "feeler gauges".into(), words, why, true);
            }
            _ => {
                let would = format!("feeler gauges either side of {}", mm(asked.size));
                self.by_tool(asked, "the saw itself is the gauge", &would);
            }
        }
    }

    /// A row with the points of a caliper's jaws, where no flat anvil comes at it; else by its tool.
    pub(super) fn by_points(&mut self, asked: Asked, reading: Length, else_by: &str) {
        let points: Among = |one| one.kind.name == "caliper";
        match self.bench.best_among(points, asked.across, reading, asked.limits) {
            Some(_) => self.over_nothing_among(points, asked, reading),
            None => self.by_tool(asked, else_by, "the points of a caliper"),
        }
    }

    /// A size that nothing owned measures, that its tool or its mate tells, and what would.
    pub(super) fn by_tool(&mut self, asked: Asked, how: &str, would: &str) {
        let why = practice(format!("not measured: {how}")).because(asked.why.clone());
        let asked = Asked { how: how.to_owned(), ..asked };
        self.push(&asked, "–".into(), format!("not measured; {would} would"), why, false);
    }

    /// How much metal a hole right through goes through.
    pub(super) fn through(&self, id: FeatureId) -> Length {
        let part = self.job.part;
        if let Some(along) = part.section_of(id).zip(part.at(id, Axis::X)) {
            return part.diameter_at(along.0, along.1).unwrap_or_else(|| part.thickness());
        }
        part.chord(id).map_or_else(|| part.thickness_at(id), |(first, last)| last - first)
    }

    /// A plug of a size: a pin that is owned, drawn rod of that size, or one turned to fit.
    pub(super) fn plug(&self, size: Length) -> String {
        if self.job.bench.gauges("plug pins").contains(&size) {
            return format!("pin {}", mm(size));
        }
        let rod = self
            .job
            .bench
            .stock
            .iter()
            .find(|stock| stock.class.is_some() && stock.section == Section::Round { diameter: size });
        match rod {
            Some(stock) => format!("{} of {}", mm(size), stock.material),
            None => format!("plug turned to fit, {}", mm(size)),
        }
    }
}
