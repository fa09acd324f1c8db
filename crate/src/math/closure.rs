//! One wheel's linkage: a knuckle that turns about its steering axis, a tie rod, a rack that slides along Y.
//!
//! The only linkage kernel there is: plan view is the same formula with the axis upright.
//!
//! With the axis through L along the unit vector u, o = O − L (outer joint), d = I − L (inner joint, moved by the rack to
//! d + s·Y), rod length ℓ and θ the turn about u, the rod closes when
//!
//! ```text
//! A cos θ + B sin θ = C     A = o·d − (o·u)(d·u)   B = (u × o)·d   C = (o·o + d·d − ℓ²)/2 − (o·u)(d·u)
//! cos θ = (A C − σ B q)/R²  sin θ = (B C + σ A q)/R²   R² = A² + B²   q = √(R² − C²)
//! ```
//!
//! σ = −sgn B in the reference configuration (θ = 0, s = 0), kept for ever: a linkage changes branch only at a toggle.

use crate::math::each::Each;
use crate::math::root::cross;
use crate::math::vector::Vec3;
use crate::math::within;

use crate::math::trig::Angle;
use polycool::{Cubic, Quartic};
use std::f64::consts::FRAC_PI_2;

/// Why a linkage has no position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Reach {
    /// The rod is shorter than the nearest the arm can come (C > R).
    TooShort,
    /// The rod is longer than the farthest the arm can go (C < −R).
    TooLong,
    /// The rod runs through the steering axis where the wheels are straight: which way the arm would go is not decided.
    AtToggle,
    /// The inner joint lies on the steering axis, or the arm has no length: nothing is steered.
    NoLinkage,
}

/// Where the knuckle stands at one rack displacement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rotation {
    /// Cosine of the turn θ about the steering axis.
    pub cos: f64,
    /// Sine of the turn θ about the steering axis.
    pub sin: f64,
    /// Distance to the toggle in the units of R, √(R² − C²) in mm²: zero at a toggle.
    pub q: f64,
}

impl Rotation {
    /// The turn θ about the steering axis in radians, right-handed about u, in (−π, π].
    #[inline(always)]
    pub fn angle(self) -> f64 {
        self.sin.atan2(self.cos)
    }
}

/// A cos θ + B sin θ = C on the branch σ (+1 or −1; θ = atan2(B, A) + σ·acos(C/R)), `abc` the three coefficients.
///
/// Errors: [`Reach::TooShort`] (C > R), [`Reach::TooLong`] (C < −R, or no number), [`Reach::NoLinkage`] (A = B = 0).
#[inline(always)]
pub fn close([a, b, c]: [f64; 3], sigma: f64) -> Result<Rotation, Reach> {
    let r2 = a * a + b * b;
    let q2 = r2 - c * c;
    if !(q2 >= 0.0) {
        return Err(if c > 0.0 { Reach::TooShort } else { Reach::TooLong });
    }
    if r2 == 0.0 {
        return Err(Reach::NoLinkage);
    }
    let q = q2.sqrt();
    let sq = sigma * q;
    Ok(Rotation { cos: (a * c - b * sq) / r2, sin: (b * c + a * sq) / r2, q })
}

/// Rack displacements in mm with the inner joint's angle there, in radians; in no order.
pub type Peaks = [Option<(f64, f64)>; 8];

/// One wheel's linkage; every field is a coefficient of the closure. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Linkage {
    o: Vec3,
    d: Vec3,
    u: Vec3,
    rod: f64,
    sigma: f64,
    /// A = a0 + a1·s, B = b0 + b1·s, C = c0 + c1·s + s²/2.
    a: [f64; 2],
    b: [f64; 2],
    c: [f64; 2],
}

impl Linkage {
    /// The linkage whose rod is made to fit the reference configuration: ℓ = |O − I|.
    ///
    /// `axis_point` any point of the steering axis, `axis_dir` its direction (upwards, any length), `outer` and `inner` the two
    /// joints with the wheel straight and the rack at mid-travel; all in mm, in one frame.
    ///
    /// Errors: [`Reach::NoLinkage`] when arm or inner joint has no distance from the axis, [`Reach::AtToggle`] when the rod runs
    /// through it.
    ///
    /// ```
    /// use donorack::{Linkage, Reach, Vec3};
    /// let axis = Vec3::new(0.0, 700.0, 0.0);
    /// let bad = Linkage::new(axis, Vec3::UP, Vec3::new(100.0, 700.0, 0.0), Vec3::new(300.0, 700.0, 0.0));
    /// assert_eq!(bad.unwrap_err(), Reach::AtToggle);
    /// ```
    pub fn new(axis_point: Vec3, axis_dir: Vec3, outer: Vec3, inner: Vec3) -> Result<Linkage, Reach> {
        Linkage::with_rod(axis_point, axis_dir, outer, inner, (outer - inner).norm())
    }

    /// The linkage with a rod of a given length: then s = 0 need not be straight. Errors as [`Linkage::new`]; whether the rod
    /// reaches is for [`Linkage::at`] to say.
    pub fn with_rod(axis_point: Vec3, axis_dir: Vec3, outer: Vec3, inner: Vec3, rod: f64) -> Result<Linkage, Reach> {
        let mut linkage = Linkage::on_branch(axis_point, axis_dir.unit(), outer, inner, rod, 0.0);
        let ([a, _], [b, _], scale) = (linkage.a, linkage.b, linkage.o.norm() * linkage.d.norm());
        if !(a.abs() + b.abs() > 1e-12 * scale) || !rod.is_finite() {
            return Err(Reach::NoLinkage);
        }
        if b.abs() <= 1e-12 * scale {
            return Err(Reach::AtToggle);
        }
        linkage.sigma = -b.signum();
        Ok(linkage)
    }

    /// The linkage of a knuckle that was carried elsewhere: on the branch `sigma` of the reference configuration, whatever the sign of
    /// B is here; `u` a unit vector. Never refused: where it cannot stand, [`Linkage::at`] says so.
    pub(crate) fn on_branch(axis_point: Vec3, u: Vec3, outer: Vec3, inner: Vec3, rod: f64, sigma: f64) -> Linkage {
        let (o, d) = (outer - axis_point, inner - axis_point);
        let (ou, du, side) = (o.dot(u), d.dot(u), u.cross(o));
        let a = [o.dot(d) - ou * du, o.y - ou * u.y];
        let b = [side.dot(d), side.y];
        let c = [(o.dot(o) + d.dot(d) - rod * rod) / 2.0 - ou * du, d.y - ou * u.y];
        Linkage { o, d, u, rod, sigma, a, b, c }
    }

    /// The branch σ, +1 or −1.
    pub(crate) fn branch(&self) -> f64 {
        self.sigma
    }

    /// Rod length ℓ in mm.
    pub fn rod(&self) -> f64 {
        self.rod
    }

    /// Distance of the outer joint from the steering axis in mm: the arm's working length.
    pub fn arm(&self) -> f64 {
        self.u.cross(self.o).norm()
    }

    #[inline(always)]
    fn abc(&self, s: f64) -> (f64, f64, f64) {
        (self.a[0] + self.a[1] * s, self.b[0] + self.b[1] * s, self.c[0] + (self.c[1] + s / 2.0) * s)
    }

    /// Where the knuckle stands with the rack displaced by `s` mm to the left. Errors: [`Reach::TooShort`], [`Reach::TooLong`].
    ///
    /// This looks at `s` alone: past a toggle a rod may reach again without being able to get there. Whoever asks beyond the usable
    /// travel compares `s` with [`Linkage::toggles`].
    ///
    /// ```
    /// use donorack::{Linkage, Vec3};
    /// // Arms behind the axis: a rack to the right turns the wheel to the left (positive).
    /// let (axis, outer, inner) = (Vec3::new(0.0, 705.0, 0.0), Vec3::new(-140.0, 683.0, 0.0), Vec3::new(-165.0, 320.0, 0.0));
    /// let wheel = Linkage::new(axis, Vec3::UP, outer, inner).unwrap();
    /// assert!(wheel.at(-10.0).unwrap().angle() > 0.0);
    /// ```
    pub fn at(&self, s: f64) -> Result<Rotation, Reach> {
        let (a, b, c) = self.abc(s);
        close([a, b, c], self.sigma)
    }

    /// The rack displacement at which the knuckle stands at the turn `theta` (radians); `None` where this branch never does.
    ///
    /// ```
    /// use donorack::{Linkage, Vec3};
    /// let (axis, outer, inner) = (Vec3::new(0.0, 705.0, 0.0), Vec3::new(-140.0, 683.0, 0.0), Vec3::new(-165.0, 320.0, 0.0));
    /// let wheel = Linkage::new(axis, Vec3::UP, outer, inner).unwrap();
    /// let theta = wheel.at(-40.0).unwrap().angle();
    /// assert!((wheel.rack_at(theta).unwrap() + 40.0).abs() < 1e-9);
    /// ```
    pub fn rack_at(&self, theta: f64) -> Option<f64> {
        let (sin, cos) = theta.sine_cosine();
        let v = self.o.turned(self.u, cos, sin) - self.d;
        let along2 = self.rod * self.rod - v.x * v.x - v.z * v.z;
        let along = if along2 >= 0.0 { along2.sqrt() } else { return None };
        let on_branch = |s: &f64| {
            let (a, b, _) = self.abc(*s);
            self.sigma * (a * sin - b * cos) > 0.0
        };
        [v.y - along, v.y + along].into_iter().filter(on_branch).min_by(|a, b| a.abs().total_cmp(&b.abs()))
    }

    /// First and second derivative of θ by s, in rad/mm and rad/mm². Infinite or NaN at a toggle.
    pub fn rates(&self, s: f64, t: Rotation) -> (f64, f64) {
        let (a, b, c) = self.abc(s);
        let f_t = b * t.cos - a * t.sin;
        let f_s = self.a[1] * t.cos + self.b[1] * t.sin - self.c[1] - s;
        let f_st = self.b[1] * t.cos - self.a[1] * t.sin;
        let d1 = -f_s / f_t;
        (d1, -(-1.0 + 2.0 * f_st * d1 - c * d1 * d1) / f_t)
    }

    /// Transmission angle μ in radians: between the rod and the plane through steering axis and outer joint, folded to 0…π/2;
    /// π/2 is best, 0 a toggle.
    pub fn transmission(&self, t: Rotation) -> f64 {
        (t.q / (self.rod * self.arm())).min(1.0).asin()
    }

    /// The outer joint at the turn `t`, from the axis point.
    pub fn outer(&self, t: Rotation) -> Vec3 {
        self.o.turned(self.u, t.cos, t.sin)
    }

    /// The inner joint at the rack displacement `s`, from the axis point.
    pub fn inner(&self, s: f64) -> Vec3 {
        self.d + Vec3::LEFT * s
    }

    /// The rod as a vector from inner to outer joint, mm.
    pub fn rod_vector(&self, s: f64, t: Rotation) -> Vec3 {
        self.outer(t) - self.inner(s)
    }

    /// Angle of the inner joint in radians: between the rod and the rack's axis, acos |n_y|.
    pub fn inner_joint(&self, s: f64, t: Rotation) -> f64 {
        let v = self.rod_vector(s, t);
        v.x.hypot(v.z).atan2(v.y.abs())
    }

    /// Tilt of the rod out of the plane square to the outer joint's stud, in radians, positive when the rod rises towards the outer
    /// joint along the stud; the stud lies along the steering axis. Turning about the stud is free: this alone is the joint's to give.
    pub fn outer_tilt(&self, s: f64) -> f64 {
        within((self.o.dot(self.u) - self.inner(s).dot(self.u)) / self.rod, -1.0, 1.0).asin()
    }

    /// The rack displacements next to mid-travel at which the outer joint's tilt comes to `limit` (radians, positive), to the right
    /// (negative) and to the left; mid-travel itself, both ways, where it is past the limit there. The tilt's sine goes linearly with s.
    pub fn outer_tilt_events(&self, limit: f64) -> [Option<f64>; 2] {
        let along = self.o.dot(self.u) - self.d.dot(self.u);
        if along.abs() >= self.rod * limit.sine() {
            return [Some(0.0), Some(0.0)];
        }
        if self.u.y == 0.0 {
            return [None, None];
        }
        nearest([1.0, -1.0].into_iter().map(|sign| (along - sign * self.rod * limit.sine()) / self.u.y))
    }

    /// The smallest transmission angle (radians) from mid-travel to the rack displacement `s`, both included and within reach.
    ///
    /// Its sine is √(R² − C²) over a constant: least at an end, or where that quartic has its own least.
    pub fn least_transmission(&self, s: f64) -> Result<f64, Reach> {
        let mut least = self.transmission(self.at(0.0)?).min(self.transmission(self.at(s)?));
        let k = self.quartic();
        // Its slope's Bernstein coefficients never go from falling to rising: least at an end.
        let (k1, k2, k3, k4) = (k[1], 2.0 * k[2] * s, 3.0 * k[3] * s * s, 4.0 * k[4] * s * s * s);
        let slope = [k1, k1 + k2 / 3.0, k1 + (2.0 * k2 + k3) / 3.0, k1 + k2 + k3 + k4].each(|d| d * s);
        if slope.windows(2).all(|d| d[0] > 0.0 || d[1] < 0.0) {
            return Ok(least);
        }
        let slope = Cubic::new([k[1], 2.0 * k[2], 3.0 * k[3], 4.0 * k[4]]);
        for at in slope.roots_between(s.min(0.0), s.max(0.0), s.abs() * 1e-9) {
            least = least.min(self.transmission(self.at(at)?));
        }
        Ok(least)
    }

    /// The length of the rod that would close the linkage with the wheel straight and the rack at mid-travel: |O − I|, mm.
    pub fn straight_rod(&self) -> f64 {
        (self.o - self.d).norm()
    }

    /// The toggles next to mid-travel, as rack displacements: to the right (negative) and to the left. `None` where the linkage
    /// has no position at mid-travel, or (never, for a rod of finite length) no toggle that way.
    pub fn toggles(&self) -> [Option<f64>; 2] {
        let k = self.quartic();
        if !(k[0] > 0.0) {
            return [None, None];
        }
        let far = 2.0 * (self.o.norm() + self.d.norm() + self.rod);
        nearest(roots(k, far).into_iter().map(|s| polish(s, |s| self.reach(s))))
    }

    /// The first toggle or fold-back between mid-travel and the rack displacement `far`, `None` where there is none: what
    /// [`Linkage::toggles`] and [`Linkage::fold_backs`] say, but looking no farther than asked.
    ///
    /// R² − C² has as many zeros in 0…`far` as its Bernstein coefficients there change their sign, where that is none or one; where it is
    /// more, everything is searched. Whether the rod comes to stand square to the rack is looked at in quarters: to be missed it would have to
    /// fold back twice within one of them.
    pub fn dead_point(&self, far: f64) -> Option<f64> {
        let [k0, k1, k2, k3, k4] = self.quartic();
        let (k1, k2, k3, k4) = (k1 * far, k2 * far * far, k3 * far * far * far, k4 * far * far * far * far);
        let end = k0 + k1 + k2 + k3 + k4;
        let bernstein = [k0, k0 + k1 / 4.0, k0 + k1 / 2.0 + k2 / 6.0, k0 + 0.75 * k1 + k2 / 2.0 + k3 / 4.0, end];
        let toggle = match sign_changes(&bernstein) {
            0 if k0 > 0.0 => None,
            1 if k0 > 0.0 && end < 0.0 => {
                let (a, b) = cross([0.0, far], [k0, end], 1e-6 * far.abs(), &mut |s| self.reach(s).0);
                Some(polish((a + b) / 2.0, |s| self.reach(s)))
            }
            _ => {
                let (side, toggles) = (usize::from(far > 0.0), self.toggles());
                let near = [toggles[side], self.fold_backs(toggles)[side]].into_iter().flatten().min_by(|a, b| a.abs().total_cmp(&b.abs()));
                return near.filter(|s| s.abs() <= far.abs());
            }
        };
        // A hair's breadth before a toggle, so that rounding does not put it beyond.
        let last = toggle.map_or(far, |t| t * (1.0 - 1e-9));
        let mut along = |s: f64| self.at(s).map_or(f64::NAN, |t| self.rod_vector(s, t).y);
        let mut before = (0.0, along(0.0));
        for k in 1..=4 {
            let s = last * f64::from(k) / 4.0;
            let here = (s, along(s));
            if here.1 * before.1 < 0.0 {
                let (a, b) = cross([before.0, here.0], [before.1, here.1], 1e-11, &mut along);
                return Some((a + b) / 2.0);
            }
            before = here;
        }
        toggle
    }

    /// R² − C² as a quartic in s, from the constant up: positive at mid-travel, nought at a toggle.
    fn quartic(&self) -> [f64; 5] {
        let ([a0, a1], [b0, b1], [c0, c1]) = (self.a, self.b, self.c);
        [a0 * a0 + b0 * b0 - c0 * c0, 2.0 * (a0 * a1 + b0 * b1 - c0 * c1), a1 * a1 + b1 * b1 - c1 * c1 - c0, -c1, -0.25]
    }

    /// R² − C² at the rack displacement `s`, and its derivative by s: nought at a toggle.
    #[inline(always)]
    fn reach(&self, s: f64) -> (f64, f64) {
        let (a, b, c) = self.abc(s);
        (a * a + b * b - c * c, 2.0 * (a * self.a[1] + b * self.b[1] - c * (self.c[1] + s)))
    }

    /// The toggles of this linkage from those of one that differs by hair's breadths, without looking for others.
    pub(crate) fn toggles_near(&self, known: [Option<f64>; 2]) -> [Option<f64>; 2] {
        known.map(|s| Some(polish(s?, |s| self.reach(s))))
    }

    /// The rack displacements next to mid-travel at which the rod comes to stand at the angle `lambda` (radians) to the rack's
    /// axis, to the right (negative) and to the left; only those before a toggle. At π/2 this is the fold-back.
    pub fn rod_angle_events(&self, lambda: f64, toggles: [Option<f64>; 2]) -> [Option<f64>; 2] {
        self.rod_angles(lambda, toggles, TrigPoly::zeros)
    }

    /// The same from those of a linkage that differs by hair's breadths, without looking for others.
    pub(crate) fn rod_angle_events_near(&self, lambda: f64, toggles: [Option<f64>; 2], known: [Option<f64>; 2]) -> [Option<f64>; 2] {
        self.rod_angles(lambda, toggles, |p| known.map(|s| Some(p.zero_near(self.at(s?).ok()?.angle()))))
    }

    fn rod_angles<const N: usize>(
        &self,
        lambda: f64,
        toggles: [Option<f64>; 2],
        zeros: impl Fn(&TrigPoly) -> [Option<f64>; N],
    ) -> [Option<f64>; 2] {
        let (sin, cos) = lambda.sine_cosine();
        let cos = if (lambda - FRAC_PI_2).abs() < 1e-12 { 0.0 } else { cos };
        let p = self.transverse(self.rod * sin);
        let within = |s: f64| toggles[0].is_none_or(|t| s > t) && toggles[1].is_none_or(|t| s < t);
        nearest(zeros(&p).into_iter().flatten().flat_map(|theta| {
            let (st, ct) = theta.sine_cosine();
            let y = self.o.turned(self.u, ct, st).y - self.d.y;
            [y - self.rod * cos, y + self.rod * cos].into_iter().filter(move |&s| {
                let (a, b, _) = self.abc(s);
                self.sigma * (a * st - b * ct) > 0.0 && within(s)
            })
        }))
    }

    /// The fold-backs next to mid-travel, as [`Linkage::toggles`].
    pub fn fold_backs(&self, toggles: [Option<f64>; 2]) -> [Option<f64>; 2] {
        self.rod_angle_events(FRAC_PI_2, toggles)
    }

    /// Largest inner-joint angle (radians) between two rack displacements, both within reach; `peaks` are
    /// [`Linkage::inner_joint_peaks`].
    pub fn largest_inner_joint(&self, from: f64, to: f64, peaks: &Peaks) -> Result<f64, Reach> {
        let ends = self.inner_joint(from, self.at(from)?).max(self.inner_joint(to, self.at(to)?));
        let between = peaks.iter().flatten().filter(|(s, _)| *s > from.min(to) && *s < from.max(to));
        Ok(between.map(|p| p.1).fold(ends, f64::max))
    }

    /// Where the inner joint's angle is largest or smallest on this branch.
    pub fn inner_joint_peaks(&self) -> Peaks {
        let mut out = [None; 8];
        for (pair, theta) in out.chunks_exact_mut(2).zip(self.transverse(0.0).slope().zeros().into_iter().flatten()) {
            for (place, peak) in pair.iter_mut().zip(self.peaks_at(theta)) {
                *place = peak;
            }
        }
        out
    }

    /// The same from those of a linkage that differs by hair's breadths, without looking for others.
    pub(crate) fn inner_joint_peaks_near(&self, known: &Peaks) -> Peaks {
        let slope = self.transverse(0.0).slope();
        let moved = |k: usize| Some(self.peaks_at(slope.zero_near(self.at(known[k]?.0).ok()?.angle()))[k % 2]).flatten();
        std::array::from_fn(moved)
    }

    /// Where the knuckle may stand at the turn `theta` on this branch, with the inner joint's angle there.
    fn peaks_at(&self, theta: f64) -> [Option<(f64, f64)>; 2] {
        let (sin, cos) = theta.sine_cosine();
        let t = Rotation { cos, sin, q: 0.0 };
        let v = self.outer(t) - self.d;
        let along2 = self.rod * self.rod - v.x * v.x - v.z * v.z;
        // Beyond rounding: the rod does not reach that far across, and the knuckle never stands so.
        if along2 < -1e-9 * self.rod * self.rod {
            return [None; 2];
        }
        let along = along2.max(0.0).sqrt();
        [v.y - along, v.y + along].each(|s| {
            let (a, b, _) = self.abc(s);
            (self.sigma * (a * sin - b * cos) > 0.0).then(|| (s, self.inner_joint(s, t)))
        })
    }

    /// The square of the rod's part across the rack's axis, less `h`², as a trigonometric polynomial in θ.
    fn transverse(&self, h: f64) -> TrigPoly {
        let p = self.u * self.o.dot(self.u);
        let (m, n, e) = (self.o - p, self.u.cross(self.o), p - self.d);
        let xz = |a: Vec3, b: Vec3| a.x * b.x + a.z * b.z;
        TrigPoly { one: xz(e, e) - h * h, cos: 2.0 * xz(e, m), sin: 2.0 * xz(e, n), cos2: xz(m, m), sin2: xz(n, n), cross: 2.0 * xz(m, n) }
    }
}

/// k₀ + k₁ cos θ + k₂ sin θ + k₃ cos² θ + k₄ sin² θ + k₅ cos θ sin θ.
struct TrigPoly {
    one: f64,
    cos: f64,
    sin: f64,
    cos2: f64,
    sin2: f64,
    cross: f64,
}

impl TrigPoly {
    fn at(&self, theta: f64) -> f64 {
        let (s, c) = theta.sine_cosine();
        self.one + self.cos * c + self.sin * s + self.cos2 * c * c + self.sin2 * s * s + self.cross * c * s
    }

    /// Derivative by θ.
    fn slope(&self) -> TrigPoly {
        TrigPoly { one: 0.0, cos: self.sin, sin: -self.cos, cos2: self.cross, sin2: -self.cross, cross: 2.0 * (self.sin2 - self.cos2) }
    }

    /// Zeros in θ within ± 175°, which is past every position a steered wheel can take; by t = tan(θ/2), which makes it a quartic.
    fn zeros(&self) -> [Option<f64>; 4] {
        let k = [
            self.one + self.cos + self.cos2,
            2.0 * (self.sin + self.cross),
            2.0 * (self.one - self.cos2) + 4.0 * self.sin2,
            2.0 * (self.sin - self.cross),
            self.one - self.cos + self.cos2,
        ];
        let mut out = [None; 4];
        for (place, t) in out.iter_mut().zip(roots(k, 22.9)) {
            *place = Some(self.zero_near(2.0 * t.atan()));
        }
        out
    }

    /// The zero next to a turn that is nearly one.
    fn zero_near(&self, theta: f64) -> f64 {
        let slope = self.slope();
        polish(theta, |x| (self.at(x), slope.at(x)))
    }
}

/// How often the sign changes along a row of numbers.
fn sign_changes(row: &[f64]) -> usize {
    row.windows(2).filter(|d| (d[0] > 0.0) != (d[1] > 0.0)).count()
}

/// Real roots of a quartic (coefficients from the constant up) within ± `far`.
fn roots(k: [f64; 5], far: f64) -> impl IntoIterator<Item = f64> {
    Quartic::new(k).roots_between(-far, far, far * 1e-9)
}

/// Newton's method. From a root known to nine digits two steps are enough, from that of a linkage that differs by a hair's breadth four.
fn polish(mut x: f64, f: impl Fn(f64) -> (f64, f64)) -> f64 {
    for _ in 0..4 {
        let (y, dy) = f(x);
        let step = y / dy;
        if !step.is_finite() {
            break;
        }
        x -= step;
        if step.abs() <= 1e-9 * x.abs() {
            break;
        }
    }
    x
}

/// The nearest displacement on either side of mid-travel, [right (negative), left]; one at mid-travel itself counts both ways.
fn nearest(events: impl Iterator<Item = f64>) -> [Option<f64>; 2] {
    events.fold([None, None], |[right, left], s| {
        let right = if s <= 0.0 && right.is_none_or(|r| s > r) { Some(s) } else { right };
        let left = if s >= 0.0 && left.is_none_or(|l| s < l) { Some(s) } else { left };
        [right, left]
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Axis (0, 700), arm (−140, −20), I (−320, 600): handbook, computed with an independent solver.
    fn folding() -> Linkage {
        Linkage::new(Vec3::new(0.0, 700.0, 0.0), Vec3::UP, Vec3::new(-140.0, 680.0, 0.0), Vec3::new(-320.0, 600.0, 0.0)).unwrap()
    }

    #[test]
    fn a_fold_back_lies_before_the_stretched_toggle() {
        let l = folding();
        let toggles = l.toggles();
        assert!((toggles[0].unwrap() + 10.06).abs() < 0.01, "{toggles:?}");
        assert!((toggles[1].unwrap() - 210.062).abs() < 1e-3, "{toggles:?}");
        assert!((l.fold_backs(toggles)[1].unwrap() - 169.752).abs() < 1e-3);
    }

    #[test]
    fn reference_is_straight_and_rates_are_those_of_the_positions() {
        let l = folding();
        let t = l.at(0.0).unwrap();
        assert!(t.angle().abs() < 1e-14);
        let (s, h) = (20.0, 1e-3);
        let at = |s: f64| l.at(s).unwrap().angle();
        let (d1, d2) = l.rates(s, l.at(s).unwrap());
        assert!((d1 - (at(s + h) - at(s - h)) / (2.0 * h)).abs() < 1e-9);
        let rate = |s: f64| l.rates(s, l.at(s).unwrap()).0;
        assert!((d2 - (rate(s + h) - rate(s - h)) / (2.0 * h)).abs() < 1e-9);
    }

    #[test]
    fn the_rod_keeps_its_length_and_the_toggle_ends_it() {
        let l = folding();
        let [_, Some(far)] = l.toggles() else { panic!("no toggle") };
        for k in 0..100 {
            let s = far * f64::from(k) / 100.0;
            assert!((l.rod_vector(s, l.at(s).unwrap()).norm() - l.rod()).abs() < 1e-9);
        }
        assert!(l.at(far + 1e-6).is_err());
        assert!(l.transmission(l.at(far - 1e-9).unwrap()) < 1e-3);
    }

    #[test]
    fn too_short_and_too_long_are_told_apart() {
        let (axis, outer, inner) = (Vec3::new(0.0, 700.0, 0.0), Vec3::new(-140.0, 680.0, 0.0), Vec3::new(-150.0, 300.0, 0.0));
        let short = Linkage::with_rod(axis, Vec3::UP, outer, inner, 200.0).unwrap();
        let long = Linkage::with_rod(axis, Vec3::UP, outer, inner, 700.0).unwrap();
        assert_eq!(short.at(0.0).unwrap_err(), Reach::TooShort);
        assert_eq!(long.at(0.0).unwrap_err(), Reach::TooLong);
    }

    #[test]
    fn nothing_there_is_no_linkage() {
        let axis = Vec3::new(0.0, 700.0, 0.0);
        assert_eq!(Linkage::new(axis, Vec3::UP, axis, Vec3::new(-150.0, 300.0, 0.0)).unwrap_err(), Reach::NoLinkage);
    }
}
