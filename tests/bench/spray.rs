//! Speed of the film sampling and the solver: a page takes less than 8 ms optimised.

use coatbell::catalog::Catalog;
use coatbell::diagnostic::SourceText;
use coatbell::input::read_page;
use coatbell::page::Sheet;
use coatbell::solve::plan_coats;
use coatbell::spray::Spray;
use coatbell::vapour::MoistAir;

fn main() {
    divan::main();
}

const AIR: MoistAir = MoistAir { temperature_c: 21.0, relative_humidity: 0.48, pressure_pa: 101_325.0 };

/// Two pages: a loaded one, and one whose low cap makes the solver look furthest.
const PAGES: [(&str, &str); 2] =
    [("loaded", "alcohol-marker\"\ncover = \"30 %"), ("dusting", "soft-pastel\"\nlaydown = \"heavy\"\ncover = \"60 %")];

#[divan::bench(args = [0, 1])]
fn coats(bencher: divan::Bencher<'_, '_>, page: usize) {
    let catalog = Catalog::builtin();
    let text = format!(
        "title = \"{}\"\nsize = \"A4\"\npaper = \"cardstock\"\nfinished = \"3 days ago\"\n[[layer]]\nmedium = \"{}\"\n",
        PAGES[page].0, PAGES[page].1
    );
    let source = SourceText::new("page.toml", &text);
    let now = "2026-11-25T18:00[Europe/Paris]".parse().expect("a moment");
    let input = read_page(&source, &now).expect("a page");
    let sheet = Sheet::resolve(&input, &source, &catalog).expect("known names");
    let sealer = &catalog.sealers["acrylic-gloss"];
    bencher.bench(|| plan_coats(&sheet, sealer, &AIR, &catalog, divan::black_box(1)));
}

#[divan::bench]
fn one_sealer_in_one_air(bencher: divan::Bencher<'_, '_>) {
    let catalog = Catalog::builtin();
    bencher.bench(|| Spray::new(divan::black_box(&catalog.sealers["acrylic-gloss"]), &AIR, &catalog));
}
