//! Pages that several tests plan: invented, each for what it is judged by.

use coatbell::catalog::Catalog;
use coatbell::diagnostic::SourceText;
use coatbell::input::read_page;
use coatbell::page::Sheet;
use coatbell::vapour::MoistAir;

/// The ordinary room: 21 °C, 48 %.
pub(crate) fn ordinary_air() -> MoistAir {
    MoistAir { temperature_c: 21.0, relative_humidity: 0.48, pressure_pa: 101_325.0 }
}

/// Resolves a page written as TOML.
pub(crate) fn sheet<'c>(text: &str, catalog: &'c Catalog) -> Sheet<'c> {
    let now = "2026-11-25T18:00[Europe/Paris]".parse().expect("a moment");
    let source = SourceText::new("page.toml", text);
    let page = read_page(&source, &now).expect("a page");
    Sheet::resolve(&page, &source, catalog).expect("known names")
}

/// Toner line, washes, marker, pencils, a little shimmer on heavy card: the page of the first acceptance line.
pub(crate) const LOADED: &str = r#"
title = "Lighthouse keeper"
size = "A4"
paper = "cardstock-heavy"
grammage = "250 g/m2"
finish = "satin"
finished = "80 h ago"
[[layer]]
medium = "toner"
cover = "8 %"
[[layer]]
medium = "watercolour"
technique = "wet-on-dry"
cover = "50 %"
[[layer]]
medium = "watercolour-pencil"
cover = "30 %"
[[layer]]
medium = "alcohol-marker"
cover = "30 %"
[[layer]]
medium = "oil-pencil"
cover = "30 %"
[[layer]]
medium = "wax-pencil"
cover = "40 %"
[[layer]]
medium = "iridescent-medium"
cover = "4 %"
[[layer]]
medium = "shimmer-pen"
cover = "3 %"
"#;

/// Burnished wax over a whole sky on smooth bristol.
pub(crate) const BURNISHED: &str = r#"
title = "Dusk over the orchard"
size = "A4"
paper = "bristol-smooth"
finish = "satin"
finished = "5 days ago"
[[layer]]
medium = "wax-pencil"
cover = "60 %"
laydown = "heavy"
areas = ["sky"]
[[layer]]
medium = "oil-pencil"
cover = "15 %"
areas = ["sky"]
"#;

/// Markers everywhere on colouring-book text.
pub(crate) const BOOK: &str = r#"
title = "Carousel"
size = "8.5 in x 8.5 in"
paper = "colouring-book"
grammage = "100 g/m2"
finish = "gloss"
finished = "4 days ago"
[[layer]]
medium = "permanent-marker"
cover = "20 %"
[[layer]]
medium = "alcohol-marker"
cover = "80 %"
"#;

/// Gouache, metal and shimmer on black.
pub(crate) const DARK: &str = r#"
title = "Ringed planet"
size = "A4"
paper = "black-card"
finish = "matte"
finished = "5 days ago"
[[layer]]
medium = "gouache"
cover = "30 %"
[[layer]]
medium = "metallic-pen"
cover = "5 %"
[[layer]]
medium = "shimmer-pen"
cover = "2 %"
"#;

/// Charcoal and soft pastel, heavy.
pub(crate) const FRIABLE: &str = r#"
title = "Old harbour pilot"
size = "A4"
paper = "toned"
finish = "gloss"
finished = "2 days ago"
[[layer]]
medium = "charcoal"
cover = "60 %"
laydown = "heavy"
[[layer]]
medium = "soft-pastel"
cover = "60 %"
laydown = "heavy"
"#;
