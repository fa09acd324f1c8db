//! Numbers as digits. The library's own, which knows any length, are 6 kB of what is served.

use crate::math::ratio::Ratio;

/// Ten to the powers that are written.
const MOST: usize = 18;

/// Ten to which power the first figure of a positive number counts, from −40 on: the whole part of its logarithm.
pub fn power_of_ten(x: f64) -> i32 {
    let mut power = 0;
    while x < 10_f64.powi(power) && power > -40 {
        power -= 1;
    }
    while x >= 10_f64.powi(power + 1) && power < 300 {
        power += 1;
    }
    power
}

/// A size with so many digits behind the point: whole part, noughts behind that, what stands behind the point. Its exact value, half a step to the even digit; of a
/// whole part beyond 10¹⁷ the first seventeen digits.
fn split(size: f64, digits: usize) -> (u64, usize, u64) {
    let ten = 10_u64.pow(digits as u32);
    let mut whole = size.trunc();
    let part = (size - whole).to_bits();
    let mut noughts = 0;
    while whole >= 1e17 {
        (whole, noughts) = (whole / 10.0, noughts + 1);
    }
    let whole = whole as u64;
    // Less than one: mantissa / 2^down.
    let power = part >> 52;
    let mantissa = if power == 0 { 0 } else { part & ((1 << 52) - 1) | 1 << 52 };
    let down = 1075 - power;
    let mut behind = 0;
    // Below 2⁻¹²⁸ of a step nothing is left.
    if down < 128 {
        let all = u128::from(mantissa) * u128::from(ten);
        behind = (all >> down) as u64;
        let (rest, half) = (all & ((1 << down) - 1), 1 << (down - 1));
        let odd = if digits == 0 { whole } else { behind } % 2 == 1;
        behind += u64::from(rest > half || rest == half && odd);
    }
    (whole + behind / ten, noughts, behind % ten)
}

/// `x` with so many digits behind the point (at most 18), like `format!("{x:.digits$}")`, but see [`split`].
pub fn fixed(x: f64, digits: usize) -> String {
    if !x.is_finite() {
        return (if x.is_nan() { "NaN" } else { "inf" }).to_owned();
    }
    let digits = digits.min(MOST);
    let (whole, noughts, behind) = split(x.abs(), digits);
    let minus = if x.is_sign_negative() { "-" } else { "" };
    let mut out = format!("{minus}{whole}");
    out.extend(std::iter::repeat_n('0', noughts));
    if digits > 0 {
        out += &format!(".{behind:0digits$}");
    }
    out
}

/// `x` with as few digits behind the point as read back as `x`, at most 18.
pub fn plain(x: f64) -> String {
    let same = |digits: &usize| {
        let (whole, _, behind) = split(x.abs(), *digits);
        let ten = 10_i128.pow(*digits as u32);
        Ratio::new(i128::from(whole) * ten + i128::from(behind), ten).is_some_and(|read| read.to_f64() == x.abs())
    };
    fixed(x, (0..MOST).find(|digits| x.abs() >= 1e17 || same(digits)).unwrap_or(MOST))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_go_to_the_even_digit_and_edges_hold() {
        for x in
            [0.0, -0.0, 0.5, 1.5, 2.5, -0.5, 0.25, 0.125, 9.5, 9.995, 0.05, 1e-300, 5e-324, 1e17 - 16.0, 0.999_999_999, 4503599627370497.5]
        {
            for digits in 0..=MOST {
                assert_eq!(fixed(x, digits), format!("{x:.digits$}"), "{x:e} {digits}");
            }
        }
        assert_eq!([fixed(f64::NAN, 2), fixed(f64::INFINITY, 2), fixed(1e22, 1)], ["NaN", "inf", "10000000000000000000000.0"]);
        assert_eq!(fixed(f64::MAX, 0).len(), 309);
        assert_eq!(
            [plain(138.7), plain(0.1 + 0.2), plain(1e-7), plain(-2500.0), plain(1e22)].map(|s| s.parse::<f64>().expect("a number")),
            [138.7, 0.1 + 0.2, 1e-7, -2500.0, 1e22]
        );
    }

    #[test]
    fn digits_are_those_of_the_library() {
        // SplitMix64 (Steele, Lea, Flood 2014).
        let mut state = 7_u64;
        let mut next = || {
            state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let z = (state ^ state >> 30).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            let z = (z ^ z >> 27).wrapping_mul(0x94d0_49bb_1331_11eb);
            z ^ z >> 31
        };
        for _ in 0..20_000 {
            let (any, digits) = (f64::from_bits(next()), (next() % 19) as usize);
            let ten = 10f64.powi((next() % 9) as i32);
            let short = (next() % 200_000_000) as f64 / ten - 1e6;
            for x in [any, short, short + 0.5 / ten, short * 1e-7].into_iter().filter(|x| x.abs() < 1e17) {
                assert_eq!(fixed(x, digits), format!("{x:.digits$}"), "{x:e} {digits}");
            }
            assert_eq!(plain(short), short.to_string());
        }
    }
}
