//! The files a person writes, read with the place of everything kept.
//!
//! [`Document`] and [`TableReader`] read any TOML file of this project, the built-in profiles included: each `take`
//! notes what is wrong and goes on, so that all problems of a file come out together. `page`, `room` and `sealer`
//! hold the shapes a person writes; names of media and materials are only resolved further up, by the catalog.

mod batch;
mod document;
mod forecast;
mod kind;
mod loading;
mod page;
mod reader;
mod room;
mod sealer;
mod when;

pub use batch::{BatchInput, BatchPage, NamedInBatch, named_in_batch, read_batch};
pub use document::Document;
pub use forecast::{Forecast, ForecastHour, ForecastUnits, TemperatureUnit, WindUnit, read_forecast};
pub use kind::is_batch_text;
pub use loading::{LARGEST_FILE, text_from_bytes};
pub use page::{Finish, Laydown, LayerInput, PageInput, parse_size, read_page};
pub use reader::{Located, TableReader};
pub(crate) use room::room_over;
pub use room::{Airflow, Follows, RoomInput, WindowInput, read_room};
pub(crate) use sealer::read_composition;
pub use sealer::{
    Borne, CanInput, CompositionInput, ForbiddenBand, Hardener, LabelInput, MeasuredDrying, PartInput, SealerInput,
    read_label, read_sealer,
};
pub use when::{clock_time, iso, parse_when};
