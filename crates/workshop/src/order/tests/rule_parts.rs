//! Parts on which the rules are tried, each for what it asks of one or two of them.

pub(super) const PLATE: &str = r#"
part = "Plate"
unit = "mm"
make = 2
[body]
kind = "rectangle"
width = "60"
height = "40"
thickness = "9.2"
[[feature]]
name = "bolt hole"
kind = "hole"
diameter = "5"
place = ["20 right of datum", "20 above datum"]
[[feature]]
name = "seat"
kind = "counterbore"
diameter = "10"
depth = "4"
over = "bolt hole"
[[feature]]
name = "big bore"
kind = "hole"
finish = "bored"
diameter = "20"
place = ["42 right of datum", "20 above datum"]
"#;

pub(super) const BLOCK: &str = r#"
part = "Block"
unit = "mm"
[body]
kind = "rectangle"
width = "80"
height = "40"
thickness = "12"
[[feature]]
name = "well"
kind = "pocket"
width = "24"
height = "20"
corner = "3"
depth = "5"
place = ["20 right of datum", "20 above datum"]
[[feature]]
name = "drain"
kind = "hole"
diameter = "4"
place = ["concentric with well"]
[[feature]]
name = "key way"
kind = "square hole"
across = "8"
place = ["65 right of datum", "30 above datum"]
[[feature]]
name = "shaft bore"
kind = "hole"
diameter = "8"
finish = "reamed"
place = ["45 right of datum", "20 above datum"]
[[feature]]
name = "shaft pin"
kind = "taper pin hole"
face = "top"
pin = "2 mm"
depth = "30"
place = ["plumb with shaft bore", "mid thickness"]
[[feature]]
name = "sunk"
kind = "countersink"
over = "shaft bore"
diameter = "10"
"#;

pub(super) const THROWN: &str = r#"
part = "Crank"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "left journal"
kind = "section"
diameter = "12"
length = "30"
[[feature]]
name = "left web"
kind = "section"
diameter = "36"
length = "6"
[[feature]]
name = "crank pin"
kind = "section"
diameter = "12"
length = "14"
offset = { is = "9", within = "0.05" }
[[feature]]
name = "right web"
kind = "section"
diameter = "36"
length = "6"
[[feature]]
name = "right journal"
kind = "section"
diameter = "12"
length = "40"
"#;

/// An eccentric whose throw is held nearer than a scroll chuck grips twice.
pub(super) const SET_OVER: &str = r#"
part = "Eccentric"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "sheave"
kind = "section"
diameter = "30"
length = "12"
offset = { is = "3", within = "0.05" }
[[feature]]
name = "shaft"
kind = "section"
diameter = "16"
length = "20"
"#;

/// A crank whose pin stands farther out than its shaft could be set over.
pub(super) const OVERHUNG: &str = r#"
part = "Overhung crank"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "pin"
kind = "section"
diameter = "8"
length = "14"
offset = "11"
[[feature]]
name = "web"
kind = "section"
diameter = "36"
length = "5"
[[feature]]
name = "shaft"
kind = "section"
diameter = "10"
length = "50"
"#;

pub(super) const FILED: &str = r#"
part = "Guide"
unit = "mm"
material = "mild steel"
[body]
kind = "rectangle"
width = "50"
height = "30"
thickness = "6"
[[feature]]
name = "way"
kind = "slot"
width = "8"
centres = "16"
place = ["20 right of datum", "15 above datum"]
[[feature]]
name = "screw hole"
kind = "hole"
diameter = "5"
place = ["42 right of datum", "15 above datum"]
"#;

pub(super) const WALLED: &str = r#"
part = "Body"
unit = "mm"
[body]
kind = "rectangle"
width = "60"
height = "40"
thickness = "12"
[[feature]]
name = "well"
kind = "pocket"
width = "40"
height = "20"
corner = "3"
depth = "8"
place = ["30 right of datum", "28.5 above datum"]
[[feature]]
name = "vent"
kind = "hole"
face = "top"
diameter = "3"
depth = "1.5"
place = ["30 right of datum", "8 in front of back face"]
"#;

pub(super) const SPLIT: &str = r#"
part = "Clip"
unit = "mm"
[body]
kind = "outline"
around = ["a", "b", "c", "d"]
thickness = "6"
[[feature]]
name = "a"
kind = "corner"
place = ["datum"]
[[feature]]
name = "b"
kind = "corner"
place = ["50 right of a", "level with a"]
[[feature]]
name = "c"
kind = "corner"
place = ["plumb with b", "16 above b"]
[[feature]]
name = "d"
kind = "corner"
place = ["plumb with a", "level with c"]
[[feature]]
name = "bore"
kind = "hole"
finish = "reamed"
diameter = "6"
place = ["40 right of a", "8 above a"]
[[feature]]
name = "split"
kind = "slit"
width = "1"
into = "bore"
toward = "right"
"#;

pub(super) const THIN: &str = r#"
part = "Thin"
unit = "mm"
[body]
kind = "rectangle"
width = "80"
height = "45"
thickness = "12"
[[feature]]
name = "well"
kind = "pocket"
width = "24"
height = "20"
corner = "3"
depth = "11"
place = ["20 right of datum", "20 above datum"]
[[feature]]
name = "drain"
kind = "hole"
diameter = "4"
place = ["concentric with well"]
[[feature]]
name = "oil way"
kind = "hole"
face = "top"
diameter = "3"
place = ["75 right of datum", "mid thickness"]
[[feature]]
name = "one"
kind = "hole"
diameter = "8"
finish = "reamed"
place = ["45 right of datum", "20 above datum"]
[[feature]]
name = "two"
kind = "hole"
diameter = "8"
finish = "reamed"
place = [{ is = "20 right of one", role = "hold", within = "0.04" }, "level with one"]
"#;

pub(super) const CRANK: &str = r#"
part = "Bell crank"
unit = "mm"
[body]
kind = "outline"
around = ["pivot", "long", "heel", "short"]
thickness = "6"
[[feature]]
name = "pivot"
kind = "boss"
radius = "9"
place = ["datum"]
[[feature]]
name = "long"
kind = "boss"
radius = "7"
place = ["70 right of pivot", "level with pivot"]
[[feature]]
name = "heel"
kind = "corner"
radius = "6"
place = ["8 right of pivot", "8 above pivot"]
[[feature]]
name = "short"
kind = "boss"
radius = "7"
place = ["plumb with pivot", "60 above pivot"]
[[feature]]
name = "pivot bore"
kind = "hole"
finish = "reamed"
diameter = "8"
place = ["concentric with pivot"]
[[feature]]
name = "long bore"
kind = "hole"
finish = "reamed"
diameter = "6"
place = ["concentric with long"]
[[feature]]
name = "short bore"
kind = "hole"
finish = "reamed"
diameter = "6"
place = ["concentric with short"]
"#;

pub(super) const ANGLE: &str = r#"
part = "Angle"
unit = "mm"
[body]
kind = "outline"
around = ["heel", "toe", "top"]
thickness = "5"
[[feature]]
name = "heel"
kind = "corner"
place = ["datum"]
[[feature]]
name = "toe"
kind = "corner"
radius = "2"
place = ["40 right of heel", "level with heel"]
[[feature]]
name = "top"
kind = "corner"
radius = "6"
place = ["plumb with heel", "30 above heel"]
[[feature]]
name = "rivet"
kind = "hole"
diameter = "3"
place = ["10 right of heel", "8 above heel"]
"#;

/// A foot and a web, the metal between them cut away from the top, with a bolt hole in the foot.
pub(super) const FOOTED: &str = r#"
part = "Footed block"
unit = "mm"
[body]
kind = "rectangle"
width = "60"
height = "50"
thickness = "40"
datum = "bottom left"
[[feature]]
name = "inside"
kind = "step"
face = "top"
leaves = "12"
side = "right"
place = ["15 from left edge"]
[[feature]]
name = "bolt hole"
kind = "hole"
face = "top"
diameter = "6"
place = ["40 from left edge", "mid thickness"]
"#;

pub(super) const BORELESS: &str = r#"
part = "Latch"
unit = "mm"
[body]
kind = "bosses"
around = ["big end", "small end"]
thickness = "6"
[[feature]]
name = "big end"
kind = "boss"
radius = "9"
place = ["datum"]
[[feature]]
name = "small end"
kind = "boss"
radius = "6"
place = ["40 right of big end", "level with big end"]
"#;

pub(super) const BLANK_COVER: &str = r#"
part = "Blank cover"
unit = "mm"
[body]
kind = "disc"
diameter = "40"
thickness = "6"
[[feature]]
name = "pin hole"
kind = "hole"
diameter = "3"
place = ["8 right of datum", "level with datum"]
"#;

/// Two opposite hands of silver steel, hardened.
pub(super) const HARD_PIECES: &str = r#"
part = "Pawl"
unit = "mm"
material = "silver steel"
harden = "straw"
hands = ["right", "left"]
[body]
kind = "rectangle"
width = "40"
height = "20"
thickness = "6"
datum = "bottom left"
[[feature]]
name = "eye"
kind = "hole"
diameter = "5"
place = ["10 right of datum", "8 above datum"]
"#;

pub(super) const LAPPED: &str = r#"
part = "Guide"
unit = "mm"
material = "silver steel"
harden = "straw"
[body]
kind = "rectangle"
width = "40"
height = "20"
thickness = "6"
datum = "bottom left"
[[feature]]
name = "eye"
kind = "hole"
diameter = { is = "5", pin = "5 mm" }
finish = "reamed"
place = ["10 right of datum", "8 above datum"]
"#;

pub(super) const STAYS: &str = r#"
part = "Stub"
unit = "mm"
material = "mild steel"
turned = "where it stays"
[body]
kind = "turned"
[[feature]]
name = "shoulder"
kind = "section"
diameter = "14"
length = "8"
[[feature]]
name = "stub"
kind = "section"
diameter = "8"
length = "5"
"#;

pub(super) const NECKED: &str = r#"
part = "Necked stud"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
length = "50"
[[feature]]
name = "shank"
kind = "section"
diameter = "10"
length = "30"
[[feature]]
name = "screw"
kind = "section"
thread = "M6"
[[feature]]
name = "run-out"
kind = "groove"
diameter = "4.5"
width = "2"
place = ["31 right of left end"]
[[feature]]
name = "centre hole"
kind = "hole"
face = "right"
diameter = "3"
depth = "12"
"#;

pub(super) const CRANKED: &str = r#"
part = "Cranked knob"
unit = "mm"
material = "mild steel"
[body]
kind = "turned"
[[feature]]
name = "plain end"
kind = "section"
diameter = "12"
length = "20"
[[feature]]
name = "head"
kind = "section"
diameter = "24"
length = "14"
[[feature]]
name = "grip"
kind = "knurl"
over = "head"
pitch = "0.8"
pattern = "straight"
[[feature]]
name = "cone"
kind = "section"
diameter = "18"
tapers_to = "12"
length = "15"
[[feature]]
name = "stem"
kind = "section"
diameter = "12"
length = "12"
[[feature]]
name = "screw"
kind = "section"
thread = "M8"
length = "12"
[[feature]]
name = "lead"
kind = "chamfer"
of = "screw"
end = "right"
size = "0.8"
[[feature]]
name = "spanner way"
kind = "flats"
across = "10"
count = 2
length = "6"
place = ["3 right of stem"]
[[feature]]
name = "side hole"
kind = "hole"
face = "right"
diameter = "1"
depth = "3"
place = ["2 above datum"]
"#;

pub(super) const WINDOW: &str = r#"
part = "Window plate"
unit = "mm"
material = "mild steel"
[body]
kind = "rectangle"
width = "90"
height = "70"
thickness = "6"
[[feature]]
name = "window"
kind = "hole"
diameter = "40"
place = ["45 right of datum", "35 above datum"]
[[feature]]
name = "screw hole"
kind = "hole"
diameter = "5"
place = ["10 right of datum", "10 above datum"]
"#;
