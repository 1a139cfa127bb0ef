use proptest::prelude::*;

use super::*;
use crate::measure::{Length, Unit, Written, read_length};

/// A camera: from millimetres of the part to pixels, written here by itself.
#[derive(Clone, Copy, Debug)]
struct Camera {
    px_per_mm: f64,
    turned_rad: f64,
    stretch: f64,
    skew: f64,
    keystone: [f64; 2],
}

const FLAT: Camera =
    Camera { px_per_mm: 8.0, turned_rad: 0.05, stretch: 1.0, skew: 0.0, keystone: [0.0, 0.0] };

impl Camera {
    fn sees(self, x: f64, y: f64) -> Pixel {
        let (x, y) = (x * self.stretch + self.skew * y, y);
        let (s, c) = self.turned_rad.sin_cos();
        let (x, y) = (c * x - s * y, s * x + c * y);
        let w = 1.0 + self.keystone[0] * x + self.keystone[1] * y;
        Pixel { x_px: 900.0 + self.px_per_mm * x / w, y_px: 700.0 - self.px_per_mm * y / w }
    }

    fn known(self, text: &str, way: Way, from: (f64, f64), to: (f64, f64)) -> Known {
        let written: Written = read_length(text, Some(Unit::Mm)).unwrap();
        Known { written, way, from: self.sees(from.0, from.1), to: self.sees(to.0, to.1), line: 1 }
    }

    /// A sheet with a 60 by 40 rectangle whose four sides are known.
    fn four(self) -> Vec<Known> {
        vec![
            self.known("60", Way::Across, (0.0, 0.0), (60.0, 0.0)),
            self.known("40", Way::Up, (0.0, 0.0), (0.0, 40.0)),
            self.known("60", Way::Across, (0.0, 40.0), (60.0, 40.0)),
            self.known("40", Way::Up, (60.0, 0.0), (60.0, 40.0)),
        ]
    }
}

/// The greatest miss over the sheet, with its datum brought to nought.
fn worst_mm(camera: Camera, laid: &Laid) -> f64 {
    let laid = laid.clone().onto(&[(camera.sees(0.0, 0.0), Point::ORIGIN)]);
    let mut worst = 0.0_f64;
    for x in [0.0, 17.0, 60.0] {
        for y in [0.0, 23.0, 40.0] {
            worst = worst.max(laid.place(camera.sees(x, y)).distance_mm(Point::new(x, y)));
        }
    }
    worst
}

#[test]
fn one_dimension_scales_and_turns_two_square_and_four_take_out_the_keystone() {
    let (one, doubts) = fit(&FLAT.four()[..1]).unwrap();
    assert_eq!((one.form, doubts.len()), (Form::Turned, 0));
    assert!(worst_mm(FLAT, &one) < 1e-9);

    let skewed = Camera { stretch: 1.03, skew: 0.04, ..FLAT };
    let (two, _) = fit(&skewed.four()[..2]).unwrap();
    assert_eq!(two.form, Form::Squared);
    assert!(worst_mm(skewed, &two) < 1e-9);

    let photograph = Camera { keystone: [0.0015, -0.001], ..skewed };
    let (four, _) = fit(&photograph.four()).unwrap();
    assert_eq!(four.form, Form::Keystone);
    assert!(worst_mm(photograph, &four) < 1e-6, "{}", worst_mm(photograph, &four));
}

#[test]
fn a_dimension_in_no_known_direction_lays_nothing() {
    let slanting = FLAT.known("72.11", Way::Straight, (0.0, 0.0), (60.0, 40.0));
    let problems = fit(&[slanting]).unwrap_err();
    assert!(problems[0].what().contains("how the paper lies"), "{}", problems[0]);
    assert!(fit(&[]).is_err());
}

#[test]
fn a_known_dimension_with_a_slip_is_named_and_left_out() {
    let mut known = FLAT.four();
    known.push(FLAT.known("72.111", Way::Straight, (0.0, 0.0), (60.0, 40.0)));
    for slipped in 0..known.len() {
        let mut wrong = known.clone();
        let text = wrong[slipped].written.text.clone();
        wrong[slipped].written =
            read_length(&format!("{}", text.parse::<f64>().unwrap() * 0.7), Some(Unit::Mm)).unwrap();
        let (laid, doubts) = fit(&wrong).unwrap();
        assert_eq!((laid.left_out.as_slice(), doubts.len()), (&[slipped][..], 1), "{slipped}");
        // 72.111 is typed to a thousandth.
        assert!(worst_mm(FLAT, &laid) < 1e-3);
    }
}

#[test]
fn two_dimensions_that_stretch_the_paper_are_both_doubted() {
    let mut known = FLAT.four()[..2].to_vec();
    known[1].written = read_length("30", Some(Unit::Mm)).unwrap(); // 40 on the sheet
    let problems = fit(&known).unwrap_err();
    assert_eq!(problems.len(), 2, "{problems:#?}");
}

proptest! {
    #[test]
    fn a_place_and_its_pixel_lead_to_each_other(
        turned_rad in -3.0..3.0_f64, px_per_mm in 2.0..30.0_f64, stretch in 0.95..1.05_f64,
        skew in -0.05..0.05_f64, kx in -0.001..0.001_f64, ky in -0.001..0.001_f64,
        x in -10.0..70.0_f64, y in -10.0..50.0_f64,
    ) {
        let camera = Camera { px_per_mm, turned_rad, stretch, skew, keystone: [kx, ky] };
        let (laid, _) = fit(&camera.four()).unwrap();
        let laid = laid.onto(&[(camera.sees(0.0, 0.0), Point::ORIGIN)]);
        let place = Point::new(x, y);
        prop_assert!(laid.place(laid.pixel(place)).distance_mm(place) < 1e-9);
    }

    /// Pointing that is out by a pixel or two moves the whole by no more than that.
    #[test]
    fn pointing_a_little_off_lays_the_paper_a_little_off(
        off in prop::collection::vec(-1.5..1.5_f64, 16), turned_rad in -0.3..0.3_f64,
    ) {
        let camera = Camera { turned_rad, ..FLAT };
        let mut known = camera.four();
        for (one, by) in known.iter_mut().zip(off.chunks(4)) {
            one.from.x_px += by[0];
            one.from.y_px += by[1];
            one.to.x_px += by[2];
            one.to.y_px += by[3];
        }
        let (laid, doubts) = fit(&known).unwrap();
        prop_assert!(doubts.is_empty());
        // Four dimensions of 1.5 pixels at most, eight pixels to the millimetre.
        prop_assert!(worst_mm(camera, &laid) < 1.2, "{}", worst_mm(camera, &laid));
    }
}

#[test]
fn paper_is_brought_to_the_datum_by_the_middle_of_the_differences() {
    let (laid, _) = fit(&FLAT.four()).unwrap();
    let at = |x: f64, y: f64| (FLAT.sees(x, y), Point::new(x, y));
    // One of five is placed wrongly by 8 mm: it moves nothing.
    let wrong = (FLAT.sees(30.0, 10.0), Point::new(38.0, 10.0));
    let laid = laid.onto(&[at(0.0, 0.0), at(60.0, 0.0), wrong, at(20.0, 20.0), at(5.0, 30.0)]);
    assert!(laid.place(FLAT.sees(60.0, 40.0)).distance_mm(Point::new(60.0, 40.0)) < 1e-9);
    assert_eq!(Length::nearest(laid.place(FLAT.sees(30.0, 10.0)).x_mm), Length::mm(30));
}
