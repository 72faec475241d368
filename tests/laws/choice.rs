//! The review of the air alone takes short ways, and they lead where the whole plan does.

use std::collections::BTreeSet;

use coatbell::catalog::Sealer;
use coatbell::input::RoomInput;
use coatbell::page::Sheet;
use coatbell::plan::{Plan, Safety, make, safety_of_page};

use crate::support::{CATALOG, Numbers, REFERENCE_ROOM, now, page, request, room};

/// A page of random layers, paper and finish.
fn drawn_page(numbers: &mut Numbers) -> String {
    let media: Vec<&str> = CATALOG.media.keys().map(String::as_str).collect();
    let papers: Vec<&str> = CATALOG.papers.keys().map(String::as_str).collect();
    let mut text = format!("title = \"drawn\"\nsize = \"A5\"\npaper = \"{}\"\n", numbers.one_of(&papers));
    text.push_str(numbers.one_of(&["", "finish = \"matte\"\n", "finish = \"satin\"\n", "finish = \"gloss\"\n"]));
    for _ in 0..numbers.from(1, 4) {
        let (medium, cover) = (numbers.one_of(&media), numbers.from(10, 100));
        let layer = format!("medium = \"{medium}\"\ncover = \"{cover} %\"\nfinished = \"9 days ago\"\n");
        text.push_str("[[layer]]\n");
        text.push_str(&layer);
    }
    text
}

/// What `plan` and what `safety` say of a page in a room, with a sealer or without; nothing of a page that is none.
fn both(text: &str, room: &RoomInput, sealer: Option<&Sealer>) -> Option<(Plan, Safety)> {
    let now = now();
    let (source, input) = page(text);
    let sheet = Sheet::resolve(&input, &source, &CATALOG).ok()?;
    let request = request(&sheet, sealer, room, &now);
    Some((make(&request, &CATALOG), safety_of_page(&request, &CATALOG)))
}

/// `safety`, which judges no more sealers than it must, takes the sealer that `plan` ranks first.
#[test]
fn the_best_alone_is_the_best_of_all() {
    let mut numbers = Numbers(20_261_125);
    let room = room(REFERENCE_ROOM);
    let mut chosen = BTreeSet::new();
    for _ in 0..60 {
        let text = drawn_page(&mut numbers);
        let Some((plan, safety)) = both(&text, &room, None) else { continue };
        assert_eq!(safety.sealer.id, plan.sealer.id, "{text}");
        chosen.insert(plan.sealer.id);
    }
    assert!(chosen.len() > 1, "{chosen:?}");
}

/// `safety`, which dries no coat further than its wait needs, waits as long as `plan` does: whether the trade, the air or
/// the drying sets the wait.
#[test]
fn safety_waits_as_long_as_the_plan() {
    let mut numbers = Numbers(20_261_126);
    let sealers: Vec<&Sealer> = CATALOG.sealers.values().collect();
    let mut waits = BTreeSet::new();
    for case in 0..80 {
        let text = drawn_page(&mut numbers);
        let keys = format!(
            "size = \"{} m x 3 m x 2.4 m\"\nairflow = \"{}\"\ntemperature = \"{} C\"\nhumidity = \"{} %\"\n",
            numbers.from(2, 6),
            numbers.one_of(&["closed", "window-open", "cross-draught", "outdoors"]),
            numbers.from(12, 30),
            numbers.from(30, 75)
        );
        let keys = if keys.contains("outdoors") { keys[keys.find("airflow").unwrap_or(0)..].to_owned() } else { keys };
        let sealer = sealers[case % sealers.len()];
        let Some((plan, safety)) = both(&text, &room(&keys), Some(sealer)) else { continue };
        assert_eq!(plan.coats.len(), safety.coats.len(), "{text}{keys}");
        for (coat, pair) in plan.coats.iter().zip(safety.coats.windows(2)) {
            let wait_min = pair[1].starts_min - pair[0].ends_min;
            assert!((wait_min - f64::from(coat.wait_min)).abs() < 1e-6, "{}: {wait_min}\n{text}{keys}", sealer.id);
            waits.insert(coat.wait_min);
        }
    }
    assert!(waits.len() > 4, "{waits:?}");
}
