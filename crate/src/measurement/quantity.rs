//! What kinds of quantity there are, how they are measured, in which unit a result is reported.

/// What kind of quantity a measurement is; decides which units and texts it takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// A length a tape reads: mm, or inch.
    Length,
    /// A length in which one speaks of a road's width: m, or feet.
    Circle,
    /// An angle in degrees.
    Angle,
    /// Turns of the steering shaft.
    Turns,
    /// A plain number (a steering ratio).
    Number,
    /// Per cent.
    Percent,
    /// One of two words; the words are the row's `sides`.
    Choice,
}

/// How a measurement is usually taken; decides the ± it carries unless one is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    /// Steel tape: ± 1.5 mm.
    Tape,
    /// Tape over two turns of the shaft, halved: ± 0.75 mm.
    TapeOverTwoTurns,
    /// Calliper: ± 0.1 mm.
    Calliper,
    /// Chalk line on the floor: ± 3 mm.
    ChalkLine,
    /// Angle finder: ± 0.5°.
    AngleFinder,
    /// Counted turns: ± 1/36 of a turn.
    CountedTurns,
    /// Not measured: a limit or a choice, exact.
    Exact,
}

/// The unit in which a result is reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ResultUnit {
    /// Millimetres, spoken in mm or inch.
    Mm,
    /// Millimetres, spoken in metres or feet.
    Circle,
    /// Degrees.
    Deg,
    /// Turns of the steering wheel or shaft.
    Turns,
    /// Steering-wheel angle by steer angle.
    Ratio,
    /// Per cent.
    Percent,
    /// Millimetres of rack per degree of steer, positive when a rack to the left steers to the left.
    MmPerDeg,
    /// Degrees of steer per millimetre of rack, likewise.
    DegPerMm,
}

/// How a measurement is written and read: all that the text of a field needs to know of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// What kind of quantity it is.
    pub quantity: Quantity,
    /// How it is usually measured.
    pub method: Method,
    /// Smallest and largest plausible size, without the sign that a side gives (mm, degrees, turns, per cent or plain).
    pub range: (f64, f64),
    /// The two directions, the positive one first; for a choice, the two words.
    pub sides: Option<(&'static str, &'static str)>,
    /// Whether it may be turned off in place of a value.
    pub can_be_off: bool,
}
