/// A small generator of random numbers, the same on every machine.
///
/// # References
/// Steele, Lea and Flood (2014), OOPSLA, p. 453: `SplitMix64`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Dice(u64);

impl Dice {
    const STEP: u64 = 0x9e37_79b9_7f4a_7c15;

    /// Returns the generator of one of many samples, whichever thread asks.
    pub(crate) fn of(seed: u64, sample: u32) -> Self {
        let mut first = Self(seed.wrapping_add(Self::STEP.wrapping_mul(u64::from(sample))));
        Self(first.next())
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(Self::STEP);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// Returns a number evenly from within a tolerance.
    pub(crate) fn about(&mut self, nominal: f64, tolerance: f64) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit exactly")]
        let share = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        nominal + tolerance * (2.0 * share - 1.0)
    }

    /// Returns a whole number under a bound, which is not zero.
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        usize::try_from(self.next() % bound as u64).expect("invariant: it is under the bound")
    }
}
