//! What can be said of the work: dimensions, balloons, datums, words on leaders.

use super::{Note, Picture, Place, Side};
use crate::dimension::Label;
use crate::ink::Tag;

impl Picture {
    /// Dimensions the distance between two places, across or upwards.
    pub fn dimension(&mut self, from: Place, to: Place, side: Side, label: Label) -> &mut Self {
        self.notes.push(Note::Straight { from, to, side, label });
        self
    }

    /// Dimensions the straight distance between two places, the line on the side
    /// away from a third (the middle of the work, say).
    pub fn dimension_aligned(&mut self, from: Place, to: Place, away_from: Place, label: Label) -> &mut Self {
        self.notes.push(Note::Aligned { from, to, away_from, label });
        self
    }

    /// Dimensions a radius or diameter, its arrow on the arc near a direction.
    pub fn radial(&mut self, centre: Place, radius_mm: f64, direction_rad: f64, label: Label) -> &mut Self {
        self.radial_within(centre, radius_mm, direction_rad, std::f64::consts::PI, label)
    }

    /// The same on an arc that runs only so far either way from that direction.
    pub fn radial_within(
        &mut self,
        centre: Place,
        radius_mm: f64,
        direction_rad: f64,
        half_rad: f64,
        label: Label,
    ) -> &mut Self {
        self.notes.push(Note::Radial { centre, radius_mm, direction_rad, half_rad, label });
        self
    }

    /// Dimensions an angle, anticlockwise from one direction to another.
    pub fn angle(&mut self, apex: Place, from_rad: f64, to_rad: f64, label: Label) -> &mut Self {
        self.notes.push(Note::Angle { apex, from_rad, to_rad, label });
        self
    }

    /// Numbers a place, to match a row of the table.
    pub fn balloon(&mut self, at: Place, key: impl Into<String>, tag: Option<Tag>) -> &mut Self {
        self.balloon_round(at, 0.0, key, tag)
    }

    /// Numbers a round feature; the leader stops at its edge.
    pub fn balloon_round(
        &mut self,
        centre: Place,
        radius_mm: f64,
        key: impl Into<String>,
        tag: Option<Tag>,
    ) -> &mut Self {
        self.notes.push(Note::Balloon { at: centre, rim_mm: radius_mm, key: key.into(), tag });
        self
    }

    /// The same with the letter alone, close by: for so many that rings have no room.
    pub fn key(
        &mut self,
        centre: Place,
        radius_mm: f64,
        key: impl Into<String>,
        tag: Option<Tag>,
    ) -> &mut Self {
        self.notes.push(Note::Key { at: centre, rim_mm: radius_mm, key: key.into(), tag });
        self
    }

    /// Marks a face as a datum; the direction points out of the metal.
    pub fn datum(&mut self, at: Place, outwards_rad: f64, letter: impl Into<String>) -> &mut Self {
        self.notes.push(Note::Datum { at, outwards_rad, letter: letter.into() });
        self
    }

    /// Shows the readout's zero and which way its axes count.
    pub fn axes(&mut self, zero: Place, x_rad: f64, y_rad: f64) -> &mut Self {
        self.notes.push(Note::Axes { zero, x_rad, y_rad });
        self
    }

    /// Shows the place from which distances count, where no axes are set along.
    pub fn zero(&mut self, at: Place) -> &mut Self {
        self.notes.push(Note::Zero { at });
        self
    }

    /// Writes words on the picture, centred on a place: `fixed jaw`.
    pub fn words(&mut self, at: Place, words: impl Into<String>) -> &mut Self {
        self.notes.push(Note::Words { at, words: words.into() });
        self
    }

    /// Says something of a place: a leader with an arrow on it, from wherever near
    /// by there is room for the words.
    pub fn leader(&mut self, at: Place, label: Label) -> &mut Self {
        self.round_note(at, 0.0, label)
    }

    /// Says something of a round thing: the leader stops at its edge, in line with its
    /// middle.
    pub fn round_note(&mut self, at: Place, rim_mm: f64, label: Label) -> &mut Self {
        self.notes.push(Note::Leader { at, rim_mm, label });
        self
    }
}
