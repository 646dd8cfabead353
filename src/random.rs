//! Random numbers that are alike on every machine.

/// Random numbers, all following from the seed (`SplitMix64`: Steele, Lea, Flood, "Fast splittable
/// pseudorandom number generators", OOPSLA 2014).
pub(crate) struct Rng(u64);

impl Rng {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next_u64(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to one less than `end`; 0 where that is 0.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        // The high half, multiplied: none is favored noticeably below 2^32.
        (((self.next_u64() >> 32) * end as u64) >> 32) as usize
    }

    /// True `often` times in 1024.
    pub(crate) fn chance(&mut self, often: usize) -> bool {
        self.below(1024) < often
    }

    pub(crate) fn shuffle<T>(&mut self, all: &mut [T]) {
        for last in (1..all.len()).rev() {
            all.swap(last, self.below(last + 1));
        }
    }
}
