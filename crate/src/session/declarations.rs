//! The declarations of everything that crosses into JavaScript, `www/types/core.d.ts`: written from the types themselves, for tests alone.

use crate::present::axle_drawing::AxleDrawing;
use crate::present::explanation::Explained;
use crate::present::lock_to_lock::TurnView;
use crate::present::over_bumps::{BumpView, CornerDrawing};
use crate::present::place::PlaceView;
use crate::present::points::PointsView;
use crate::present::refusal::Refusal;
use crate::present::tables::{FieldRow, ResultRow};
use crate::present::view::{First, Typed, View};
use crate::rack_search::BuyingGuide;
use std::collections::BTreeMap;
use ts_rs::{Config, TS, TypeVisitor};

/// Declarations by their name.
#[derive(Default)]
struct All(BTreeMap<String, String>);

impl TypeVisitor for All {
    fn visit<T: TS + 'static + ?Sized>(&mut self) {
        let config = Config::default();
        // A type of the language's own has no file that it would be written to.
        if T::output_path().is_none() || self.0.contains_key(&T::ident(&config)) {
            return;
        }
        let docs = T::docs().unwrap_or_default();
        self.0.insert(T::ident(&config), format!("{docs}export {}\n", T::decl(&config)));
        T::visit_dependencies(self);
    }
}

fn declarations() -> String {
    let mut all = All::default();
    all.visit::<View>();
    all.visit::<First>();
    all.visit::<Typed>();
    all.visit::<BuyingGuide>();
    all.visit::<Explained>();
    all.visit::<AxleDrawing>();
    all.visit::<TurnView>();
    all.visit::<BumpView>();
    all.visit::<CornerDrawing>();
    all.visit::<PlaceView>();
    all.visit::<PointsView>();
    all.visit::<Refusal>();
    all.visit::<FieldRow>();
    all.visit::<ResultRow>();
    let head = "// What the core hands over, written from its types: `DONORACK_TYPES=1 cargo test -p donorack types` writes it anew.\n\n";
    all.0.into_values().fold(head.to_owned(), |text, one| text + &one + "\n").trim_end().to_owned() + "\n"
}

#[test]
fn declarations_are_those_of_the_types() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../www/types/core.d.ts");
    let now = declarations();
    if std::env::var_os("DONORACK_TYPES").is_some() {
        std::fs::write(file, &now).expect("the folder takes a file");
    }
    let kept = std::fs::read_to_string(file).unwrap_or_default();
    assert!(kept == now, "www/types/core.d.ts is not what the types are; DONORACK_TYPES=1 writes it anew");
}
