//! One axis of a chart: round ticks that cover the data, and whole steps of the backend's units.

use crate::math::within;
use crate::measurement::decimal::{fixed, power_of_ten};
use std::ops::Range;

/// Values beyond this are not data (the charts show degrees and ratios).
const LARGEST: f64 = 1e6;

/// An axis from `first · step` to `last · step`, a tick at every step; zero is always on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Distance of two ticks: 1, 2 or 5 times a power of ten, in the unit of the data.
    pub step: f64,
    /// The lowest tick, counted from zero.
    pub first: i32,
    /// The highest tick, counted from zero; above `first`.
    pub last: i32,
}

impl Axis {
    /// The finest axis of at most `most` steps (2 where fewer are asked for) that holds zero and every finite value up to ±1e6.
    ///
    /// It spans `least` where the values span less, to the side on which they lie; no value at all gives `0 … least`.
    #[must_use]
    pub fn covering(values: impl IntoIterator<Item = f64>, least: f64, most: u32) -> Self {
        let least = if least.is_finite() { within(least, 1e-6, LARGEST) } else { 1.0 };
        let (mut lo, mut hi) = span(values.into_iter().chain([0.0]));
        if hi - lo < least {
            if hi >= -lo { hi = lo + least } else { lo = hi - least }
        }
        Self::fitting(lo, hi, most)
    }

    /// The finest axis of at most `most` steps (2 where fewer are asked for) that holds every finite value up to ±1e6, zero or not.
    ///
    /// It spans `least` about their middle where the values span less, but not below zero for values that are not; no value at all
    /// gives `0 … least`.
    #[must_use]
    pub fn spanning(values: impl IntoIterator<Item = f64>, least: f64, most: u32) -> Self {
        let least = if least.is_finite() { within(least, 1e-6, LARGEST) } else { 1.0 };
        let (mut lo, mut hi) = span(values);
        if lo > hi {
            (lo, hi) = (0.0, least);
        }
        if hi - lo < least {
            let (middle, floor) = ((lo + hi) / 2.0, if lo >= 0.0 { 0.0 } else { -LARGEST });
            lo = (middle - least / 2.0).max(floor);
            hi = lo + least;
        }
        Self::fitting(lo, hi, most)
    }

    fn fitting(lo: f64, hi: f64, most: u32) -> Self {
        let most = within(most, 2, 1000);
        let power = power_of_ten((hi - lo) / f64::from(most));
        let mut axis = Self { step: 1.0, first: 0, last: 1 };
        for (digit, more) in [(1.0, 0), (2.0, 0), (5.0, 0), (1.0, 1), (2.0, 1), (5.0, 1)] {
            let tens = 10_f64.powi((power + more).abs());
            let step = if power + more < 0 { digit / tens } else { digit * tens };
            // The slack keeps a value that rounding put a hair past its tick from opening a new step.
            axis = Self { step, first: (lo / step + 1e-9).floor() as i32, last: (hi / step - 1e-9).ceil() as i32 };
            if i64::from(axis.last) - i64::from(axis.first) <= i64::from(most) {
                break;
            }
        }
        axis
    }

    /// Number of steps from end to end, at least 1.
    #[must_use]
    pub fn steps(&self) -> i32 {
        (self.last - self.first).max(1)
    }

    /// A value with as many decimals as the step needs, a true minus sign, and its unit.
    #[must_use]
    pub fn label(&self, value: f64, unit: &str) -> String {
        let decimals = within(-power_of_ten(self.step), 0, 9) as usize;
        let digits = fixed(value.abs(), decimals) + unit;
        if value < -self.step / 2.0 { format!("−{digits}") } else { digits }
    }

    /// The values at the ticks, lowest first.
    #[must_use]
    pub fn ticks(&self) -> Vec<f64> {
        (self.first..=self.last).map(|n| f64::from(n) * self.step).collect()
    }
}

/// Smallest and largest of the finite values up to ±[`LARGEST`]; the wrong way round where there is none.
fn span(values: impl IntoIterator<Item = f64>) -> (f64, f64) {
    values.into_iter().filter(|v| v.abs() <= LARGEST).fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| (lo.min(v), hi.max(v)))
}

impl Axis {
    /// Where a value lies between two ends, to the nearest unit of the picture.
    #[must_use]
    pub fn map(&self, value: f64, limit: (i32, i32)) -> i32 {
        let share = (value / self.step - f64::from(self.first)) / f64::from(self.steps());
        (f64::from(limit.0) + share * (f64::from(limit.1) - f64::from(limit.0))).round() as i32
    }

    /// From the lowest tick to the highest.
    #[must_use]
    pub fn range(&self) -> Range<f64> {
        f64::from(self.first) * self.step..f64::from(self.last) * self.step
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(axis: Axis) -> Vec<String> {
        axis.ticks().iter().map(|v| axis.label(*v, "°")).collect()
    }

    #[test]
    fn the_finest_round_step_that_fits() {
        assert_eq!(Axis::covering([38.6], 10.0, 5).ticks(), [0.0, 10.0, 20.0, 30.0, 40.0]);
        assert_eq!(Axis::covering([38.6], 10.0, 8).ticks(), [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0]);
        assert_eq!(labels(Axis::covering([0.9], 1.0, 5)), ["0.0°", "0.2°", "0.4°", "0.6°", "0.8°", "1.0°"]);
        assert_eq!(Axis::covering([40.0 + 1e-12], 10.0, 4).last, 4, "a hair past the tick is on the tick");
    }

    #[test]
    fn negative_toe_out_is_below_zero() {
        assert_eq!(labels(Axis::covering([-3.2, 8.9], 1.0, 6)), ["−5°", "0°", "5°", "10°"]);
        assert_eq!(labels(Axis::covering([-0.4], 1.0, 2)), ["−1.0°", "−0.5°", "0.0°"]);
    }

    #[test]
    fn nothing_and_one_point_and_nonsense() {
        let empty = Axis::covering([], 10.0, 5);
        assert_eq!((empty.first, empty.range().end), (0, 10.0));
        assert_eq!(Axis::covering([0.0], 10.0, 5), empty);
        assert_eq!(Axis::covering([f64::NAN, f64::INFINITY, -f64::INFINITY, 1e300, -1e7], 10.0, 5), empty);
        for most in [0, 1, 2, 3, u32::MAX] {
            for least in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e-300, 1.0] {
                for values in [[-1e6, 1e6], [1e-300, -1e-300], [179.0, -179.0], [0.0, -0.0]] {
                    let axis = Axis::covering(values, least, most);
                    assert!(axis.steps() >= 1 && axis.steps() as u32 <= most.clamp(2, 1000), "{axis:?}");
                    assert!(axis.range().start <= values[0].min(values[1]) + 1e-9 * axis.step, "{axis:?}");
                    assert!(axis.range().end >= values[0].max(values[1]) - 1e-9 * axis.step, "{axis:?}");
                    assert!(axis.first <= 0 && axis.last >= 0);
                }
            }
        }
    }

    #[test]
    fn an_axis_without_zero() {
        let ticks = |values: &[f64], least| Axis::spanning(values.iter().copied(), least, 5).ticks();
        assert_eq!(ticks(&[13.2, 17.4], 4.0), [13.0, 14.0, 15.0, 16.0, 17.0, 18.0]);
        assert_eq!(ticks(&[17.4], 4.0), [15.0, 16.0, 17.0, 18.0, 19.0, 20.0]);
        assert_eq!(ticks(&[0.5], 4.0), [0.0, 1.0, 2.0, 3.0, 4.0], "not below zero");
        assert_eq!(ticks(&[], 4.0), [0.0, 1.0, 2.0, 3.0, 4.0]);
        assert_eq!(ticks(&[f64::NAN, 1e9], 4.0), [0.0, 1.0, 2.0, 3.0, 4.0]);
    }

    #[test]
    fn ticks_lie_on_whole_steps_of_the_backend() {
        let axis = Axis::covering([-3.0, 7.0], 1.0, 5);
        assert_eq!(axis.ticks(), [-5.0, 0.0, 5.0, 10.0]);
        let at: Vec<i32> = axis.ticks().iter().map(|v| axis.map(*v, (1204, 1204 - 240 * axis.steps()))).collect();
        assert!(at.windows(2).all(|w| w[0] - w[1] == 240), "{at:?}");
        assert_eq!(Axis { step: 10.0, first: 0, last: 4 }.map(f64::NAN, (0, 100)), 0);
        assert_eq!(Axis { step: 10.0, first: 0, last: 4 }.map(20.3, (0, 400)), 203);
    }
}
