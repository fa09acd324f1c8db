//! Vectors of three.

pub(super) type Vector = [f64; 3];

pub(super) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(super) fn sum(a: Vector, k: f64, b: Vector) -> Vector {
    [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]]
}

pub(super) fn length(a: Vector) -> f64 {
    dot(a, a).sqrt()
}
