//! The exact solution of `dx/dt = source − rate·x` while both are constant.

/// A quantity that is fed at a steady rate and decays in proportion to itself.
#[derive(Clone, Copy, Debug)]
pub(super) struct FirstOrder {
    /// Units of the quantity a second.
    pub(super) source: f64,
    /// Per second, not negative.
    pub(super) rate: f64,
}

impl FirstOrder {
    /// The quantity after `seconds`, from `start`.
    pub(super) fn after(self, seconds: f64, start: f64) -> f64 {
        let z = self.rate * seconds;
        start + (self.source * seconds - start * z) * mean_decay(z)
    }

    /// The quantity after `seconds`, and its mean over them. The mean is not derived from the end, so that
    /// a ledger kept with means is a check on the ends.
    pub(super) fn end_and_mean(self, seconds: f64, start: f64) -> (f64, f64) {
        let z = self.rate * seconds;
        let decay = mean_decay(z);
        let end = start + (self.source * seconds - start * z) * decay;
        (end, start * decay + self.source * seconds * mean_growth(z, decay))
    }
}

/// Below this the closed forms lose digits to cancellation and three terms of the series do not.
const SMALL: f64 = 1e-4;

/// Mean of `exp(−z·s)` for `s` from 0 to 1.
fn mean_decay(z: f64) -> f64 {
    if z < SMALL { 1.0 - z / 2.0 + z * z / 6.0 } else { -(-z).exp_m1() / z }
}

/// Mean of `(1 − exp(−z·s))/z` for `s` from 0 to 1, from [`mean_decay`] of the same `z`.
fn mean_growth(z: f64, decay: f64) -> f64 {
    if z < SMALL { 0.5 - z / 6.0 + z * z / 24.0 } else { (1.0 - decay) / z }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decays_to_its_balance_and_grows_without_one() {
        let decay = FirstOrder { source: 2.0, rate: 0.5 };
        assert!((decay.after(1e3, 7.0) - 4.0).abs() < 1e-12);
        assert!((decay.after(2.0, 7.0) - (4.0 + 3.0 * (-1.0_f64).exp())).abs() < 1e-12);
        let growth = FirstOrder { source: 2.0, rate: 0.0 };
        assert!((growth.after(3.0, 7.0) - 13.0).abs() < 1e-12);
        assert!((growth.end_and_mean(3.0, 7.0).1 - 10.0).abs() < 1e-12);
    }

    #[test]
    fn what_goes_in_less_what_goes_out_is_what_is_there() {
        for exponent in -9..3 {
            let process = FirstOrder { source: 0.3, rate: 10.0_f64.powi(exponent) };
            let (seconds, start) = (2.0, 5.0);
            let (end, mean) = process.end_and_mean(seconds, start);
            let flow = (process.source - process.rate * mean) * seconds;
            let change = end - start;
            assert!((process.after(seconds, start) - end).abs() < 1e-15 * end.abs().max(1.0));
            assert!((flow - change).abs() < 1e-11, "rate {}: {flow}, not {change}", process.rate);
        }
    }
}
