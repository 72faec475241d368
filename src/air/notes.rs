//! The safety notes in full, for `safety --notes`: the same text as SAFETY.md, which is built in.

/// The text of SAFETY.md.
const TEXT: &str = include_str!("../../SAFETY.md");

/// A block of the notes.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Note {
    /// A head.
    Head(String),
    /// A paragraph.
    Paragraph(String),
    /// An item of a list.
    Item(String),
    /// A row of a table, cell by cell; the first row of a table is its head.
    Row(Vec<String>),
}

/// The safety notes, block by block, without marks of markup.
pub fn notes() -> Vec<Note> {
    let mut blocks: Vec<Note> = Vec::new();
    let mut open = false;
    for line in TEXT.lines() {
        let trimmed = line.trim();
        if trimmed.is_empty() {
            open = false;
        } else if let Some(head) = trimmed.strip_prefix('#') {
            blocks.push(Note::Head(plain(head.trim_start_matches('#').trim())));
            open = false;
        } else if trimmed.starts_with('|') {
            let cells = trimmed.trim_matches('|').split('|').map(|cell| plain(cell.trim()));
            if !trimmed.starts_with("|---") {
                blocks.push(Note::Row(cells.collect()));
            }
            open = false;
        } else if let Some(item) = trimmed.strip_prefix("- ") {
            blocks.push(Note::Item(plain(item)));
            open = true;
        } else {
            match blocks.last_mut() {
                Some(Note::Paragraph(text) | Note::Item(text)) if open => {
                    text.push(' ');
                    text.push_str(&plain(trimmed));
                }
                _ => {
                    blocks.push(Note::Paragraph(plain(trimmed)));
                    open = true;
                }
            }
        }
    }
    blocks
}

/// A line without marks for bold type and code.
fn plain(text: &str) -> String {
    text.replace("**", "").replace('`', "")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::{Catalog, Figure};
    use crate::caution;
    use crate::quantity::number;

    #[test]
    fn the_short_cautions_stand_in_the_notes() {
        let notes = notes();
        for caution in caution::IN_FULL {
            assert!(notes.contains(&Note::Item(format!("{caution}."))), "{caution}");
        }
    }

    #[test]
    fn blocks_carry_no_markup() {
        let notes = notes();
        assert!(notes.len() > 50, "{}", notes.len());
        for note in &notes {
            let words = match note {
                Note::Head(text) | Note::Paragraph(text) | Note::Item(text) => text.clone(),
                Note::Row(cells) => cells.join(" "),
            };
            assert!(!words.contains("**") && !words.contains('`') && !words.starts_with('#'), "{words}");
        }
    }

    #[test]
    fn the_figures_are_those_of_the_rules() {
        let catalog = Catalog::builtin();
        let rules = &catalog.rules.air;
        let row = |start: &str| {
            let found = notes().into_iter().find_map(|note| match note {
                Note::Row(cells) if cells[0].starts_with(start) => Some(cells),
                _ => None,
            });
            found.unwrap_or_else(|| panic!("no row `{start}`"))
        };
        let per_cent = |figure: &Figure| format!("from {} %", number(figure.get() * 100.0));
        let near = row("explosive limit at the face");
        assert_eq!(near[1..3], [per_cent(&rules.near_lel_care), per_cent(&rules.near_lel_hold)]);
        let room = row("explosive limit in the room");
        assert_eq!(room[1..3], [per_cent(&rules.room_lel_care), per_cent(&rules.room_lel_hold)]);
        assert_eq!(row("exposure limit filled, without")[1], per_cent(&rules.index_care));
        let unheld = row("the part of it that no mask holds");
        assert_eq!(unheld[1..3], [per_cent(&rules.index_care), per_cent(&rules.unmasked_hold)]);
        assert_eq!(row("exposure limit filled behind")[2], per_cent(&rules.masked_hold));
        assert_eq!(row("suspected")[1], format!("{} of the can", per_cent(&rules.hazard_share_care)));
        assert_eq!(row("known to harm")[1], format!("{} of the can", per_cent(&rules.hazard_share_care_repro1)));
        for (words, figure) in [
            ("a closed room of {} m³", &rules.unknown_room_m3),
            ("or {} ppm and", &rules.unknown_limit_ppm),
            ("taken as {} times the 8-hour", &rules.short_term_multiple),
            ("a mixing factor of {};", &rules.mixing_factor),
            ("at least {} minutes", &rules.return_floor_min),
            ("Beyond {} hours", &rules.longest_wait_h),
            ("hemisphere of {} m", &rules.near_field_radius_m),
            ("spark or switched motor within {} m", &rules.ignition_distance_m),
        ] {
            let said = words.replace("{}", &number(figure.get()));
            assert!(TEXT.replace('\n', " ").contains(&said), "{said}");
        }
        assert!(
            TEXT.contains(&format!("safe for others (below {} % of it)", number(rules.others_share.get() * 100.0)))
        );
    }
}
