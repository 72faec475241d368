//! The list of everything the catalog knows.

use crate::catalog::Catalog;
use crate::report::look::Look;
use crate::report::writer::Writer;

/// Columns of the ids in the list.
const ID: usize = 32;

/// Every medium, paper, sealer, substance and room, by id, with its name.
pub fn materials_list(catalog: &Catalog, look: &Look) -> String {
    let mut writer = Writer::new(look);
    writer.head("Media");
    for (id, medium) in &catalog.media {
        let ways: Vec<&str> =
            medium.techniques.iter().map(|technique| technique.id.as_str()).filter(|id| !id.is_empty()).collect();
        let name = if ways.is_empty() { medium.name.clone() } else { format!("{}: {}", medium.name, ways.join(", ")) };
        writer.labelled(ID, id, &name);
    }
    writer.head("Papers");
    for (id, paper) in &catalog.papers {
        writer.labelled(ID, id, &format!("{}, {} g/m²", paper.name, paper.grammage_g_m2));
    }
    writer.head("Sealers and fixatives");
    for (id, sealer) in &catalog.sealers {
        writer.labelled(ID, id, &sealer.name);
    }
    writer.head("Solvents and propellants");
    for (id, substance) in &catalog.substances {
        writer.labelled(ID, id, &format!("{}, CAS {}", substance.name, substance.cas));
    }
    writer.head("Rooms");
    for (id, room) in &catalog.rooms {
        writer.labelled(ID, id, &room.name);
    }
    writer.blank();
    writer.text(0, "`coatbell materials show NAME` shows one of them with its figures and what they stand on.");
    writer.finish()
}
