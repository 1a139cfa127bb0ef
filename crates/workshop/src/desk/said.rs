//! What stands beside a size in the file.

/// What stands beside a length or thread in the file, as typed; empty where nothing does.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// `hold`, `suit` or `free`.
    pub role: String,
    /// How far it may go either way.
    pub within: String,
    /// Percent of its stress area that a screw keeps at least.
    pub keeps: String,
    /// The size it must have.
    pub pin: String,
    /// The size it has already.
    pub made: String,
}
