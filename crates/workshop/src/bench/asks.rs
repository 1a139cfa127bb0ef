//! What the bench page asks, in the words of the trade: one list for each machine
//! and rack. A new key of the bench file is one row here.

/// What a field asks.
#[derive(Clone, Copy, Debug)]
pub struct Ask {
    /// Its key.
    pub key: &'static str,
    /// As the trade says it.
    pub label: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// What it may look like.
    pub such_as: &'static str,
}

/// What a field takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// Any words.
    Words,
    /// A length with its unit.
    Length,
    /// A whole number.
    Count,
    /// Spindle speeds.
    Speeds,
    /// Teeth of change wheels.
    Wheels,
    /// The pitch of a thread, or several.
    Pitches,
    /// Lengths of pieces in the rack.
    Pieces,
    /// An angle.
    Angle,
    /// What a motor gives.
    Power,
    /// One word of a few.
    One(&'static [&'static str]),
    /// A material.
    Material,
    /// A class of fit, such as `h8`.
    Class,
    /// Sizes and ranges of sizes.
    Sizes,
    /// One entry of the list of a rack.
    Item(Rack),
}

/// Where tools and bars are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rack {
    /// Twist drills.
    Drills,
    /// Reamers.
    Reamers,
    /// Taps, and dies of the same threads.
    Taps,
    /// Dies, where they are not those of the taps.
    Dies,
    /// Collets.
    Collets,
    /// Chucks, faceplate, centres and steadies.
    WorkHolding,
    /// Mandrels.
    Mandrels,
    /// Instruments and gauges.
    Instruments,
    /// End mills and slot drills.
    EndMills,
    /// Slitting saws.
    Saws,
    /// Bars and flats.
    Stock,
    /// Not owned, but the person would buy it.
    WouldBuy,
    /// Aids of earlier jobs.
    Aids,
}

pub(super) const fn ask(key: &'static str, label: &'static str, takes: Takes, such_as: &'static str) -> Ask {
    Ask { key, label, takes, such_as }
}

use Takes::{
    Angle, Class, Count, Length, Material, One, Pieces, Pitches, Power, Sizes, Speeds, Wheels, Words,
};

/// What stands above the headings.
pub(super) const HEAD: &[Ask] = &[
    ask("name", "name of the bench", Words, "The boathouse bench"),
    ask("edge_finder", "edge finder, across its tip", Length, "10 mm"),
    ask("saw_cut", "what the saw for blanks takes away", Length, "1.5 mm"),
];

/// Every machine: heading, title, and what is asked of it.
pub(super) const MACHINES: &[(&str, &str, &[Ask])] = &[
    (
        "mill",
        "Milling machine",
        &[
            ask("travel_x", "travel along the table", Length, "320 mm"),
            ask("travel_y", "travel across", Length, "145 mm"),
            ask("travel_z", "travel up and down", Length, "230 mm"),
            ask("column", "spindle to column", Length, "170 mm"),
            ask("vice_width", "vice: width of its jaws", Length, "100 mm"),
            ask("vice_depth", "vice: depth of its jaws", Length, "30 mm"),
            ask("speeds", "spindle speeds, turns a minute", Speeds, "90 180 340 600 1000"),
            ask("power", "motor, what it gives", Power, "0.6 kW"),
            ask("readout_step", "readout: smallest step", Length, "0.005 mm"),
            ask("handwheel_pitch", "no readout: travel for one turn of the handwheel", Length, "2.5 mm"),
            ask("handwheel_divisions", "no readout: divisions on the dial", Count, "125"),
            ask("backlash", "no readout: backlash", Length, "0.2 mm"),
            ask("depth_by", "depths not on a readout: set by", One(&["quill", "knee", "head"]), ""),
            ask("depth_pitch", "depth for one turn of that handwheel", Length, "2 mm"),
            ask("depth_divisions", "divisions on its dial", Count, "100"),
        ],
    ),
    (
        "drill_press",
        "Drill press",
        &[
            ask("speeds", "spindle speeds, turns a minute", Speeds, "500 850 1300 1900 2600"),
            ask("travel", "the quill comes down", Length, "50 mm"),
            ask("throat", "spindle to column", Length, "100 mm"),
        ],
    ),
    (
        "lathe",
        "Lathe",
        &[
            ask("swing", "swing over the bed", Length, "180 mm"),
            ask("between_centres", "between centres", Length, "350 mm"),
            ask("speeds", "spindle speeds, turns a minute", Speeds, "60 110 190 320 560"),
            ask("dial_step", "cross slide: one division", Length, "0.02 mm"),
            ask("dial_reads", "cross slide dial reads", One(&["diameter", "radius"]), ""),
            ask("leadscrew", "leadscrew, pitch", Pitches, "3 mm or 8 tpi"),
            ask("change_wheels", "change wheels, teeth of each", Wheels, "20 25 30 35 40 40 45 50 60"),
            ask("gearbox", "gearbox, pitches it gives", Pitches, "0.5 mm, 1 mm"),
            ask("top_slide", "top slide, travel", Length, "60 mm"),
            ask("set_over", "tailstock, how far it goes over", Length, "10 mm"),
            ask("tailstock_pitch", "tailstock: travel for one turn of its handwheel", Length, "2.5 mm"),
            ask("tailstock_divisions", "tailstock: divisions on that handwheel", Count, "50"),
            ask("power", "motor, what it gives", Power, "0.4 kW"),
        ],
    ),
    (
        "rotary_table",
        "Rotary table",
        &[
            ask("ratio", "turns of the handle for one of the table", Count, "72"),
            ask("reads", "smallest mark", Angle, "1'"),
            ask("scale_grows", "its reading grows turning", One(&["clockwise", "anticlockwise"]), ""),
            ask("bore", "centre bore", Length, "20 mm"),
        ],
    ),
    (
        "boring_head",
        "Boring head",
        &[ask("least", "smallest hole", Length, "10 mm"), ask("most", "largest hole", Length, "75 mm")],
    ),
];

const END_MILL: &[Ask] = &[
    ask("diameter", "across", Length, "6 mm"),
    ask("flute", "cutting edges, length", Length, "13 mm"),
    ask("teeth", "teeth", Count, "4"),
    ask("stick_out", "collet to its end", Length, "21 mm"),
    ask("shank", "shank, across", Length, "6 mm"),
];
const SAW: &[Ask] = &[
    ask("diameter", "across", Length, "63 mm"),
    ask("width", "width of cut", Length, "0.8 mm"),
    ask("collar", "collar, across", Length, "25 mm"),
    ask("teeth", "teeth", Count, "64"),
];
const STOCK: &[Ask] = &[
    ask("material", "material", Material, "mild steel"),
    ask("flat", "flats, thicknesses", Sizes, "3 mm, 5 mm"),
    ask("width", "width of the flats", Length, "50 mm"),
    ask("round", "rounds", Sizes, "6 mm, 8 mm"),
    ask("square", "squares", Sizes, "10 mm, 12 mm"),
    ask("hexagon", "hexagons, across flats", Sizes, "8 mm, 10 mm"),
    ask("class", "held to", Class, "h8"),
    ask("surface", "black or bright", One(&["bright", "black"]), ""),
    ask("pieces", "lengths in the rack; of plate, length x width", Pieces, "300 mm, 500 mm"),
];

impl Rack {
    /// Every rack, in the order of the page.
    pub const ALL: [Self; 13] = [
        Self::Drills,
        Self::Reamers,
        Self::Taps,
        Self::Dies,
        Self::Collets,
        Self::WorkHolding,
        Self::Mandrels,
        Self::Instruments,
        Self::EndMills,
        Self::Saws,
        Self::Stock,
        Self::WouldBuy,
        Self::Aids,
    ];

    /// Its key in the file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Drills => "drills",
            Self::Reamers => "reamers",
            Self::Taps => "taps",
            Self::Dies => "dies",
            Self::Collets => "collets",
            Self::WorkHolding => "work_holding",
            Self::Mandrels => "mandrels",
            Self::Instruments => "instruments",
            Self::EndMills => "end_mill",
            Self::Saws => "saw",
            Self::Stock => "stock",
            Self::WouldBuy => "would_buy",
            Self::Aids => "aids",
        }
    }

    /// What it is called.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Drills => "Drills",
            Self::Reamers => "Reamers",
            Self::Taps => "Taps and dies",
            Self::Dies => "Dies, where not every tap has its own",
            Self::Collets => "Collets",
            Self::WorkHolding => "Chucks, centres and steadies of the lathe",
            Self::Mandrels => "Mandrels, by the bore they fit",
            Self::Instruments => "To measure with",
            Self::EndMills => "End mills and slot drills",
            Self::Saws => "Slitting saws",
            Self::Stock => "Bars and flats",
            Self::WouldBuy => "Would buy",
            Self::Aids => "Aids in the drawer",
        }
    }

    /// What one more of it may look like.
    pub const fn such_as(self) -> &'static str {
        match self {
            Self::Drills => "6.5 mm, No. 43 or 1 mm to 6 mm by 0.1 mm",
            Self::Reamers => "8 mm H7",
            Self::Taps | Self::Dies => "M4, 7 BA or 1/4 x 40 ME",
            Self::Collets => "6 mm",
            Self::WorkHolding => "four-jaw chuck",
            Self::Mandrels => "8 mm",
            Self::Instruments => "micrometer 0 to 25 mm by 0.01 mm",
            Self::WouldBuy => "reamer 9.5 mm H7",
            Self::Aids => "drill bush 10 mm for 5 mm, 7.5 mm long",
            Self::EndMills | Self::Saws | Self::Stock => "",
        }
    }

    /// What is asked of each table; nothing of a rack that is a list.
    pub const fn asks(self) -> &'static [Ask] {
        match self {
            Self::EndMills => END_MILL,
            Self::Saws => SAW,
            Self::Stock => STOCK,
            Self::Drills
            | Self::Reamers
            | Self::Taps
            | Self::Dies
            | Self::Collets
            | Self::WorkHolding
            | Self::Mandrels
            | Self::Instruments
            | Self::WouldBuy
            | Self::Aids => &[],
        }
    }
}
