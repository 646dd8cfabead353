//! Chance that falls alike on every machine.

/// Thrown numbers, all following from the seed (`SplitMix64`: Steele, Lea, Flood, "Fast splittable
/// pseudorandom number generators", OOPSLA 2014).
pub(in crate::cutting) struct Dice(u64);

impl Dice {
    pub(in crate::cutting) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(in crate::cutting) fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to one less than `sides`; 0 where there are none.
    pub(in crate::cutting) fn below(&mut self, sides: usize) -> usize {
        // The high half, multiplied: no side is favoured noticeably below 2^32 sides.
        (((self.roll() >> 32) * sides as u64) >> 32) as usize
    }

    /// Whether something that happens `often` times in 1024 happens now.
    pub(in crate::cutting) fn falls(&mut self, often: usize) -> bool {
        self.below(1024) < often
    }

    pub(in crate::cutting) fn shuffle<T>(&mut self, all: &mut [T]) {
        for last in (1..all.len()).rev() {
            all.swap(last, self.below(last + 1));
        }
    }
}
