//! How long the core takes: one closure beside the platform's own atan2, a whole plan, one keystroke's work without a screen.
//!
//! `cargo bench -p donorack`. The machine's own noise falls on both sides of a ratio: it is taken over alternating batches.

use criterion::Criterion;
use donorack::{Corner, CornerSide, Guide, Placement, PlacementSettings, PlacementWindow, Points, Vec3};
use donorack::{Entry, Field, Linkage, Plan, Readings, Session, Unit, Wheel, evaluate, evaluate_rack, solve, wheels};
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Everything that can be measured on a car and three racks, and every limit set.
const COMPLETE: &str = include_str!("complete.json");
/// The plan that the page opens with.
const EXAMPLE: &str = include_str!("../../www/page/example.json");

/// Rack displacements in mm, so that no branch and no argument is always the same.
const PLACES: [f64; 8] = [-52.0, -31.0, -17.5, -3.0, 4.5, 19.0, 36.0, 55.0];

fn main() {
    let complete = Plan::from_json(COMPLETE).expect("the plan beside this file");
    let example = Plan::from_json(EXAMPLE).expect("the page's example");
    let inputs = Readings::of(&complete, 0).inputs();
    let wheel = wheels(&inputs).expect("a linkage")[0];

    let mut bench = Criterion::default().configure_from_args();
    let mut turns = PLACES.iter().cycle().copied();
    let mut place = move || turns.next().unwrap_or_default();
    bench.bench_function("a closure, cos and sin", |b| b.iter(|| closure(&wheel.linkage, black_box(place()))));
    bench.bench_function("a closure with its steer angle", |b| b.iter(|| steer(&wheel, black_box(place()))));
    bench.bench_function("the platform's atan2", |b| b.iter(|| atan2(black_box(place()))));
    bench.bench_function("one rack solved", |b| b.iter(|| solve(black_box(&inputs), [None; 2])));
    bench.bench_function("one rack with every ±", |b| b.iter(|| evaluate_rack(black_box(&complete), 0)));
    bench.bench_function("three complete racks: view", |b| b.iter(|| evaluate(black_box(&complete))));
    bench.bench_function("the page's example: view", |b| b.iter(|| evaluate(black_box(&example))));
    bench.bench_function("the page's example: text to view", |b| b.iter(|| Plan::from_json(black_box(EXAMPLE)).map(|p| evaluate(&p))));
    for racks in RACKS {
        let mut typist = Typist::new(&complete, racks);
        bench.bench_function(&format!("a key in one of {racks} racks: first answer"), |b| b.iter(|| typist.key().evaluate_first()));
        bench.bench_function(&format!("a key in one of {racks} racks: view"), |b| b.iter(|| typist.key().evaluate_shown()));
        bench.bench_function(&format!("one of {racks} racks moved: view"), |b| b.iter(|| typist.moved().evaluate_shown()));
    }
    suspension(&mut bench);
    bench.final_summary();

    let [angle, plain] = beside(|s| steer(&wheel, s), atan2);
    println!("steer angle {angle:.1} ns, atan2 {plain:.1} ns: {:.2} times (medians of alternating batches)", angle / plain);

    // The machine may be busy with other things: the same relative to the platform's atan2.
    let left = corner(CornerSide::Left);
    let [arm, plain] = beside(|s| left.at_arm(s * 0.002, 20.0).map_or(f64::NAN, |p| p.travel()), atan2);
    println!("corner at an arm angle {arm:.1} ns, atan2 {plain:.1} ns: {:.2} times", arm / plain);
    let [height, plain] = beside(|s| left.at_travel(s, 20.0).map_or(f64::NAN, |p| p.travel()), atan2);
    println!("corner at a height {height:.1} ns, atan2 {plain:.1} ns: {:.2} times", height / plain);
}

/// How many racks a plan has in which a key is struck.
const RACKS: [usize; 3] = [3, 10, 30];

/// Somebody who types a number of the rack that is shown, never the same one.
struct Typist {
    session: Session,
    plan: Plan,
    struck: u32,
}

impl Typist {
    /// With so many racks open, made of those of `plan` and all a little apart.
    fn new(plan: &Plan, racks: usize) -> Typist {
        let mut plan = plan.clone();
        let those = plan.racks.clone();
        plan.racks = those.iter().cycle().take(racks).cloned().collect();
        for (i, rack) in plan.racks.iter_mut().enumerate() {
            rack.name = format!("rack {i}");
            rack.entries.insert(Field::Travel, Entry::new(format!("{}", 140.0 + i as f64 / 10.0), Unit::Mm, None));
        }
        let mut session = Session::new(plan.clone());
        session.evaluate_shown();
        Typist { session, plan, struck: 0 }
    }

    fn key(&mut self) -> &mut Session {
        self.struck += 1;
        let travel = 150.0 + f64::from(self.struck % 1000) / 100.0;
        self.plan.racks[self.plan.chosen].entries.insert(Field::Travel, Entry::new(format!("{travel}"), Unit::Mm, None));
        self.session.open(self.plan.clone());
        &mut self.session
    }

    fn moved(&mut self) -> &mut Session {
        self.plan.racks.rotate_left(1);
        self.session.open(self.plan.clone());
        &mut self.session
    }
}

/// A double wishbone: the hard points of G. Rill & A. Arrieta Castro, Road Vehicle Dynamics.
fn corner(side: CornerSide) -> Corner {
    let at = |x: f64, y: f64, z: f64| Vec3::new(x, y * side.sign(), z);
    let points = Points {
        guide: Guide::Wishbone {
            lower: [at(-251.0, 320.0, -80.0), at(148.0, 320.0, -94.0)],
            lower_ball: at(13.0, 737.0, -145.0),
            upper: [at(-105.0, 435.0, 196.0), at(122.0, 435.0, 230.0)],
            upper_ball: at(-25.0, 680.0, 162.0),
        },
        outer: at(-137.0, 690.0, -88.0),
        inner: at(-150.0, 380.0, -38.0),
        wheel_centre: at(0.0, 768.0, 0.0),
        toe: 0.0,
        camber: -0.014,
        radius: 285.0,
        rod: None,
    };
    Corner::new(side, &points).expect("a suspension")
}

/// One corner, and the map of 61 × 61 places, 41 heights and two wheels.
fn suspension(bench: &mut Criterion) {
    let (corners, band) = ([corner(CornerSide::Left), corner(CornerSide::Right)], [-50.0, 50.0]);
    let left = corners[0];
    let mut turns = PLACES.iter().cycle().copied();
    let mut place = move || turns.next().unwrap_or_default();
    let mut group = bench.benchmark_group("suspension");
    group.bench_function("a corner at an arm angle", |b| b.iter(|| left.at_arm(black_box(place() * 0.002), black_box(20.0))));
    group.bench_function("a corner at a height", |b| b.iter(|| left.at_travel(black_box(place()), black_box(20.0))));
    group.bench_function("its exact rates", |b| b.iter(|| left.rates(black_box(place() * 0.002), black_box(20.0))));
    group.bench_function("peak of a toe curve", |b| b.iter(|| left.bump_peak(black_box(band), 0.0)));
    group.bench_function("best height", |b| b.iter(|| left.best_height(black_box(band))));
    group.bench_function("best height and width", |b| b.iter(|| left.best_place(black_box(band))));
    group.bench_function("least move", |b| b.iter(|| left.least_move(black_box(band), 0.001)));
    group.bench_function("slot", |b| b.iter(|| left.height_band(black_box(band), 0.0035)));
    let window = PlacementWindow { ahead: [-60.0, 60.0], up: [-60.0, 60.0], cells: [61, 61] };
    let settings = PlacementSettings { band, steps: 41, ends: [-65.0, 65.0], reserve: 10.0, wheelbase: 2700.0 };
    group.bench_function("map, toe alone", |b| {
        b.iter(|| {
            let map = Placement::new(black_box(corners), window, settings).expect("a map");
            (0..61).map(|row| map.peaks(row).into_iter().sum::<f64>()).sum::<f64>()
        })
    });
    group.bench_function("map, every layer", |b| {
        b.iter(|| {
            let map = Placement::new(black_box(corners), window, settings).expect("a map");
            (0..61).map(|row| map.row(row).len()).sum::<usize>()
        })
    });
    group.finish();
}

fn closure(linkage: &Linkage, s: f64) -> f64 {
    linkage.at(s).map_or(f64::NAN, |t| t.cos + t.sin)
}

fn steer(wheel: &Wheel, s: f64) -> f64 {
    wheel.linkage.at(s).map_or(f64::NAN, |t| wheel.steer(t))
}

fn atan2(s: f64) -> f64 {
    s.atan2(60.0)
}

/// Median time of one call of either, in ns, in batches that take turns.
fn beside(mut a: impl FnMut(f64) -> f64, mut b: impl FnMut(f64) -> f64) -> [f64; 2] {
    let mut times: [Vec<Duration>; 2] = [Vec::new(), Vec::new()];
    for _ in 0..2001 {
        times[0].push(batch(&mut a));
        times[1].push(batch(&mut b));
    }
    times.map(|mut all| {
        all.sort();
        all[all.len() / 2].as_nanos() as f64 / CALLS as f64
    })
}

/// Calls of a batch.
const CALLS: usize = 1000;

fn batch(call: &mut impl FnMut(f64) -> f64) -> Duration {
    let start = Instant::now();
    for s in PLACES.iter().cycle().take(CALLS) {
        black_box(call(black_box(*s)));
    }
    start.elapsed()
}
