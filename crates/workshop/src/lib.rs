//! The calculation core of oddleg.
//!
//! A drawing and a bench go in, a [`plan`] comes out. Nothing here opens a file,
//! reads a clock or prints: the same input always gives the same output.
//!
//! A module may use those listed above it, nothing below or beside it.

pub mod abreast;
pub mod problem;

pub mod why;

pub mod document;
pub mod measure;

pub mod edit;

pub mod geometry;
pub mod tables;

pub mod bench;
pub mod drawing;

pub mod assembly;
pub mod scan;
pub mod settings;

pub mod exchange;

pub mod metric;

pub mod stack;

pub mod linkage;

pub mod order;

pub mod sheet;

pub mod aids;

pub mod plan;

pub mod make_list;

pub mod desk;
