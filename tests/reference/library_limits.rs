//! No limit of the catalog is laxer than what a library of published limits holds: figures and sources by
//! `library_rows.py`. Lower ones are welcome, since the catalog takes the lowest of several bodies.

use coatbell::catalog::Catalog;

const LIMITS: &str = include_str!("library_limits.csv");

#[test]
fn no_limit_is_laxer_than_a_published_one() {
    let catalog = Catalog::builtin();
    let mut compared = 0;
    for line in LIMITS.lines().skip(1) {
        let mut cells = line.splitn(4, ',');
        let mut cell = || cells.next().expect("four cells");
        let (name, figure, at_most, source) = (cell(), cell(), cell(), cell());
        let at_most: f64 = at_most.parse().expect("a number");
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
