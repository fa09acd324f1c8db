//! Two wheels, two arms, two rods and a rack, in plan and in space; one question a file. Knows no screen.

pub mod ackermann;
pub mod arm;
pub mod assumption;
pub mod bump;
pub mod consistency;
pub mod corner;
pub mod in_the_way;
pub mod oddity;
pub mod points;
pub mod rail;
pub mod steering;
pub mod travel;
pub mod turning_circle;
pub mod tyre;
pub mod wheel;
