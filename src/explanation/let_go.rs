//! What takes no time any more, to see what stands in the way.

use crate::prep::{Adjusted, Durations, durations::Outcomes};

/// Days that a cool box keeps blocks where that is let go.
const KEPT_DAYS: f64 = 10.0;

/// What takes no time any more.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
pub struct LetGo {
    /// Blocks freeze at once.
    pub freezing: bool,
    /// A cool box keeps them for days.
    pub cool_box: bool,
    /// Pieces are firm and dry at once.
    pub drying: bool,
    /// Coats dry at once.
    pub coats: bool,
}

impl LetGo {
    /// The physics without it.
    pub fn of<'a>(&self, durations: &'a dyn Durations) -> Adjusted<'a> {
        let mut quick = Adjusted::of(durations);
        if self.freezing {
            quick.freezing = |_| Outcomes::exactly(0.0);
        }
        if self.drying {
            quick.drying = Some(|_| Outcomes::exactly(0.0));
        }
        Adjusted {
            cool_box_h: if self.cool_box { 24.0 * KEPT_DAYS } else { 0.0 },
            no_coats: self.coats,
            ..quick
        }
    }
}
