//! The card of a paper.

use super::{LABEL, how_sure, range, title};
use crate::catalog::{Paper, StrikeThrough};
use crate::quantity::number;
use crate::report::writer::Writer;

pub(super) fn card(paper: &Paper, writer: &mut Writer<'_>) {
    title(writer, &paper.name, &paper.id, "paper", &paper.aliases);
    if let Some(note) = &paper.note {
        writer.text(2, note);
    }
    writer.blank();
    writer.labelled(LABEL, "usual weight", &format!("{} g/m²", number(paper.grammage_g_m2)));
    writer.labelled(LABEL, "thickness", &range(paper.caliper_um, "µm"));
    writer.labelled(LABEL, "sizing", &paper.sizing);
    writer.labelled(LABEL, "depth of the tooth", &range(paper.tooth_um, "µm"));
    let takes_up = if paper.absorbing {
        format!("{} of liquid in its pores", range(paper.capacity_um, "µm"))
    } else {
        "nothing: a film stays fully wet on it".to_owned()
    };
    writer.labelled(LABEL, "takes up", &takes_up);
    let buckles = if paper.swells {
        format!("from {} of water, where it is wet", range(paper.buckle_g_m2, "g/m²"))
    } else {
        "never, water does not swell it".to_owned()
    };
    writer.labelled(LABEL, "buckles", &buckles);
    let strikes = match paper.strike_through {
        StrikeThrough::None => "never",
        StrikeThrough::VeryLow => "hardly ever",
        StrikeThrough::Low => "seldom",
        StrikeThrough::Medium => "sometimes",
        StrikeThrough::High => "easily",
    };
    let distance = if paper.strike_through_prone { ": coats keep their distance" } else { "" };
    writer.labelled(LABEL, "shows on the back", &format!("{strikes}{distance}"));
    if paper.dark {
        writer.labelled(LABEL, "dark stock", "yes: haze and dust show");
    }
    how_sure(writer, &paper.grounds);
}
