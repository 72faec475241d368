//! No limit of the catalog is laxer than what a library of published limits holds: figures and sources by
//! `library_rows.py`. Lower ones are welcome, since the catalog takes the lowest of several bodies.

use coatbell::catalog::Catalog;

const LIMITS: &str = include_str!("library_limits.csv");

/// Limits that no library holds, each with the page it was read on.
const READ: [(&str, &str, f64, &str); 7] = [
    ("acetone", "twa_ppm", 250.0, "Denmark, order on limit values for substances and materials, annex 2"),
    ("acetone", "short_term_ppm", 500.0, "ACGIH 250/500 as haz-map lists it; Denmark, twice the 8-hour limit"),
    ("xylene", "twa_ppm", 20.0, "ACGIH, notice of intended change 2021, in a hygienists' news page"),
    ("n-methyl-pyrrolidone", "twa_ppm", 1.0, "California, adopted by its standards board in 2013"),
    ("methyl-ethyl-ketone", "short_term_ppm", 200.0, "Germany, AGW 200 with factor 1(I), GisChem"),
    ("methyl-isobutyl-ketone", "short_term_ppm", 40.0, "Germany, AGW 20 with factor 2(I), GisChem"),
    ("n-butyl-acetate", "short_term_ppm", 124.0, "Germany, AGW 62 with factor 2(I), a safety data sheet of 2019"),
];

#[test]
fn no_limit_is_laxer_than_a_published_one() {
    let catalog = Catalog::builtin();
    let mut compared = 0;
    let of_library = LIMITS.lines().skip(1).map(|line| {
        let mut cells = line.splitn(4, ',');
        let mut cell = || cells.next().expect("four cells");
        let (name, figure, at_most, source) = (cell(), cell(), cell(), cell());
        (name, figure, at_most.parse::<f64>().expect("a number"), source)
    });
    for (name, figure, at_most, source) in of_library.chain(READ) {
        let substance = catalog.substance(name).expect("an id of the catalog");
        let limits = &substance.limits;
        let lower = |published: Option<f64>, own: Option<f64>| match (published, own) {
            (Some(published), Some(own)) => Some(published.min(own)),
            (published, own) => published.or(own),
        };
        let used = match figure {
            "lower_explosive_limit_vol_pct" => substance.lowest_lel_vol_pct,
            "twa_ppm" => lower(limits.lowest_twa_ppm, limits.default_twa_ppm),
            "short_term_ppm" => lower(limits.lowest_short_term_ppm, limits.default_short_term_ppm),
            other => panic!("no figure of the catalog is called {other}"),
        };
        let used = used.unwrap_or_else(|| panic!("{name} has no {figure}, {source} has {at_most}"));
        assert!(used <= at_most, "{name}: {figure} {used} is laxer than {at_most} of {source}");
        compared += 1;
    }
    assert!(compared >= 100, "only {compared} limits were compared");
}
