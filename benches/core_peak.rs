//! What this core can do at most, to hold the inner loop of the solver against.
//! `cargo bench --bench core_peak`, and with `RUSTFLAGS='-C target-cpu=native'` for the
//! widest instructions of the core, which a program for every x86-64 may not use.

mod measure;

use std::hint::black_box;

use measure::{best, thread_seconds};

/// Independent sums: enough to fill the pipes of both instruction sets.
const SUMS: usize = 64;

/// Multiplications and additions a second, in billions.
fn arithmetic() -> f64 {
    const ROUNDS: usize = 20_000;
    let seconds = best(9, thread_seconds, || {
        let mut sums = black_box([1.0_f64; SUMS]);
        let (factor, term) = (black_box(0.999_999), black_box(1e-6));
        for _ in 0..ROUNDS {
            for sum in &mut sums {
                *sum = if cfg!(target_feature = "fma") {
                    sum.mul_add(factor, term)
                } else {
                    *sum * factor + term
                };
            }
        }
        sums
    });
    (2 * SUMS * ROUNDS) as f64 / seconds / 1e9
}

/// Billions of bytes a second of a = b + s c, over arrays of this many numbers each.
fn triad(numbers: usize) -> f64 {
    let (b, c) = (vec![1.0_f64; numbers], vec![2.0_f64; numbers]);
    let mut a = vec![0.0_f64; numbers];
    let scale = black_box(3.0);
    let seconds = best(9, thread_seconds, || {
        for ((a, b), c) in a.iter_mut().zip(&b).zip(&c) {
            *a = b + scale * c;
        }
        black_box(&mut a);
    });
    (3 * size_of::<f64>() * numbers) as f64 / seconds / 1e9
}

fn main() {
    println!("multiply and add: {:.1} Gflop/s on one core", arithmetic());
    for (place, numbers) in [("level 1", 900), ("level 2", 20_000), ("memory", 8_000_000)] {
        println!("triad from {place}: {:.1} GB/s on one core", triad(numbers));
    }
}
