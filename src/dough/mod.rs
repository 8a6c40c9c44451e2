//! Recipe, mixture isotherm, drying solver and cooling of salt dough.
