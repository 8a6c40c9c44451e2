//! Where the pages are answered.

/// Who answers the addresses of a site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Setting {
    /// A server on this computer, whose paths begin with `root`. Plans are files on its disk.
    Served {
        /// With a slash at both ends.
        root: String,
    },
    /// The page itself: an address is what stands behind its `#`. Every change is kept in
    /// the browser at once, and files come and go by the browser's own dialogs.
    Pocket,
}
