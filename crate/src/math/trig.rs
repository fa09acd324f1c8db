//! Sine, cosine and tangent. Of our own, because those of the platform reduce angles of any size, with a table: 6 kB of what is served for
//! angles that no car has. So the core calls these alone, also natively, and the figures are the same everywhere.
//!
//! The reduction by π/2 in three parts and the polynomials are those of fdlibm's `e_rem_pio2`, `k_sin` and `k_cos`, with its notice:
//! Copyright (C) 1993 by Sun Microsystems, Inc. All rights reserved. Developed at SunPro, a Sun Microsystems, Inc. business. Permission to
//! use, copy, modify, and distribute this software is freely granted, provided that this notice is preserved.

/// Beyond this it is no angle, radians.
const LARGEST: f64 = 1e6;

/// Angles in radians; NaN beyond ±1e6.
pub(crate) trait Angle: Copy {
    /// Sine and cosine.
    fn sine_cosine(self) -> (f64, f64);
    /// Sine.
    fn sine(self) -> f64 {
        self.sine_cosine().0
    }
    /// Cosine.
    fn cosine(self) -> f64 {
        self.sine_cosine().1
    }
    /// Tangent.
    fn tangent(self) -> f64 {
        let (sin, cos) = self.sine_cosine();
        sin / cos
    }
}

impl Angle for f64 {
    fn sine_cosine(self) -> (f64, f64) {
        if !(self.abs() <= LARGEST) {
            return (f64::NAN, f64::NAN);
        }
        // π/2 = A + B + C, A and B of 33 bits each.
        const A: f64 = 1.570_796_326_734_125_6;
        const B: f64 = 6.077_100_506_303_966e-11;
        const C: f64 = 2.022_266_248_795_950_6e-21;
        let n = (self * std::f64::consts::FRAC_2_PI).round();
        let (first, second) = (self - n * A, n * B);
        let rest = first - second;
        let lost = n * C - ((first - rest) - second);
        let x = rest - lost;
        let y = (rest - x) - lost;
        let z = x * x;
        let w = z * z;
        let r = 8.333_333_333_322_49e-3
            + z * (-1.984_126_982_985_795e-4 + z * 2.755_731_370_707_006_8e-6)
            + z * w * (-2.505_076_025_340_686_3e-8 + z * 1.589_690_995_211_55e-10);
        let v = z * x;
        let sin = x - ((z * (0.5 * y - v * r) - y) + v * 1.666_666_666_666_663_2e-1);
        let r = z * (4.166_666_666_666_66e-2 + z * (-1.388_888_888_887_411e-3 + z * 2.480_158_728_947_673e-5))
            + w * w * (-2.755_731_435_139_066_3e-7 + z * (2.087_572_321_298_175e-9 - z * 1.135_964_755_778_819_5e-11));
        let half = 0.5 * z;
        let near = 1.0 - half;
        let cos = near + (((1.0 - near) - half) + (z * r - x * y));
        match (n as i32).rem_euclid(4) {
            0 => (sin, cos),
            1 => (cos, -sin),
            2 => (-sin, -cos),
            _ => (-cos, sin),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_the_platform_has_them() {
        let mut x = 1e-9_f64;
        let mut worst = 0.0_f64;
        while x < 1e6 {
            for x in [x, -x, (x / std::f64::consts::FRAC_PI_2).round() * std::f64::consts::FRAC_PI_2] {
                let ((s, c), (sin, cos)) = (x.sine_cosine(), x.sin_cos());
                worst = worst.max((s - sin).abs()).max((c - cos).abs());
                assert!(
                    (s - sin).abs() <= 2.3e-16 * sin.abs().max(1e-3) && (c - cos).abs() <= 2.3e-16 * cos.abs().max(1e-3),
                    "{x:e}: {s} {sin} {c} {cos}"
                );
                assert!((x.tangent() - x.tan()).abs() <= 1e-15 * x.tan().abs().max(1e-3), "{x:e}");
            }
            x *= 1.000_37;
        }
        assert!(worst > 0.0 && worst < 2.3e-16, "{worst:e}");
        assert!(f64::NAN.sine().is_nan() && 1e7.cosine().is_nan() && f64::INFINITY.tangent().is_nan());
    }
}
