//! The card of a sealer.

use super::{LABEL, how_sure, percent, range, title};
use crate::catalog::{Catalog, Component, Delivery, Sealer};
use crate::input::Finish;
use crate::report::look::Look;
use crate::report::writer::Writer;

/// Columns of a share.
const SHARE: usize = 15;

pub(super) fn card(catalog: &Catalog, sealer: &Sealer, look: &Look, writer: &mut Writer<'_>) {
    title(writer, &sealer.name, &sealer.id, "sealer", &sealer.aliases);
    if let Some(note) = &sealer.note {
        writer.text(2, note);
    }
    if !sealer.for_paper {
        writer.text(2, "It is here to be refused.");
    }
    writer.blank();
    writer.labelled(LABEL, "finish", sealer.finish.map_or("none of its own", Finish::word));
    let tooth = if sealer.closes_tooth { "closed: it is the last step" } else { "stays open: work can go on" };
    writer.labelled(LABEL, "tooth of the paper", tooth);
    writer.labelled(LABEL, "hurts most", &sealer.hurts);
    writer.labelled(LABEL, "yellows", &sealer.yellows);
    writer.labelled(LABEL, "comes off again", &sealer.reversible);

    writer.head("Spraying");
    let delivery = match sealer.delivery {
        Delivery::Aerosol => "aerosol can",
        Delivery::Pump => "pump spray",
    };
    writer.labelled(LABEL, "comes from", delivery);
    writer.labelled(LABEL, "gives", &range(sealer.discharge_g_s, "g/s"));
    let (near, far) = sealer.practice_distance_cm;
    writer.labelled(
        LABEL,
        "distance in the trade",
        &format!("{} to {}", look.units.distance(near), look.units.distance(far)),
    );
    writer.text(2, "The first coat on a loaded page is never nearer than 30 cm (12 in), whatever a label says.");

    writer.head("How long it dries, by the trade; a plan computes its own");
    writer.labelled(LABEL, "touch-dry", &range(sealer.touch_min, "min"));
    writer.labelled(LABEL, "next coat", &range(sealer.recoat_min, "min"));
    writer.labelled(LABEL, "full cure", &range(sealer.full_cure_h, "h"));

    writer.head("What is in it, by mass of the whole can");
    for part in &sealer.composition.parts {
        let what = match &part.component {
            Component::Unknown { cas } => format!("CAS {cas}"),
            known => catalog.component_name(known).to_owned(),
        };
        writer.labelled(SHARE, &percent(part.share), &what);
    }
    writer.text(2, &format!("Of its volume {} stays on the page.", percent(sealer.volume_solids)));
    writer.text(2, "Your can's safety data sheet, section 3, knows better: `coatbell new sealer`.");
    how_sure(writer, &sealer.grounds);
}
