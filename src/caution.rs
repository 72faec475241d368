//! The short cautions that every plan, bench sheet, run and review of the air carries: once in full, else in one line.

/// The cautions in full, most binding first. Sentences without a full stop, like findings.
pub const IN_FULL: [&str; 6] = [
    "The can's label and its safety data sheet come before this plan; where they are stricter, follow them",
    "Local rules, and licensed or trained people, come first",
    "Spray outdoors, or where a fan or an open window carries the spray out of the building",
    "No flame, pilot light, heater, candle, cigarette, spark or switched motor within 6 m (20 ft)",
    "A mask is only as good as its fit, and no cartridge holds the can's propellant",
    "Children, anyone pregnant or with asthma, pets and birds stay out until the air is clear for others",
];

/// The same in one line, for where the full block has been or cannot be shown.
pub const IN_ONE_LINE: &str = "Label and data sheet first; outdoors or exhausted air; no flames or sparks within 6 m (20 ft); \
     a mask that fits; children, pregnancy, asthma, pets and birds out until the air is clear";

/// The cautions in full as a plan carries them.
pub fn in_full() -> Vec<String> {
    IN_FULL.iter().map(|&text| text.to_owned()).collect()
}

/// What is asked again before spraying goes on after a pause: the mask, then the flames.
pub const AGAIN: [&str; 2] = [
    "The mask is on, with its cartridges, and it seals on your face",
    "No flame, pilot light, heater, candle, cigarette or sparking switch within 6 m (20 ft)",
];
