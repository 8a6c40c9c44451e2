//! Unknown inputs as distributions; bands, chance, and what matters most.
