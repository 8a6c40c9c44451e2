//! Clocks of the benches: the best of several runs, and how a cost grows.

#![allow(dead_code)] // each bench uses its own part

use std::time::Instant;

/// Seconds this thread has run on a core, or the wall clock where the system does not say.
///
/// Time that other programs take from the core does not count.
pub fn thread_seconds() -> f64 {
    // The kernel brings its count up to date when the thread yields, not when it is read.
    std::thread::yield_now();
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = told.and_then(|text| text.split(' ').next()?.parse::<f64>().ok());
    nanoseconds.map_or_else(wall_seconds, |ns| 1e-9 * ns)
}

/// Seconds of the wall clock since the first call.
pub fn wall_seconds() -> f64 {
    static BEGIN: std::sync::LazyLock<Instant> = std::sync::LazyLock::new(Instant::now);
    BEGIN.elapsed().as_secs_f64()
}

/// Fewest seconds of one call, of `rounds` rounds that each last two milliseconds or more.
pub fn best<T>(rounds: usize, clock: fn() -> f64, mut call: impl FnMut() -> T) -> f64 {
    const LEAST_ROUND: f64 = 2e-3;
    let mut seconds = |calls: usize| {
        let begin = clock();
        for _ in 0..calls {
            std::hint::black_box(call());
        }
        (clock() - begin) / calls as f64
    };
    let calls = (LEAST_ROUND / seconds(1).max(1e-6)).ceil().max(1.0) as usize;
    (0..rounds).map(|_| seconds(calls)).fold(f64::INFINITY, f64::min)
}

/// The exponent p of cost = c sizeᵖ: the least-squares slope of the logarithms.
pub fn exponent(points: &[[f64; 2]]) -> f64 {
    let logs: Vec<[f64; 2]> = points.iter().map(|point| point.map(f64::ln)).collect();
    let mean = |axis: usize| logs.iter().map(|log| log[axis]).sum::<f64>() / logs.len() as f64;
    let [x, y] = [mean(0), mean(1)];
    let slope = |of: usize, about: f64| -> f64 {
        logs.iter().map(|log| (log[0] - x) * (log[of] - about)).sum()
    };
    slope(1, y) / slope(0, x)
}
