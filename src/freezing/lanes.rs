//! One number a lane, for blocks that are followed side by side.
//!
//! Plain arrays: at `opt-level` 3 the compiler puts the sums and products of a whole array into
//! the vectors that it may count on (SSE2 on every x86-64, `simd128` in a browser), and within
//! [`in_widest`] into the widest that the machine has.

use std::ops::{Add, AddAssign, Div, Index, IndexMut, Mul, Sub, SubAssign};

/// Does some work with the widest vectors that the machine has, as far as it is inlined: the same
/// sums and products to the last bit, more of them at once.
#[inline(always)]
pub(crate) fn in_widest<R>(work: impl FnOnce() -> R) -> R {
    #[cfg(target_arch = "x86_64")]
    {
        use fearless_simd::{Level, Simd, dispatch};
        dispatch!(Level::new(), simd => simd.vectorize(work))
    }
    #[cfg(not(target_arch = "x86_64"))]
    work()
}

/// A number in each lane; sums, products and the like go lane by lane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lanes<const L: usize>(pub(crate) [f64; L]);

impl<const L: usize> Lanes<L> {
    pub(crate) const ZERO: Self = Self([0.0; L]);

    /// The same number in each lane.
    #[inline(always)]
    pub(crate) fn all(value: f64) -> Self {
        Self([value; L])
    }

    /// A number for each lane.
    #[inline(always)]
    pub(crate) fn each(value: impl Fn(usize) -> f64) -> Self {
        Self(std::array::from_fn(value))
    }

    #[inline(always)]
    fn with(self, other: Self, both: impl Fn(f64, f64) -> f64) -> Self {
        Self::each(|lane| both(self.0[lane], other.0[lane]))
    }

    /// The lesser of two numbers.
    #[inline(always)]
    pub(crate) fn min(self, other: Self) -> Self {
        self.with(other, |a, b| if a < b { a } else { b })
    }

    /// The greater of two numbers.
    #[inline(always)]
    pub(crate) fn max(self, other: Self) -> Self {
        self.with(other, |a, b| if a > b { a } else { b })
    }

    /// The one where this is below zero, else the other.
    #[inline(always)]
    pub(crate) fn below_zero(self, below: Self, other: Self) -> Self {
        Self::each(|lane| if self.0[lane] < 0.0 { below.0[lane] } else { other.0[lane] })
    }
}

impl<const L: usize> Index<usize> for Lanes<L> {
    type Output = f64;

    fn index(&self, lane: usize) -> &f64 {
        &self.0[lane]
    }
}

impl<const L: usize> IndexMut<usize> for Lanes<L> {
    fn index_mut(&mut self, lane: usize) -> &mut f64 {
        &mut self.0[lane]
    }
}

macro_rules! lane_by_lane {
    ($($of:ident $name:ident $sign:tt),*) => {$(
        impl<const L: usize> $of for Lanes<L> {
            type Output = Self;

            #[inline(always)]
            fn $name(self, other: Self) -> Self {
                self.with(other, |a, b| a $sign b)
            }
        }
    )*};
}
lane_by_lane!(Add add +, Sub sub -, Mul mul *, Div div /);

impl<const L: usize> AddAssign for Lanes<L> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<const L: usize> SubAssign for Lanes<L> {
    #[inline(always)]
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}
