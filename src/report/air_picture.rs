//! The air over time as a picture of characters: how full the exposure limit is, when coats are sprayed, when who may
//! come back.

use super::look::Look;
use super::words::after_the_last_coat as after;
use super::writer::Writer;
use crate::air::{AirReview, SeriesPoint};

/// Columns for the labels on the left, the axis included.
const MARGIN: usize = 9;
/// Widest picture; beyond it a curve gets harder to read, not easier.
const WIDEST: usize = 140;
/// Fullness at the foot of the picture.
const FOOT: f64 = 0.01;
/// Labelled levels, from a hundredth of the limit to a hundred times.
const LEVELS: [(f64, &str); 5] = [(0.01, "1 %"), (0.1, "10 %"), (1.0, "100 %"), (10.0, "1000 %"), (100.0, "10000 %")];

/// The characters drawn with.
struct Ink {
    room: char,
    face: char,
    level: char,
    upright: char,
    corner: char,
    floor: char,
}

const FULL: Ink = Ink { room: '█', face: '░', level: '┄', upright: '┤', corner: '└', floor: '─' };
const PLAIN: Ink = Ink { room: '#', face: ':', level: '.', upright: '|', corner: '+', floor: '-' };

/// Draws the curve of a review. `coats_min` are the beginnings of the coats and `last_end_min` the end of the last one, in
/// minutes after the first coat begins; `outdoors` names the room. Empty if there is no curve.
///
/// The scale is logarithmic, from a hundredth of the limit up; a labelled row is filled from its level on. Nothing is
/// said by colour: the room is drawn solid, what the face gets beyond it is drawn light, and every mark has a letter that
/// the lines below explain.
pub fn air_picture(air: &AirReview, coats_min: &[f64], last_end_min: f64, outdoors: bool, look: &Look) -> String {
    let Some(until) = air.series.last().map(|point| point.t_min).filter(|until| *until > 0.0) else {
        return String::new();
    };
    let ink = if look.unicode { &FULL } else { &PLAIN };
    let columns = look.columns().min(WIDEST) - MARGIN;
    let shape: Vec<(f64, f64)> = (0..columns).map(|column| highest_in(&air.series, until, column, columns)).collect();
    let top = shape.iter().fold(2.0_f64, |top, point| top.max(point.1).max(point.0));
    // Each row begins at a fixed part of a decade, so that a labelled row is filled exactly from its level on.
    let per_decade = if columns >= 60 { 4.0 } else { 3.0 };
    let height = |value: f64| {
        if value < FOOT { 0 } else { libm::floor(libm::log10(value / FOOT) * per_decade + 1e-9) as usize + 1 }
    };
    let rows = height(top);
    let mut lines = Vec::new();
    for row in (1..=rows).rev() {
        let level = LEVELS.iter().find(|(value, _)| height(*value) == row);
        let label = level.map_or("", |(_, label)| label);
        let bar: String = shape
            .iter()
            .map(|(room, face)| {
                if height(*room) >= row {
                    ink.room
                } else if height(*face) >= row {
                    ink.face
                } else if level.is_some() {
                    ink.level
                } else {
                    ' '
                }
            })
            .collect();
        lines.push(format!("{label:>width$} {}{bar}", ink.upright, width = MARGIN - 2));
    }
    let floor: String = std::iter::repeat_n(ink.floor, columns).collect();
    lines.push(format!("{:>width$} {}{floor}", "", ink.corner, width = MARGIN - 2));
    let column_of = |minutes: f64| ((minutes / until * columns as f64) as usize).min(columns - 1);
    lines.push(format!("{:>MARGIN$}{}", "", marks(air, coats_min, last_end_min, columns, &column_of)));
    lines.push(format!("{:>width$} {}", "h:min", clock_row(until, columns, &column_of), width = MARGIN - 1));
    let around = if outdoors { "around the bench" } else { "in the whole room" };
    let mut writer = Writer::new(look);
    writer.text(0, "How full the exposure limit is (each label ten times the one below)");
    writer.text(0, &format!("{0}{0} {around}  {1}{1} at your face", ink.room, ink.face));
    for line in &lines {
        writer.line(line);
    }
    for line in legend(air, coats_min.len()) {
        writer.text(0, &line);
    }
    writer.finish()
}

/// The highest fullness within a column: (room, face). A column without a point takes the line between its neighbours.
fn highest_in(series: &[SeriesPoint], until: f64, column: usize, columns: usize) -> (f64, f64) {
    let edge = |n: usize| until * n as f64 / columns as f64;
    let (from, to) = (edge(column), edge(column + 1));
    let after = series.partition_point(|point| point.t_min < from);
    let inside = series[after..].iter().take_while(|point| point.t_min <= to);
    let mut highest =
        inside.fold((0.0_f64, 0.0_f64), |high, point| (high.0.max(point.room_index), high.1.max(point.near_index)));
    for moment in [from, to] {
        let next = series.partition_point(|point| point.t_min < moment);
        if let (Some(left), Some(right)) = (next.checked_sub(1).and_then(|n| series.get(n)), series.get(next)) {
            let share = (moment - left.t_min) / (right.t_min - left.t_min).max(1e-9);
            highest.0 = highest.0.max(left.room_index + share * (right.room_index - left.room_index));
            highest.1 = highest.1.max(left.near_index + share * (right.near_index - left.near_index));
        }
    }
    highest
}

/// Coats by number and the three times by letter, below the floor. Letters win over numbers, later over earlier.
fn marks(
    air: &AirReview,
    coats_min: &[f64],
    last_end_min: f64,
    columns: usize,
    column_of: &dyn Fn(f64) -> usize,
) -> String {
    let mut row = vec![' '; columns];
    for (number, begin) in coats_min.iter().enumerate() {
        row[column_of(*begin)] = char::from_digit(number as u32 + 1, 10).unwrap_or('+');
    }
    for (letter, minutes) in [('M', air.return_masked_min), ('F', air.clear_unmasked_min), ('O', air.clear_others_min)]
    {
        if let Some(minutes) = minutes {
            // Times that fall into one column stand side by side.
            let at = column_of(last_end_min + f64::from(minutes));
            let free = |column: &usize| !matches!(row[*column], 'M' | 'F' | 'O');
            let place = (at..columns).find(free).or_else(|| (0..at).rev().find(free)).unwrap_or(at);
            row[place] = letter;
        }
    }
    row.into_iter().collect()
}

/// Times along the foot, as hours and minutes from the first coat.
fn clock_row(until: f64, columns: usize, column_of: &dyn Fn(f64) -> usize) -> String {
    let most = (columns / 9).max(1) as f64;
    let steps = [5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0, 2880.0, 10_080.0];
    let step = steps.into_iter().find(|step| until / step <= most).unwrap_or(until);
    let mut row = vec![' '; columns];
    let mut minutes = 0.0;
    while minutes <= until {
        let label = format!("{}:{:02}", (minutes / 60.0) as u32, (minutes % 60.0) as u32);
        let at = column_of(minutes);
        if at + label.len() <= columns {
            row.splice(at..at + label.len(), label.chars());
        }
        minutes += step;
    }
    row.into_iter().collect()
}

/// What the marks mean.
fn legend(air: &AirReview, coats: usize) -> Vec<String> {
    let numbers = match coats {
        0 => String::new(),
        1 => "1 the coat begins".to_owned(),
        2..=9 => format!("1 to {coats} the coats begin"),
        _ => "1 to 9 and + the coats begin".to_owned(),
    };
    let mut lines = vec![numbers];
    lines.push(format!("M back with a mask: {}", after(air.return_masked_min)));
    lines.push(format!("F free of the mask: {}", after(air.clear_unmasked_min)));
    lines.push(format!("O others may come in: {}", after(air.clear_others_min)));
    lines.retain(|line| !line.is_empty());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::{Respirator, Ventilation};
    use crate::finding::Level;
    use crate::report::display_width;
    use jiff::ZonedDateTime;

    /// Three coats a quarter of an hour apart; the figures are made up.
    fn review() -> AirReview {
        let coats = [0.0, 15.0, 30.0];
        let series = (0..=180)
            .map(|n| f64::from(n) * 0.75)
            .map(|t_min| {
                let past = || coats.iter().filter(|begin| t_min >= **begin).map(|begin| t_min - begin);
                let room_index: f64 = past().map(|age| 0.9 * libm::exp(-age / 25.0)).sum();
                let near_index = room_index + past().map(|age| 20.0 * libm::exp(-age * 1.2)).sum::<f64>();
                SeriesPoint { t_min, room_index, near_index, lel_pct: 0.0 }
            })
            .collect();
        AirReview {
            solvents: Vec::new(),
            index_15min: 2.0,
            index_short_term: 1.0,
            index_8h: 0.3,
            index_unmasked_only: 0.5,
            room_index_peak: 1.6,
            lel_room_pct: 1.0,
            lel_near_pct: 12.0,
            return_masked_min: Some(6),
            clear_unmasked_min: Some(20),
            clear_others_min: Some(75),
            purge_99_min: Some(300),
            airflow_needed_m3_h: None,
            ventilation: Ventilation { m3_h: 60.0, low_m3_h: 40.0, mixing_factor: 3.0, source: String::new() },
            respirator: Respirator {
                kind: String::new(),
                cartridge: String::new(),
                prefilter: String::new(),
                protection_factor: 10.0,
                max_use_ppm: None,
                not_held: Vec::new(),
                cartridge_life_h: None,
            },
            series,
            verdict: Level::Care,
        }
    }

    fn look(width: usize, unicode: bool) -> Look {
        Look { width, unicode, ..Look::plain("2026-11-25T10:00[UTC]".parse::<ZonedDateTime>().unwrap()) }
    }

    #[test]
    fn fits_every_width() {
        for width in [24, 40, 80, 120, 400] {
            for unicode in [true, false] {
                let picture = air_picture(&review(), &[0.0, 15.0, 30.0], 30.2, false, &look(width, unicode));
                for line in picture.lines() {
                    assert!(display_width(line) <= width, "{width}: {line}");
                    assert!(unicode || line.is_ascii(), "{line}");
                }
                for mark in ["100 %", "0:00", "M back", "F free", "O others"] {
                    assert!(picture.contains(mark), "{width}: no `{mark}` in\n{picture}");
                }
            }
        }
    }

    #[test]
    fn marks_stand_where_the_curve_says() {
        let picture = air_picture(&review(), &[0.0, 15.0, 30.0], 30.2, false, &look(80, false));
        let marks: Vec<char> =
            picture.lines().find(|line| line.trim_start().starts_with("1  ")).unwrap().chars().collect();
        let column = |mark: char| marks.iter().position(|letter| *letter == mark).unwrap();
        assert!(column('1') < column('2') && column('2') < column('3') && column('3') < column('M'));
        assert!(column('M') < column('F') && column('F') < column('O'));
        // At the mark for others the room is drawn below the 10 % line, before it above.
        let tenth: Vec<char> = picture.lines().find(|line| line.starts_with("   10 %")).unwrap().chars().collect();
        assert_eq!(tenth[column('2') + 1], '#');
        assert_ne!(tenth[column('O') + 1], '#');
    }

    #[test]
    fn nothing_to_draw() {
        let mut empty = review();
        empty.series.clear();
        assert_eq!(air_picture(&empty, &[], 0.0, false, &look(80, true)), "");
    }
}
