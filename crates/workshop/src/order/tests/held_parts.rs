//! Turned parts that ask for more than a chuck.

/// A thin bush with a flange, its bore and its barrel both fits, an oil hole across.
pub(super) const TUBE: &str = r#"
part = "Thin bush"
unit = "mm"
material = "brass"
[body]
kind = "turned"
[[feature]]
name = "flange"
kind = "section"
diameter = "30"
length = "8"
[[feature]]
name = "barrel"
kind = "section"
diameter = "20"
length = "30"
[[feature]]
name = "through bore"
kind = "hole"
face = "right"
finish = "bored"
diameter = "17.5"
[[feature]]
name = "oil hole"
kind = "hole"
face = "top"
diameter = "2"
place = ["10 left of right end"]
[[mate]]
name = "shaft"
in = "through bore"
size = "17.5"
fit = "running"
[[mate]]
name = "housing"
in = "barrel"
size = "20"
fit = "press"
"#;

/// A spindle with a journal at either end of a collar: two fits on one axis.
pub(super) const ROLLER: &str = r#"
part = "Roller"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "left journal"
kind = "section"
diameter = "9"
length = "15"
[[feature]]
name = "body"
kind = "section"
diameter = "14"
length = "20"
[[feature]]
name = "right journal"
kind = "section"
diameter = "9"
length = "20"
[[mate]]
name = "left bearing"
in = "left journal"
size = "9"
fit = "sliding"
[[mate]]
name = "right bearing"
in = "right journal"
size = "9"
fit = "sliding"
"#;

/// A ring too short for any jaw, with a reamed bore.
pub(super) const WASHER: &str = r#"
part = "Thick washer"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "rim"
kind = "section"
diameter = "40"
length = "5"
[[feature]]
name = "eye"
kind = "hole"
face = "right"
finish = "reamed"
diameter = "10"
"#;

/// A rim too short for jaws, with a spigot beyond it.
pub(super) const RIMMED: &str = r#"
part = "Rimmed eye"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "spigot"
kind = "section"
diameter = "20"
length = "4"
[[feature]]
name = "rim"
kind = "section"
diameter = "40"
length = "5"
[[feature]]
name = "eye"
kind = "hole"
face = "right"
finish = "reamed"
diameter = "10"
"#;

/// A long spindle with a small hole and a bored seat in its end.
pub(super) const LONG: &str = r#"
part = "Long spindle"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "head"
kind = "section"
diameter = "20"
length = "10"
[[feature]]
name = "shank"
kind = "section"
diameter = "12"
length = "80"
[[feature]]
name = "eye"
kind = "hole"
face = "right"
diameter = "3"
depth = "12"
[[feature]]
name = "seat"
kind = "recess"
face = "right"
diameter = "6"
depth = "4"
"#;

/// A flanged bush whose bore the drawing shows from the flange: bore and barrel fit.
pub(super) const BUSH: &str = r#"
part = "Flanged bush"
unit = "mm"
material = "brass"
[body]
kind = "turned"
[[feature]]
name = "flange"
kind = "section"
diameter = "22"
length = "3"
[[feature]]
name = "barrel"
kind = "section"
diameter = "14"
length = "20"
[[feature]]
name = "bore"
kind = "hole"
face = "left"
finish = "reamed"
diameter = "8"
[[mate]]
name = "spindle"
in = "bore"
size = "8"
fit = "sliding"
[[mate]]
name = "bracket"
in = "barrel"
size = "14"
fit = "press"
"#;

/// A spindle ten times as long as it is thick, running in something along its shank.
pub(super) const LONG_FIT: &str = r#"
part = "Long spindle that fits"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "head"
kind = "section"
diameter = "16"
length = "10"
[[feature]]
name = "shank"
kind = "section"
diameter = "8"
length = "60"
[[feature]]
name = "tail"
kind = "section"
diameter = "6"
length = "10"
[[mate]]
name = "guide"
in = "shank"
size = "8"
fit = "running"
"#;

/// A shaft of 16 by 120 whose two journals slide in their bearings.
pub(super) const JOURNALS: &str = r#"
part = "Shaft"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "left journal"
kind = "section"
diameter = "10"
length = "20"
[[feature]]
name = "body"
kind = "section"
diameter = "16"
length = "70"
[[feature]]
name = "right journal"
kind = "section"
diameter = "10"
length = "30"
[[mate]]
name = "left bearing"
in = "left journal"
size = "10"
fit = "sliding"
[[mate]]
name = "right bearing"
in = "right journal"
size = "10"
fit = "sliding"
"#;

/// A sleeve with a collar: a reamed hole of more than half its width, and an outside held closely.
pub(super) const SLEEVE: &str = r#"
part = "Sleeve"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "collar"
kind = "section"
diameter = "24"
length = "6"
[[feature]]
name = "barrel"
kind = "section"
diameter = { is = "14", within = "0.01" }
length = "20"
[[feature]]
name = "eye"
kind = "hole"
face = "right"
finish = "reamed"
diameter = "8"
"#;
