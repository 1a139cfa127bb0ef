//! A plan laid out on paper: SVG, HTML and PDF.
