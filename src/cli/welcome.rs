//! What `coatbell` alone says: what it is, and where to begin.

use super::{Context, Exit, Failure, output};

/// Says what the program is and the commands to start with.
pub(super) fn run(context: &Context) -> Result<Exit, Failure> {
    output::text(context, WELCOME)?;
    Ok(Exit::Done)
}

const WELCOME: &str = "\
coatbell plans the spray sealing of a page that carries many media: which
sealer, how far, how fast, how many coats, what waits, and when the air is clear.

  coatbell new page         asks about your page and writes its file
  coatbell plan PAGE        the sealing plan of that page
  coatbell materials list   the media, papers and sealers it knows

everything else: coatbell --help";
