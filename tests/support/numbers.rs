//! Numbers drawn from a seed.

/// A plain generator of numbers (SplitMix64), so that every case can be named by its number.
pub(crate) struct Numbers(pub(crate) u64);

impl Numbers {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    pub(crate) fn from(&mut self, low: i64, high: i64) -> i64 {
        low + (self.next() % (high - low + 1).unsigned_abs()).cast_signed()
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub(crate) fn chance(&mut self, per_cent: i64) -> bool {
        self.from(1, 100) <= per_cent
    }

    /// One of several.
    pub(crate) fn one_of<'t, T: ?Sized>(&mut self, several: &[&'t T]) -> &'t T {
        several[self.below(several.len())]
    }
}
