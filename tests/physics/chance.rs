//! Fixed numbers that look random, for invented truths that have nothing to do
//! with the sequence of the bands.

/// The `n`-th of the uniform numbers of a case, strictly between 0 and 1.
///
/// Source: SplitMix64 (Steele, Lea & Flood 2014, Fast splittable pseudorandom
/// number generators, OOPSLA).
pub fn uniform(case: usize, n: usize) -> f64 {
    let mut z = (case as u64) << 32 | n as u64;
    for _ in 0..2 {
        z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
    }
    ((z >> 12) as f64 + 0.5) / (1u64 << 52) as f64
}

/// One of `choices` of a case.
pub fn pick(case: usize, n: usize, choices: usize) -> usize {
    (uniform(case, n) * choices as f64) as usize
}
