//! Mould shapes and the freezing solver.
