//! What stands on a leader: `4 × ⌀3.3 through`, `M3 × 8 deep`, `knurl, 1 pitch`.

use super::{Letters, angle_words};
use crate::drawing::{Depth, Face, FeatureId, Finish, Kind, Pattern, SectionSize, Sweep};

/// The words of a feature and the dimension or thread they show; none for what is
/// told by its dimensions alone, and for all holes of a pattern but the first.
pub(super) fn note(letters: &Letters, id: FeatureId) -> Option<(String, Option<String>)> {
    let part = letters.part;
    let size = |id| letters.dimension(id);
    // A drill is called by its number or letter, with no sign before it.
    let round = |id| match letters.dimension(id) {
        text if text.starts_with(|c: char| c.is_ascii_alphabetic()) => text,
        text => format!("⌀{text}"),
    };
    let holes = pattern(letters, id);
    if holes.is_some_and(|holes| holes[0] != id) {
        return None;
    }
    let feature = part.feature(id);
    let thread_name = |id: crate::drawing::ThreadId| Some(part.drawing.threads[id.0].name.clone());
    let (text, figure) = match &feature.kind {
        Kind::Hole { diameter, finish, depth, clears } => {
            let how = match finish {
                Finish::Drilled => "",
                Finish::Reamed => " ream",
                Finish::Bored => " bore",
            };
            let clears = clears.map_or(String::new(), |id| format!(", clears {}", letters.thread(id)));
            let text = format!("{}{how}{}{clears}", round(*diameter), deep(letters, *depth));
            (text, letters.name(*diameter))
        }
        Kind::Tapped { thread, depth } => {
            (format!("{}{}", letters.thread(*thread), deep(letters, *depth)), thread_name(*thread))
        }
        Kind::ClampScrew { thread, clearance, .. } => {
            let text = format!("{} to the slit, {} beyond", round(*clearance), letters.thread(*thread));
            (text, thread_name(*thread))
        }
        Kind::Slit { width, .. } => (format!("slit {}", size(*width)), letters.name(*width)),
        Kind::Slot { width, depth, centres, open, .. } => {
            let words: Vec<&str> = open.iter().map(|side| side.word()).collect();
            let (open, long) = match words[..] {
                [] => (String::new(), String::new()),
                _ => (
                    format!(", open {}", words.join(" and ")),
                    centres.map(|long| format!(" × {}", size(long))).unwrap_or_default(),
                ),
            };
            let deep = deep(letters, *depth);
            (format!("slot {} wide{long}{deep}{open}", size(*width)), letters.name(*width))
        }
        Kind::Keyway { width, depth, .. } => {
            (format!("keyway {} × {} deep", size(*width), size(*depth)), letters.name(*width))
        }
        Kind::CurvedSlot { width, radius, reach, depth } => {
            let reach = match *reach {
                Sweep::Between { from, to } => format!("{} to {}", angle_words(from), angle_words(to)),
                Sweep::Across { middle, centres } => {
                    format!("ends {} apart about {}", size(centres), angle_words(middle))
                }
            };
            let deep = deep(letters, *depth);
            let reach = reach.replace('-', "−");
            let text = format!("slot {} wide on R {}, {reach}{deep}", size(*width), size(*radius));
            (text, letters.name(*width))
        }
        Kind::Counterbore { diameter, depth, .. } => {
            (format!("c’bore {} × {} deep", round(*diameter), size(*depth)), letters.name(*diameter))
        }
        Kind::Countersink { diameter, angle, .. } => {
            let degrees = angle_words(*angle);
            (format!("c’sink {} × {degrees}", round(*diameter)), letters.name(*diameter))
        }
        Kind::TaperPin { pin, depth } => {
            (format!("taper pin {}{}", size(*pin), deep(letters, *depth)), letters.name(*pin))
        }
        Kind::Pocket { corner, depth, .. } => {
            (format!("pocket, corners R{}{}", size(*corner), deep(letters, *depth)), letters.name(*corner))
        }
        Kind::Square { across, depth, .. } => {
            (format!("square {}{}", size(*across), deep(letters, *depth)), letters.name(*across))
        }
        Kind::Flatted { diameter, across, depth, .. } => {
            let text =
                format!("{}, {} over the flat{}", round(*diameter), size(*across), deep(letters, *depth));
            (text, letters.name(*diameter))
        }
        Kind::PitchCircle { diameter, holes, .. } => {
            (format!("{} on {}", holes.len(), round(*diameter)), letters.name(*diameter))
        }
        Kind::Section { size: of, .. } => match of {
            SectionSize::Plain(id) => (round(*id), letters.name(*id)),
            SectionSize::Threaded(id) => (letters.thread(*id), thread_name(*id)),
            SectionSize::Taper { left, right } => {
                (format!("taper {} to {}", round(*left), round(*right)), letters.name(*left))
            }
            SectionSize::AsBar { across, sides } => {
                let word = if *sides == 4 { "square" } else { "hexagon" };
                (format!("{word} {} across flats", size(*across)), letters.name(*across))
            }
        },
        Kind::Groove { diameter, .. } => (format!("groove to {}", round(*diameter)), letters.name(*diameter)),
        Kind::Knurl { pitch, pattern, .. } => {
            let word = match pattern {
                Pattern::Straight => "straight",
                Pattern::Diamond => "diamond",
            };
            (format!("{word} knurl, pitch {}", size(*pitch)), letters.name(*pitch))
        }
        Kind::Flats { across, count, .. } => {
            let text = match count {
                1 => format!("flat, {} over it", size(*across)),
                count => format!("{count} flats, {} across", size(*across)),
            };
            (text, letters.name(*across))
        }
        Kind::Recess { diameter, hub, depth } => {
            let hub = hub.map_or(String::new(), |hub| format!(", hub {}", round(hub)));
            (format!("recess {}{hub} × {} deep", round(*diameter), size(*depth)), letters.name(*diameter))
        }
        Kind::Chamfer { size: id, .. } => (format!("{} × 45°", size(*id)), letters.name(*id)),
        Kind::Boss { .. } | Kind::Corner { .. } | Kind::Step { .. } | Kind::Row { .. } => return None,
    };
    let count = holes.map_or(1, <[FeatureId]>::len);
    let text = if count > 1 { format!("{count} × {text}") } else { text };
    // A circle in dashes says that it is behind; the words say so too.
    let far = match feature.face {
        Face::Back if !matches!(feature.kind.depth(), None | Some(Depth::Through)) => ", from the back",
        _ => "",
    };
    Some((format!("{text}{far}"), figure))
}

/// The holes of the pattern that a hole belongs to.
fn pattern<'p>(letters: &Letters<'_, 'p>, id: FeatureId) -> Option<&'p [FeatureId]> {
    letters.part.drawing.features.iter().find_map(|f| f.kind.pattern().filter(|holes| holes.contains(&id)))
}

fn deep(letters: &Letters, depth: Depth) -> String {
    match depth {
        Depth::Through => " through".to_owned(),
        Depth::To(id) => format!(" × {} deep", letters.dimension(id)),
    }
}
