//! What `coatbell` alone says: what it is, and where to begin.

use super::{Context, Exit, Failure, output};
use crate::report::{display_width, wrap};

/// What it is.
const WHAT: &str = "coatbell plans the spray sealing of a page that carries many media: which sealer, how far, how \
     fast, how many coats, what waits, and when the air is clear.";

/// The commands to begin with.
const BEGIN: [(&str, &str); 3] = [
    ("coatbell new page", "asks about your page and writes its file"),
    ("coatbell plan PAGE", "the sealing plan of that page"),
    ("coatbell materials list", "the media, papers and sealers it knows"),
];

/// Widest paragraph, in columns.
const WIDEST: usize = 80;

/// Says what the program is and the commands to start with.
pub(super) fn run(context: &Context) -> Result<Exit, Failure> {
    output::text(context, &welcome(context.width.min(WIDEST)))?;
    Ok(Exit::Done)
}

fn welcome(width: usize) -> String {
    let mut lines = wrap(WHAT, width);
    lines.push(String::new());
    let column = BEGIN.iter().map(|(command, _)| display_width(command)).max().unwrap_or(0);
    for (command, about) in BEGIN {
        let line = format!("  {command:<column$}   {about}");
        if display_width(&line) <= width {
            lines.push(line);
        } else {
            lines.push(format!("  {command}"));
            lines.extend(wrap(about, width.saturating_sub(6)).into_iter().map(|part| format!("      {part}")));
        }
    }
    lines.push(String::new());
    lines.push("everything else: coatbell --help".to_owned());
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_line_fits_the_screen() {
        for width in [40, 60, 80] {
            let text = super::welcome(width);
            assert!(text.lines().all(|line| line.chars().count() <= width), "{text}");
        }
    }
}
