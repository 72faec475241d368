//! Speed of the air: a day at the bench with 200 coats, both zones at every second; the whole review of a page.

use coatbell::air::{CoatAir, Release, RoomAir, RunAir, Shape, Sources, Tail, Timeline, Zones, assess, review};
use coatbell::catalog::{Catalog, Component};
use coatbell::input::Hardener;
use coatbell::input::RoomInput;

fn main() {
    divan::main();
}

/// 200 coats over a day: a spray and a drying film each.
fn day() -> Timeline {
    let mut sources = Sources::default();
    for number in 0..200 {
        let start_s = f64::from(number) * 420.0;
        let component = Component::Substance("acetone".to_owned());
        sources.add(&Release { component, mass_g: 3.0, start_s, shape: Shape::Steady { duration_s: 9.0 } }, 1.0);
        let film = Tail { from_s: start_s + 9.0, rate: 0.005, decay_per_s: 1.0 / 300.0 };
        let one = Sources::from_parts(Vec::new(), vec![film]);
        sources.extend(&one);
    }
    Timeline::new(Zones::around_bench(22.8, 0.006, 0.8, 6.0), &sources)
}

/// The reference of the requirement: at most 5 ms.
#[divan::bench]
fn day_of_200_coats_every_second(bencher: divan::Bencher<'_, '_>) {
    let line = day();
    bencher.bench(|| line.series(0.0, 1.0, 86_400));
}

#[divan::bench]
fn timeline_of_200_coats() -> Timeline {
    day()
}

fn run(catalog: &Catalog) -> RunAir {
    let mixture = [("propane", 1.2), ("n-butane", 0.8), ("acetone", 3.0), ("n-butyl-acetate", 0.8), ("toluene", 0.1)];
    let coats = (0..4)
        .map(|number| {
            let start_s = f64::from(number) * 900.0;
            let releases = mixture
                .iter()
                .map(|(id, mass_g)| Release {
                    component: Component::Substance((*id).to_owned()),
                    mass_g: *mass_g,
                    start_s,
                    shape: Shape::Decaying { rate_per_s: 1.0 / 120.0 },
                })
                .collect();
            CoatAir { start_s, end_s: start_s + 9.0, releases }
        })
        .collect();
    RunAir {
        room: RoomAir::of(None::<&RoomInput>, &catalog.rules.air),
        coats,
        shares: Vec::new(),
        respirator: None,
        hardener: Hardener::None,
        ignition: false,
        relative_humidity: None,
    }
}

#[divan::bench]
fn assess_four_coats(bencher: divan::Bencher<'_, '_>) {
    let catalog = Catalog::builtin();
    let run = run(&catalog);
    bencher.bench(|| assess(&run, &catalog));
}

#[divan::bench]
fn review_four_coats_with_advice(bencher: divan::Bencher<'_, '_>) {
    let catalog = Catalog::builtin();
    let run = run(&catalog);
    bencher.bench(|| review(&run, &catalog));
}
