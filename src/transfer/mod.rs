//! Film coefficients, radiation, evaporation and psychrometrics.
