//! Rooms and zones, exposure, flammability, masks, the three times; takes releases over time as data.
