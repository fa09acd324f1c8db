//! Donorack's core: which steering rack suits the car.
//!
//! Folders, read from the ground up; each imports only from those above it in this list, and a test says so. `math` and `measurement`
//! know no car; `catalogue` and `plan` hold what can be typed and know no result; `suspension`, `linkage` and `analysis` answer and know
//! no screen; `judgement` judges; `session` keeps what was worked out; `chart` knows no DOM; `web` alone knows JavaScript.

mod math;
mod measurement;

mod catalogue;
mod plan;

mod suspension;

mod linkage;

mod analysis;
mod wording;

mod judgement;
pub mod rack_search;

mod present;

mod session;

pub mod chart;

#[cfg(target_arch = "wasm32")]
pub mod web;

pub use analysis::placement::{AtLock, Cell, Layer, Placement, Settings as PlacementSettings, Window as PlacementWindow};
pub use analysis::sweep::Sweep;
pub use analysis::uncertainty::Uncertainties;
pub use catalogue::field::{FIELD_COUNT, FIELDS, Field, Joint, Section, Spec};
pub use catalogue::field_set::FieldSet;
pub use catalogue::result::{RESULTS, ResultId, Results, Sides};
pub use catalogue::value::{Gap, Value, Why};
pub use judgement::case::{Case, Evaluated, evaluate_rack};
pub use judgement::compare::Alike;
pub use judgement::finding::{Change, Cure, Finding, Kind, Setting};
pub use judgement::findings::findings;
pub use judgement::verdict::VerdictKind;
pub use linkage::ackermann::{by_angle, by_cotangent, ideal_outer};
pub use linkage::arm::Arm;
pub use linkage::steering::{Solution, rack_numbers, solve};
pub use linkage::turning_circle::Lock;
pub use linkage::wheel::{axis_direction, lean, wheels};
pub use math::closure::{Linkage, Reach};
pub use math::vector::Vec3;
pub use measurement::entry::{Entry, Reading, Side, Unclear};
pub use measurement::figure::Text;
pub use measurement::in_unit::in_unit;
pub use measurement::quantity::{Method, Quantity, ResultUnit, Scale};
pub use measurement::unit::{Unit, base, default_pm, in_other_units};
pub use plan::inputs::{Inputs, Item, Origin, Readings, kernel};
pub use plan::keys::{LONGEST_LINK, PARTS};
pub use plan::link::LinkError;
pub use plan::{Entries, FORMAT, LONGEST_NAME, LONGEST_NOTE, LONGEST_TEXT, MOST_ENTRIES, MOST_RACKS, Mark, Newer, Plan, PlanError, Rack};
pub use present::axle_drawing::{Axle, AxleDrawing, axle, probe};
pub use present::bump_probe::{BumpProbe, Hold, Standing, WheelProbe, probe_bump};
pub use present::explanation::Explained;
pub use present::lock_to_lock::over_turn;
pub use present::map::Map;
pub use present::over_bumps::{BumpView, CornerDrawing, WheelCurves, typed_travel};
pub use present::place::{PlaceView, Places, Seen};
pub use present::points::{OddPoint, PointView, PointsView};
pub use present::tables::{FieldRow, ResultRow, field_rows, result_rows};
pub use present::view::{First, RackView, Typed, View, as_typed};
pub use session::{Session, evaluate, evaluate_first, evaluate_shown, explain};
pub use suspension::bump_steer::{Arc, Peak, Place, Shift, roll_steer};
pub use suspension::corner::{Corner, Guide, Points, Rates, Side as CornerSide};
pub use suspension::pose::Pose;
pub use suspension::wheel::Wheel;
pub use suspension::{NoSuspension, RanOut};
