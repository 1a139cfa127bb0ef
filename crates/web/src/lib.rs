//! The local web app: one file per page beside its template.
