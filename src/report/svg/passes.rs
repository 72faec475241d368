//! The pass diagram: the sheet to scale, the numbered passes of a coat with their direction, where they start, how far
//! they run past the sheet, and how the bands of spray overlap.

use maud::{Markup, html};

use super::picture::{Held, Picture, line, n, rect, text, together};
use crate::diagnostic::and_list;
use crate::plan::{Coat, Direction, Plan};
use crate::report::look::Look;
use crate::report::words::{distance_pair, pass_count, plain_name, seconds};

const WIDTH: f64 = 230.0;
/// Largest the strokes are drawn.
const MOST_WIDE: f64 = 176.0;
const MOST_HIGH: f64 = 140.0;
/// Room above the strokes: title, the word `start`, numbers.
const ABOVE: f64 = 46.0;
/// Room below: numbers, four lines of words.
const BELOW: f64 = 86.0;
/// Half the length of an arrow's head.
const HEAD: f64 = 4.5;

/// One picture for each pattern of passes; coats with the same pattern share one.
pub(super) fn pictures(plan: &Plan, look: &Look) -> Vec<Picture> {
    let mut groups: Vec<Vec<&Coat>> = Vec::new();
    for coat in &plan.coats {
        match groups.iter_mut().find(|group| same_pattern(group[0], coat)) {
            Some(group) => group.push(coat),
            None => groups.push(vec![coat]),
        }
    }
    // One scale for all, so that a nearer coat is seen to be finer.
    let (width, height) = (plan.page.width_cm.max(1.0), plan.page.height_cm.max(1.0));
    let scale = plan.coats.iter().fold(f64::INFINITY, |scale, coat| {
        let strokes = Strokes::of(coat, width, height);
        scale.min(MOST_WIDE / strokes.wide()).min(MOST_HIGH / strokes.high())
    });
    let high = plan.coats.iter().map(|coat| Strokes::of(coat, width, height).high() * scale).fold(0.0, f64::max);
    groups.into_iter().map(|group| picture(&group, (width, height), scale, high, look)).collect()
}

fn same_pattern(a: &Coat, b: &Coat) -> bool {
    let figures = |coat: &Coat| {
        [coat.step_over_cm, coat.first_pass_offset_cm, coat.overrun_cm, coat.pattern_width_cm, coat.distance_cm]
    };
    figures(a) == figures(b)
        && (a.passes, a.direction, &a.start_corner, a.kind) == (b.passes, b.direction, &b.start_corner, b.kind)
}

/// The passes of a coat in the sheet's own coordinates, cm from its top left corner.
struct Strokes {
    upright: bool,
    width: f64,
    height: f64,
    overrun: f64,
    half_pattern: f64,
    /// Across the passes: where each is centred.
    centres: Vec<f64>,
    /// Whether the first pass starts at the small end (top or left) of its stroke.
    from_small: bool,
}

impl Strokes {
    fn of(coat: &Coat, width: f64, height: f64) -> Self {
        let portrait = height >= width;
        let upright = portrait == (coat.direction == Direction::Long);
        let (bottom, right) = (coat.start_corner.contains("bottom"), coat.start_corner.contains("right"));
        let (across, from_far, from_end) = if upright { (width, right, bottom) } else { (height, bottom, right) };
        let place = |pass: usize| {
            let from_edge = coat.first_pass_offset_cm + pass as f64 * coat.step_over_cm;
            if from_far { across - from_edge } else { from_edge }
        };
        Self {
            upright,
            width,
            height,
            overrun: coat.overrun_cm,
            half_pattern: coat.pattern_width_cm / 2.0,
            centres: (0..coat.passes.min(200)).map(place).collect(),
            from_small: !from_end,
        }
    }

    /// How far the spray reaches past the sheet across the passes.
    fn beside(&self) -> f64 {
        let across = if self.upright { self.width } else { self.height };
        let reach = |edge: f64| (edge - self.half_pattern, edge + self.half_pattern);
        self.centres
            .iter()
            .map(|centre| reach(*centre))
            .fold(0.0, |most, (low, high)| f64::max(most, f64::max(-low, high - across)))
    }

    fn wide(&self) -> f64 {
        self.width + 2.0 * if self.upright { self.beside() } else { self.overrun }
    }

    fn high(&self) -> f64 {
        self.height + 2.0 * if self.upright { self.overrun } else { self.beside() }
    }

    /// Between neighbouring passes, cm; without end if there is only one.
    fn step(&self) -> f64 {
        self.centres.get(1).map_or(f64::INFINITY, |next| (next - self.centres[0]).abs())
    }

    /// Start and end of a pass, cm; passes go to and fro.
    fn stroke(&self, pass: usize) -> ((f64, f64), (f64, f64)) {
        let along = if self.upright { self.height } else { self.width };
        let (small, large) = (-self.overrun, along + self.overrun);
        let forth = self.from_small == pass.is_multiple_of(2);
        let (from, to) = if forth { (small, large) } else { (large, small) };
        let centre = self.centres[pass];
        if self.upright { ((centre, from), (centre, to)) } else { ((from, centre), (to, centre)) }
    }
}

fn picture(coats: &[&Coat], (width, height): (f64, f64), scale: f64, high: f64, look: &Look) -> Picture {
    let coat = coats[0];
    let strokes = Strokes::of(coat, width, height);
    let left = (WIDTH - width * scale) / 2.0;
    let top = ABOVE + (high - height * scale) / 2.0;
    let place = |(x, y): (f64, f64)| (left + x * scale, top + y * scale);
    let bands = bands(&strokes, scale, &place);
    let arrows: Vec<Markup> = (0..strokes.centres.len()).map(|pass| arrow(&strokes, pass, scale, &place)).collect();
    let numbers: Vec<Markup> = (0..strokes.centres.len()).map(|pass| number(&strokes, pass, scale, &place)).collect();
    let side = |centimetres: f64| distance_pair(look.units, centimetres).0;
    let foot = ABOVE + high + 32.0;
    let title = title(coats);
    let offset = coat.first_pass_offset_cm;
    let first = match side(offset.abs()) {
        _ if offset.abs() < 0.25 => "first along the edge".to_owned(),
        away if offset < 0.0 => format!("first {away} outside the edge"),
        away => format!("first {away} inside the edge"),
    };
    let lines = [
        format!("{}, {} apart", pass_count(coat.passes), side(coat.step_over_cm)),
        format!("{} each, {} away", seconds(coat.seconds_per_pass), side(coat.distance_cm)),
        first,
        format!("run {} past the ends", side(coat.overrun_cm)),
    ];
    let body = html! {
        (text(WIDTH / 2.0, 13.0, Held::Middle, "words head", &title))
        (rect("sheet", left, top, width * scale, height * scale))
        (together(&bands))
        (rect("sheet-edge", left, top, width * scale, height * scale))
        (together(&arrows))
        (together(&numbers))
        (text(left + width * scale / 2.0, top + 14.0, Held::Middle, "words halo small quiet", "top"))
        (start_mark(&strokes, &place))
        @for (at, line) in lines.iter().enumerate() {
            (text(WIDTH / 2.0, foot + at as f64 * 15.0, Held::Middle, "words small", line))
        }
    };
    let words = format!(
        "{title}: {}; {} over the sheet, starting at the {} corner",
        lines.join(", "),
        if strokes.upright { "up and down" } else { "from side to side" },
        corner(coat),
    );
    Picture { width: WIDTH, height: ABOVE + high + BELOW, words, body }
}

/// `Coat 1, mist`, `Coats 2 and 4, build`.
fn title(coats: &[&Coat]) -> String {
    let numbers: Vec<String> = coats.iter().map(|coat| coat.number.to_string()).collect();
    let noun = if coats.len() == 1 { "Coat" } else { "Coats" };
    format!("{noun} {}, {}", and_list(&numbers), coats[0].kind.word())
}

fn corner(coat: &Coat) -> String {
    plain_name(&coat.start_corner).trim_end_matches(" corner").to_owned()
}

/// The bands of spray: where two lie over each other the tint is darker.
fn bands(strokes: &Strokes, scale: f64, place: &dyn Fn((f64, f64)) -> (f64, f64)) -> Vec<Markup> {
    let band = |pass: usize| {
        let (from, to) = strokes.stroke(pass);
        let ((x1, y1), (x2, y2)) = (place(from), place(to));
        let half = strokes.half_pattern * scale;
        if strokes.upright {
            rect("band", x1 - half, y1.min(y2), 2.0 * half, (y2 - y1).abs())
        } else {
            rect("band", x1.min(x2), y1 - half, (x2 - x1).abs(), 2.0 * half)
        }
    };
    (0..strokes.centres.len()).map(band).collect()
}

fn arrow(strokes: &Strokes, pass: usize, scale: f64, place: &dyn Fn((f64, f64)) -> (f64, f64)) -> Markup {
    let (from, to) = strokes.stroke(pass);
    let (start, end) = (place(from), place(to));
    let along = if strokes.upright { end.1 - start.1 } else { end.0 - start.0 }.signum();
    // Heads of neighbouring passes keep apart.
    let head = HEAD.min(0.45 * strokes.step() * scale);
    let (neck, half) = (2.0 * head * along, head * 0.8);
    let corners = if strokes.upright {
        [end, (end.0 - half, end.1 - neck), (end.0 + half, end.1 - neck)]
    } else {
        [end, (end.0 - neck, end.1 - half), (end.0 - neck, end.1 + half)]
    };
    let points: Vec<String> = corners.iter().map(|(x, y)| format!("{},{}", n(*x), n(*y))).collect();
    html! { (line("pass", start, end)) polygon class="head-of-pass" points=(points.join(" ")) {} }
}

/// The number of a pass, behind its start. Where passes lie close, only every second or third is numbered.
fn number(strokes: &Strokes, pass: usize, scale: f64, place: &dyn Fn((f64, f64)) -> (f64, f64)) -> Markup {
    let step = strokes.step() * scale;
    // At one end stand the numbers of every second pass.
    let every = (14.0 / (2.0 * step)).ceil().max(1.0) as usize;
    if !(pass / 2).is_multiple_of(every) {
        return html! {};
    }
    let (from, to) = strokes.stroke(pass);
    let (start, end) = (place(from), place(to));
    let forth = if strokes.upright { end.1 > start.1 } else { end.0 > start.0 };
    let words = (pass + 1).to_string();
    match (strokes.upright, forth) {
        (true, true) => text(start.0, start.1 - 5.0, Held::Middle, "words small", &words),
        (true, false) => text(start.0, start.1 + 12.0, Held::Middle, "words small", &words),
        (false, true) => text(start.0 - 5.0, start.1 + 4.0, Held::Right, "words small", &words),
        (false, false) => text(start.0 + 5.0, start.1 + 4.0, Held::Left, "words small", &words),
    }
}

/// A dot and the word at the place where the first pass starts.
fn start_mark(strokes: &Strokes, place: &dyn Fn((f64, f64)) -> (f64, f64)) -> Markup {
    if strokes.centres.is_empty() {
        return html! {};
    }
    let (x, y) = place(strokes.stroke(0).0);
    let sheet_middle = place((strokes.width / 2.0, strokes.height / 2.0));
    let held = if x > sheet_middle.0 { Held::Right } else { Held::Left };
    let above = y < sheet_middle.1;
    let away = if strokes.upright { 17.0 } else { 8.0 };
    let word = text(x, if above { y - away } else { y + away + 7.0 }, held, "words start", "start");
    html! { circle class="start-dot" cx=(n(x)) cy=(n(y)) r="4" {} (word) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::estimate::Quantiles;
    use crate::plan::{CoatKind, Surface};

    fn coat(start_corner: &str, direction: Direction) -> Coat {
        let none = Quantiles { p10: 0.0, p50: 0.0, p90: 0.0 };
        Coat {
            number: 1,
            kind: CoatKind::Mist,
            distance_cm: 30.0,
            pass_speed_cm_s: 50.0,
            seconds_per_pass: 0.9,
            step_over_cm: 6.0,
            pattern_width_cm: 13.0,
            first_pass_offset_cm: -3.0,
            start_corner: start_corner.into(),
            passes: 6,
            direction,
            overrun_cm: 9.0,
            surface: Surface::Flat,
            spray_s: 5.4,
            sealer_g: 5.0,
            wet_film_um: none,
            dry_film_um: none,
            cap_um: 8.0,
            limited_by: String::new(),
            under_cap_pct: 90.0,
            blush_index_pct: None,
            dry_spray_pct: 0.0,
            ripple_pct: 0.0,
            starts_at: None,
            touch_dry_min: None,
            touch_dry_modelled_min: None,
            recoat_min: None,
            wait_min: 10,
            recoat_by: None,
            return_masked_min: None,
            label_applied: Vec::new(),
        }
    }

    #[test]
    fn strokes_follow_the_corner_and_go_to_and_fro() {
        let strokes = Strokes::of(&coat("bottom-right", Direction::Long), 21.0, 29.7);
        assert!(strokes.upright);
        assert_eq!(strokes.stroke(0), ((24.0, 38.7), (24.0, -9.0)));
        assert_eq!(strokes.stroke(1), ((18.0, -9.0), (18.0, 38.7)));
        let strokes = Strokes::of(&coat("top-left", Direction::Short), 21.0, 29.7);
        assert_eq!(strokes.stroke(0), ((-9.0, -3.0), (30.0, -3.0)));
        assert_eq!(strokes.stroke(5), ((30.0, 27.0), (-9.0, 27.0)));
    }

    #[test]
    fn a_sheet_on_its_long_side_has_its_long_passes_from_side_to_side() {
        assert!(!Strokes::of(&coat("top-left", Direction::Long), 29.7, 21.0).upright);
        assert!(Strokes::of(&coat("top-left", Direction::Short), 29.7, 21.0).upright);
    }

    #[test]
    fn coats_with_the_same_pattern_share_a_picture() {
        let (first, other) = (coat("top-left", Direction::Long), coat("bottom-right", Direction::Short));
        assert!(same_pattern(&first, &Coat { number: 3, ..first.clone() }));
        assert!(!same_pattern(&first, &other));
        assert_eq!(title(&[&first, &Coat { number: 3, ..first.clone() }]), "Coats 1 and 3, mist");
    }
}
