//! Signs five lines high, to be read from across the room.

/// Height of a sign.
pub(super) const ROWS: usize = 5;

/// Draws a text of digits, `:`, `+`, `h`, `NOW` and spaces; anything else is left out.
pub(super) fn big(text: &str, unicode: bool) -> [String; ROWS] {
    let block = if unicode { "█" } else { "#" };
    let mut rows: [String; ROWS] = Default::default();
    for sign in text.chars().filter_map(sign) {
        for (row, pattern) in rows.iter_mut().zip(sign) {
            if !row.is_empty() {
                row.push(' ');
            }
            for mark in pattern.chars() {
                row.push_str(if mark == '#' { block } else { " " });
            }
        }
    }
    rows
}

fn sign(letter: char) -> Option<[&'static str; ROWS]> {
    Some(match letter {
        '0' => ["####", "#  #", "#  #", "#  #", "####"],
        '1' => ["  # ", " ## ", "  # ", "  # ", " ###"],
        '2' => ["####", "   #", "####", "#   ", "####"],
        '3' => ["####", "   #", " ###", "   #", "####"],
        '4' => ["#  #", "#  #", "####", "   #", "   #"],
        '5' => ["####", "#   ", "####", "   #", "####"],
        '6' => ["####", "#   ", "####", "#  #", "####"],
        '7' => ["####", "   #", "  # ", " #  ", " #  "],
        '8' => ["####", "#  #", "####", "#  #", "####"],
        '9' => ["####", "#  #", "####", "   #", "####"],
        ':' => [" ", "#", " ", "#", " "],
        '+' => ["   ", " # ", "###", " # ", "   "],
        'h' => ["#   ", "#   ", "### ", "#  #", "#  #"],
        'N' => ["#   #", "##  #", "# # #", "#  ##", "#   #"],
        'O' => [" ### ", "#   #", "#   #", "#   #", " ### "],
        'W' => ["#   #", "#   #", "# # #", "## ##", "#   #"],
        ' ' => ["  ", "  ", "  ", "  ", "  "],
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_as_wide_as_the_others_and_fits_forty_columns() {
        for text in ["88:88", "+88:88", "23h59", "NOW"] {
            let rows = big(text, false);
            assert!(rows.iter().all(|row| row.len() == rows[0].len() && row.len() <= 36), "{rows:?}");
        }
    }
}
