//! Ackermann: what two steered wheels should do, and two measures of how far they do it. All angles in radians, positive.

use crate::math::trig::Angle;
/// Outer angle of ideal Ackermann: cot δo = cot δi + w_g/L.
///
/// `inner` the inner wheel's angle in (0, π), `spacing` of the steering axes at the ground and `wheelbase` in one unit.
pub fn ideal_outer(inner: f64, spacing: f64, wheelbase: f64) -> f64 {
    // atan2 of (sin, cos + k sin) is the arc cotangent of cot + k, without a pole.
    inner.sine().atan2(inner.cosine() + spacing / wheelbase * inner.sine())
}

/// Ackermann percentage by angle difference, 100·(δi − δo)/(δi − δo,ideal); 100 ideal, 0 parallel, negative the wrong way round.
/// Not finite at `inner` = 0.
pub fn by_angle(inner: f64, outer: f64, spacing: f64, wheelbase: f64) -> f64 {
    100.0 * (inner - outer) / (inner - ideal_outer(inner, spacing, wheelbase))
}

/// Ackermann percentage by cotangent, 100·(cot δo − cot δi)·L/w_g. Not finite at 0.
/// That two measures exist: Mitchell, Staniforth, Scott, SAE 2006-01-3638.
pub fn by_cotangent(inner: f64, outer: f64, spacing: f64, wheelbase: f64) -> f64 {
    100.0 * (1.0 / outer.tangent() - 1.0 / inner.tangent()) * wheelbase / spacing
}

/// What both measures tend to at small angles, 100·(L/w_g)·δ″/δ′² of the left wheel (rates by the rack's displacement);
/// for a car alike left and right, without toe.
pub fn limit(rates: (f64, f64), spacing: f64, wheelbase: f64) -> f64 {
    100.0 * wheelbase / spacing * rates.1 / (rates.0 * rates.0)
}

/// Chalk-line figure: where the line from the steering axis through the rod end meets the centre plane, as a share of the
/// wheelbase behind the axle, −e·w_r/(2·f·L); infinite for f = 0. It ignores the rack's place.
pub fn chalk_line(ahead: f64, inboard: f64, spacing: f64, wheelbase: f64) -> f64 {
    -ahead * spacing / (2.0 * inboard * wheelbase)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ideal_is_a_hundred_by_both_measures_and_parallel_none() {
        let (i, w, l) = (0.5, 1400.0, 2700.0);
        let o = ideal_outer(i, w, l);
        assert!(o < i);
        assert!((by_angle(i, o, w, l) - 100.0).abs() < 1e-9);
        assert!((by_cotangent(i, o, w, l) - 100.0).abs() < 1e-9);
        assert_eq!((by_angle(i, i, w, l), by_cotangent(i, i, w, l)), (0.0, 0.0));
    }

    #[test]
    fn arms_behind_and_inboard_meet_behind_the_axle() {
        assert!((chalk_line(-140.0, 70.0, 1400.0, 2800.0) - 0.5).abs() < 1e-15);
        assert!(chalk_line(140.0, 70.0, 1400.0, 2800.0) < 0.0);
    }
}
