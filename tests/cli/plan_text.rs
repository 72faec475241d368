//! The plan on a terminal, whole, at the widths and in the looks people have.

use coatbell::plan::Plan;
use coatbell::quantity::Units;
use coatbell::report::{Look, compare_text, display_width, plan_text};

use super::sample_plans::{all, care, dusting, go, hold_bare, hold_with_coats, hostile, long_title, look, outdoors};
use crate::support::flat;

fn shown(plan: &Plan, change: impl FnOnce(&mut Look)) -> String {
    let mut look = look();
    change(&mut look);
    plan_text(plan, &look)
}

#[test]
fn go_at_80_columns() {
    insta::assert_snapshot!(shown(&go(), |_| ()));
}

#[test]
fn go_at_40_columns() {
    insta::assert_snapshot!(shown(&go(), |look| look.width = 40));
}

#[test]
fn go_at_120_columns() {
    insta::assert_snapshot!(shown(&go(), |look| look.width = 120));
}

#[test]
fn go_in_us_units() {
    insta::assert_snapshot!(shown(&go(), |look| look.units = Units::Us));
}

#[test]
fn go_in_ascii() {
    insta::assert_snapshot!(shown(&go(), |look| look.unicode = false));
}

#[test]
fn go_quiet() {
    insta::assert_snapshot!(shown(&go(), |look| look.quiet = true));
}

#[test]
fn go_with_reasons_and_in_full() {
    insta::assert_snapshot!(shown(&go(), |look| {
        look.why = true;
        look.verbose = true;
    }));
}

#[test]
fn care_without_a_room() {
    insta::assert_snapshot!(shown(&care(), |_| ()));
}

#[test]
fn hold_without_coats() {
    insta::assert_snapshot!(shown(&hold_bare(), |_| ()));
}

#[test]
fn hold_with_its_coats() {
    insta::assert_snapshot!(shown(&hold_with_coats(), |_| ()));
}

#[test]
fn outdoors_at_60_columns() {
    insta::assert_snapshot!(shown(&outdoors(), |look| look.width = 60));
}

#[test]
fn dusting_coats_over_days() {
    insta::assert_snapshot!(shown(&dusting(), |_| ()));
}

#[test]
fn long_title_at_40_columns() {
    insta::assert_snapshot!(shown(&long_title(), |look| look.width = 40));
}

#[test]
fn hostile_text() {
    insta::assert_snapshot!(shown(&hostile(), |look| look.why = true));
}

#[test]
fn compared_at_80_columns() {
    insta::assert_snapshot!(compare_text(&[hold_with_coats(), care_gloss()], &look()));
}

#[test]
fn compared_at_40_columns() {
    insta::assert_snapshot!(compare_text(&[hold_with_coats(), care_gloss()], &Look { width: 40, ..look() }));
}

fn care_gloss() -> Plan {
    let mut plan = outdoors();
    plan.sealer.name = "Acrylic gloss, the can on the shelf".into();
    plan.answer = "Seal tonight: one mist, then two builds; the air needs a mask and an open window".into();
    plan
}

#[test]
fn no_line_is_wider_than_the_screen() {
    for (name, plan) in all() {
        for width in [24, 32, 40, 55, 56, 77, 79, 80, 100, 120, 160] {
            for units in [Units::Metric, Units::Us] {
                for unicode in [true, false] {
                    let look = Look { width, units, unicode, why: true, verbose: true, ..look() };
                    for text in [plan_text(&plan, &look), compare_text(&[plan.clone(), care()], &look)] {
                        for line in text.lines() {
                            assert!(display_width(line) <= width, "{name} at {width}: {line}");
                        }
                        assert!(unicode || text.is_ascii(), "{name} at {width} is not ASCII");
                    }
                }
            }
        }
    }
}

/// Removes the colour and weight sequences.
fn without_colour(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        plain.push_str(before);
        rest = after.split_once('m').map_or("", |(_, after)| after);
    }
    plain + rest
}

#[test]
fn nothing_is_said_by_colour_alone() {
    for (name, plan) in all() {
        let plain = shown(&plan, |_| ());
        let coloured = shown(&plan, |look| look.colour = true);
        assert!(!plain.contains('\u{1b}'), "{name}");
        assert_ne!(plain, coloured, "{name}");
        assert_eq!(plain, without_colour(&coloured), "{name}");
    }
}

#[test]
fn the_answer_comes_first() {
    for (name, plan) in all() {
        let text = shown(&plan, |_| ());
        let word = plan.verdict.word().to_uppercase();
        assert!(text.starts_with(&format!("{word}  ")), "{name}: {text}");
    }
}

#[test]
fn quiet_is_exactly_two_lines_with_the_caution() {
    for (name, plan) in all() {
        let text = shown(&plan, |look| look.quiet = true);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 2, "{name}: {text}");
        assert!(lines[0].starts_with(&plan.verdict.word().to_uppercase()), "{name}");
        assert_eq!(lines[1], coatbell::caution::IN_ONE_LINE, "{name}");
    }
}

#[test]
fn control_and_hidden_characters_never_reach_the_screen() {
    let look = Look { why: true, verbose: true, ..look() };
    for text in [
        plan_text(&hostile(), &look),
        compare_text(&[hostile(), care()], &look),
        shown(&hostile(), |look| look.quiet = true),
    ] {
        let bad = text.chars().find(|letter| {
            (letter.is_control() && *letter != '\n')
                || matches!(letter, '\u{200B}' | '\u{202A}'..='\u{202E}' | '\u{2028}' | '\u{2029}')
        });
        assert_eq!(bad, None);
        assert!(text.contains("\\u{1b}[31mred"), "{text}");
    }
}

#[test]
fn every_finding_caution_and_item_appears() {
    for (name, plan) in all().into_iter().filter(|(name, _)| *name != "hostile") {
        for width in [40, 80, 120] {
            let text = flat(&shown(&plan, |look| look.width = width));
            let mut sentences: Vec<&str> = vec![&plan.answer];
            sentences.extend(plan.findings.iter().map(|finding| finding.text.as_str()));
            let weighty = plan.findings.iter().filter(|finding| finding.level > coatbell::finding::Level::Note);
            sentences.extend(weighty.filter_map(|finding| finding.remedy.as_deref()));
            sentences.extend(plan.cautions.iter().map(String::as_str));
            sentences.extend(plan.preflight.iter().map(|item| item.text.as_str()));
            sentences.extend(plan.would_change.iter().map(|change| change.text.as_str()));
            sentences.extend(plan.runners_up.iter().map(|other| other.reason.as_str()));
            sentences.extend(plan.milestones.iter().map(|milestone| milestone.text.as_str()));
            sentences.extend(plan.narrow_most.iter().flat_map(|narrow| narrow.steps.iter().map(String::as_str)));
            for sentence in sentences {
                let sentence = flat(sentence);
                assert!(text.contains(&sentence), "{name} at {width} lacks: {sentence}");
            }
        }
    }
}

#[test]
fn every_coat_gives_distance_in_both_systems_and_both_speeds() {
    for width in [40, 80, 120] {
        let text = shown(&go(), |look| look.width = width);
        for word in ["30 cm", "12 in", "18 cm", "7 in", "50 cm/s", "0.9 s", "40 cm/s", "9 µm", "6–12", "22 µm", "15–30"]
        {
            assert!(text.contains(word), "{width}: {word}\n{text}");
        }
    }
}

#[test]
fn us_units_leave_no_metric_figure_without_its_twin() {
    let text = shown(&go(), |look| look.units = Units::Us);
    for word in ["°C", "cm/s", " µm", "m³", " g,", " g."] {
        assert!(!text.contains(word), "{word}\n{text}");
    }
    for word in ["70 °F", "20 in/s", "0.35 mil", "oz", "805 ft³", "cfm"] {
        assert!(text.contains(word), "{word}\n{text}");
    }
}
