//! What is put on a tap, a die or a threading tool.

use super::show::practice;
use crate::tables::materials::{Kind, Material};
use crate::why::Figure;

/// What goes on the thread while it is cut: common practice.
pub fn lubricant(material: &Material) -> Figure {
    let (shown, because) = match material.kind {
        Kind::Steel => ("cutting oil", "steel tears where it is cut dry"),
        Kind::Stainless => ("cutting oil, plenty", "stainless hardens where the tool rubs"),
        Kind::Iron => ("none", "the graphite in cast iron is enough; oil makes its dust a paste"),
        Kind::CopperAlloy if material.name == "phosphor bronze" => {
            ("a little oil", "phosphor bronze grips the tool as it warms")
        }
        Kind::CopperAlloy => ("none", "brass and gunmetal cut clean and dry"),
        Kind::Copper => ("cutting oil", "copper drags and sticks to the edge"),
        Kind::LightAlloy => ("paraffin", "aluminium builds up on the edge where it is cut dry"),
        Kind::Plastic | Kind::Laminate => ("none", "it cuts dry, and oil may swell or stain it"),
    };
    Figure::new("on the thread", shown, practice(because))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::materials::find;

    /// What workshop books say, from memory.
    #[test]
    fn metals_get_what_the_books_say() {
        for (material, shown) in [
            ("mild steel", "cutting oil"),
            ("brass", "none"),
            ("cast iron", "none"),
            ("aluminium", "paraffin"),
            ("PB1", "a little oil"),
        ] {
            assert_eq!(lubricant(find(material).unwrap()).shown, shown, "{material}");
        }
    }
}
