//! The card of a built-in room.

use super::{LABEL, title};
use crate::input::RoomInput;
use crate::quantity::number;
use crate::report::writer::Writer;

pub(super) fn card(id: &str, room: &RoomInput, writer: &mut Writer<'_>) {
    title(writer, &room.name, id, "room", &[]);
    writer.blank();
    if let Some(volume) = room.volume_m3 {
        writer.labelled(LABEL, "volume", &format!("{} m³", number(volume)));
    }
    if let Some(airflow) = room.airflow {
        writer.labelled(LABEL, "air", airflow.word());
    }
    let or_unknown = |value: Option<f64>, unit: &str| {
        value.map_or_else(
            || "not stated: write it in a room file of your own".to_owned(),
            |value| format!("{} {unit}", number(value)),
        )
    };
    writer.labelled(LABEL, "temperature", &or_unknown(room.temperature_c, "°C"));
    writer.labelled(LABEL, "humidity", &or_unknown(room.relative_humidity.map(|share| share * 100.0), "%"));
    writer.blank();
    writer.text(0, "`coatbell new room` writes a room file to fill in.");
}
