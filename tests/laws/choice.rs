//! The sealer chosen alone is the one a whole ranking puts first.

use coatbell::page::Sheet;
use coatbell::plan::{make, safety_of_page};

use crate::support::{CATALOG, Numbers, REFERENCE_ROOM, now, page, request, room};

/// Pages of random layers, papers and finishes: `safety`, which judges no more sealers than it must, takes the sealer
/// that `plan` ranks first.
#[test]
fn the_best_alone_is_the_best_of_all() {
    let mut numbers = Numbers(20_261_125);
    let media: Vec<&str> = CATALOG.media.keys().map(String::as_str).collect();
    let papers: Vec<&str> = CATALOG.papers.keys().map(String::as_str).collect();
    let now = now();
    let room = room(REFERENCE_ROOM);
    let mut chosen = std::collections::BTreeSet::new();
    for _ in 0..60 {
        let mut text = format!("title = \"drawn\"\nsize = \"A5\"\npaper = \"{}\"\n", numbers.one_of(&papers));
        let finish = numbers.one_of(&["", "finish = \"matte\"\n", "finish = \"satin\"\n", "finish = \"gloss\"\n"]);
        text.push_str(finish);
        for _ in 0..numbers.from(1, 4) {
            let (medium, cover) = (numbers.one_of(&media), numbers.from(10, 100));
            let layer = format!("medium = \"{medium}\"\ncover = \"{cover} %\"\nfinished = \"9 days ago\"\n");
            text.push_str("[[layer]]\n");
            text.push_str(&layer);
        }
        let (source, input) = page(&text);
        let Ok(sheet) = Sheet::resolve(&input, &source, &CATALOG) else { continue };
        let request = request(&sheet, None, &room, &now);
        let plan = make(&request, &CATALOG);
        assert_eq!(safety_of_page(&request, &CATALOG).sealer.id, plan.sealer.id, "{text}");
        chosen.insert(plan.sealer.id);
    }
    assert!(chosen.len() > 1, "{chosen:?}");
}
