//! Many measurements of one thing, said in a line.

use serde_json::Value;

/// Milliseconds, smallest first.
pub struct Samples(Vec<f64>);

impl Samples {
    /// From a list of numbers, or of what `pick` finds a number in.
    pub fn of(list: &Value, pick: impl Fn(&Value) -> Option<f64>) -> Samples {
        let list = list.as_array().expect("a list");
        list.iter().map(|one| pick(one).expect("a number")).collect()
    }

    /// The middle one.
    pub fn median(&self) -> f64 {
        self.0[self.0.len() / 2]
    }

    /// One that 19 of 20 do not exceed.
    pub fn high(&self) -> f64 {
        self.0[(self.0.len() * 19).div_ceil(20) - 1]
    }

    /// Prints what it is, the median, and how far the rest lies around it.
    pub fn say(&self, what: &str) {
        let [low, top] = [self.0[0], self.0[self.0.len() - 1]];
        let (median, high) = (self.median(), self.high());
        println!("{what:<72} {median:>7.2} ms   (95 % within {high:.2}; {low:.2} … {top:.2}, {} samples)", self.0.len());
    }

    /// Prints whether the median is below a goal.
    pub fn judge(&self, goal: f64) {
        println!("{:<72} {} {goal} ms", "", if self.median() < goal { "below its goal of" } else { "MISSES its goal of" });
    }
}

impl FromIterator<f64> for Samples {
    fn from_iter<T: IntoIterator<Item = f64>>(all: T) -> Samples {
        let mut all: Vec<f64> = all.into_iter().collect();
        assert!(!all.is_empty(), "something was measured");
        all.sort_by(f64::total_cmp);
        Samples(all)
    }
}

#[cfg(test)]
mod tests {
    use super::Samples;

    #[test]
    fn the_middle_and_nineteen_of_twenty() {
        let of = |count: u32| (1..=count).rev().map(f64::from).collect::<Samples>();
        assert_eq!((of(1).median(), of(1).high()), (1.0, 1.0));
        assert_eq!((of(5).median(), of(5).high()), (3.0, 5.0));
        assert_eq!((of(101).median(), of(100).high()), (51.0, 95.0));
    }
}
