//! A plan laid out on paper: SVG, HTML and PDF.
//!
//! Begin with [`titles`], [`sheet_html`] and [`print_pdf`]: a whole
//! [`workshop::plan::Plan`] goes in, sheets come out.
//!
//! What a page holds is said once, as a [`sheet::Sheet`] of blocks: words,
//! pictures, tables, cautions. [`sheet::paginate`] sets the blocks out on A4
//! pages of [`ink`]; [`svg`] and [`pdf`] write those pages, and [`html`] writes
//! the same sheets as one printable document. Nothing here works a number out:
//! every figure arrives shown and with its reason.
//!
//! [`flat`] writes a part for other programs to read, and letters nothing.
//!
//! Lengths are millimetres of paper unless a name says otherwise. On a page the
//! origin is the top left corner and y runs down; in a [`picture`] the model is
//! in millimetres of metal and y runs up, and the two kinds of point are
//! different types.
//!
//! A module may use those listed above it, nothing below or beside it.

pub mod font;

pub mod ink;

pub mod hatch;
pub mod pdf;
pub mod svg;

pub mod flat;

pub mod held;

pub mod dimension;

pub mod callout;

pub mod placement;

pub mod picture;
pub mod table;

pub mod grid;

pub mod rows;

pub mod furniture;

pub mod sheet;

pub mod html;

pub mod csv;

mod scene;

mod pages;

mod print;

pub mod motion;
mod stage;

pub use print::{
    cutting_list_html, cutting_list_pdf, cutting_list_svgs, make_list_html, make_list_pdf, make_list_svgs,
    overlay_svg, page_inks, page_svgs, pages_pdf, print_html, print_pdf, scene_svg, setup_svg, sheet_html,
    titles, views_ink, views_svg,
};
pub use scene::Screen;
pub use stage::stage_svg;
