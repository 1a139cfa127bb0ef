//! The person's own paper sheet: `GET /images/{image}/squared`, as it lies beneath
//! the drawing, and `POST /images/{image}/snap`, what a click on it meant.
//!
//! Decoding an image is done here; where a click leads and how the sheet lies is
//! [`workshop::scan`]'s.

use std::io::Cursor;
use std::sync::{Arc, Mutex};

use axum::extract::{Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use image::{ExtendedColorType, ImageEncoder, ImageReader, Limits};
use serde::Deserialize;
use serde_json::json;
use workshop::drawing::Pixel;
use workshop::problem::Problem;
use workshop::scan::{Found, Gray, Laid, snap, squared};

use super::Project;
use crate::Shop;
use crate::desk::{Refused, Sent};

/// The ways to a paper sheet.
pub fn routes() -> Router<Arc<dyn Shop>> {
    Router::new().route("/images/{image}/squared", get(beneath)).route("/images/{image}/snap", post(snapped))
}

/// The most pixels from side to side or top to bottom of an image that is decoded.
const MOST_SIDE_PX: u32 = 12_000;
/// The most memory that decoding may take.
const MOST_BYTES: u64 = 256_000_000;

/// The image decoded last, so that one click after another does not decode it anew.
#[derive(Default)]
pub struct Decoded(Mutex<Option<(String, String, Arc<Gray>)>>);

impl Decoded {
    /// An image of the project in grey.
    pub fn gray(&self, shop: &dyn Shop, name: &str) -> Result<Arc<Gray>, Problem> {
        let none = || {
            Problem::new(format!("the project has no image called `{name}`"))
                .mend("choose one of those in its folder `sheets`, or bring it in again")
        };
        let stamp = shop.image_stamp(name).ok_or_else(none)?;
        let mut last = self.0.lock().expect("nothing panics while it holds the image");
        if let Some((kept, stamped, gray)) = &*last
            && (kept.as_str(), stamped) == (name, &stamp)
        {
            return Ok(Arc::clone(gray));
        }
        let image = shop.image(name).ok_or_else(none)?;
        let gray = Arc::new(decode(&image.bytes).map_err(|problem| problem.at(name))?);
        *last = Some((name.to_owned(), stamp, Arc::clone(&gray)));
        Ok(gray)
    }
}

fn decode(bytes: &[u8]) -> Result<Gray, Problem> {
    let cannot = |why: String| {
        Problem::new("the image cannot be read").why(why).mend("save it again as a PNG or a JPEG")
    };
    let mut reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|fault| cannot(fault.to_string()))?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_SIDE_PX);
    limits.max_image_height = Some(MOST_SIDE_PX);
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    let gray = reader.decode().map_err(|fault| cannot(fault.to_string()))?.into_luma8();
    Gray::new(gray.width() as usize, gray.height() as usize, gray.into_raw())
}

/// How an image lies.
#[derive(Deserialize)]
struct Lies {
    /// The twelve numbers of the map, with commas between.
    map: String,
}

/// The image squared, as a PNG.
async fn beneath(
    State(shop): Project,
    Extension(decoded): Extension<Arc<Decoded>>,
    Path(name): Path<String>,
    Query(lies): Query<Lies>,
) -> Result<Response, Refused> {
    let numbers: Vec<f64> = lies.map.split(',').filter_map(|number| number.parse().ok()).collect();
    let laid = <[f64; 12]>::try_from(numbers).ok().and_then(Laid::of_numbers);
    let laid =
        laid.ok_or_else(|| Problem::new("that is no way for a sheet to lie").mend("open the page again"))?;
    let gray = decoded.gray(shop.as_ref(), &name)?;
    let flat = squared(&gray, &laid).image;
    let mut png = Vec::new();
    image::codecs::png::PngEncoder::new(&mut png)
        .write_image(flat.shades(), flat.width() as u32, flat.height() as u32, ExtendedColorType::L8)
        .expect("a grey image is written into memory, which does not fail");
    Ok(([(header::CONTENT_TYPE, "image/png"), (header::CACHE_CONTROL, "max-age=3600")], png).into_response())
}

/// A click on an image, in pixels from its top left corner.
#[derive(Deserialize)]
struct Click {
    x_px: f64,
    y_px: f64,
    /// How far off what was meant may be.
    reach_px: f64,
}

/// The circle or corner that a click meant.
async fn snapped(
    State(shop): Project,
    Extension(decoded): Extension<Arc<Decoded>>,
    Path(name): Path<String>,
    Sent(click): Sent<Click>,
) -> Result<Response, Refused> {
    let gray = decoded.gray(shop.as_ref(), &name)?;
    let led = snap(&gray, Pixel { x_px: click.x_px, y_px: click.y_px }, click.reach_px);
    let found = match led.found {
        Found::Circle { .. } => "circle",
        Found::Corner => "corner",
        Found::Nothing => "nothing",
    };
    // A tenth of a pixel is as near as anyone can point.
    let tenth = |px: f64| (px * 10.0).round() / 10.0;
    Ok(Json(json!({ "x_px": tenth(led.at.x_px), "y_px": tenth(led.at.y_px), "found": found }))
        .into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn png(width: u32, height: u32, shades: &[u8]) -> Vec<u8> {
        let mut png = Vec::new();
        image::codecs::png::PngEncoder::new(&mut png)
            .write_image(shades, width, height, ExtendedColorType::L8)
            .unwrap();
        png
    }

    #[test]
    fn an_image_is_read_whole_and_what_is_none_is_refused() {
        let whole = png(3, 2, &[0, 50, 100, 150, 200, 255]);
        assert_eq!(decode(&whole).unwrap().shades(), [0, 50, 100, 150, 200, 255]);
        for bytes in [&whole[..whole.len() / 2], b"GIF89a", b"", b"\x89PNG\r\n\x1a\n rest is no image"] {
            let problem = decode(bytes).unwrap_err();
            assert!(problem.remedy().is_some(), "{problem}");
        }
    }

    #[test]
    fn an_image_that_says_it_is_vast_is_refused_before_it_is_read() {
        let mut vast = png(3, 2, &[0; 6]);
        // Width and height stand at the sixteenth byte of a PNG, each four long, and
        // after them their check sum, made right again.
        vast[16..24].copy_from_slice(&[0, 0, 0x40, 0, 0, 0, 0x40, 0]);
        assert!(decode(&vast).is_err());
    }
}
