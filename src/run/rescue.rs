//! Something went wrong: what to do now, and what becomes of the rest.

use serde::{Deserialize, Serialize};

use crate::estimate::Basis;

/// What can go wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mishap {
    /// Colour ran into its neighbours.
    Bled,
    /// A drip, a run or a splash.
    Dripped,
    /// It stands wet.
    Pooled,
    /// White haze.
    Blushed,
    /// Dust or a hair in it.
    Dust,
    /// The nozzle spits.
    Spits,
    /// The can is empty or gives no pressure.
    Empty,
}

/// What becomes of the coats still to come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Rest {
    /// Nothing changes.
    Unchanged,
    /// The wait is longer, and the rest are mists.
    DryLongerThenMists,
    /// First better air, then mists.
    AirFirstThenMists,
}

/// What to do after one kind of mishap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Rescue {
    /// What it is about.
    pub mishap: Mishap,
    /// Its word on the command line.
    pub word: &'static str,
    /// Other words for it.
    #[serde(skip)]
    pub also: &'static [&'static str],
    /// What is seen.
    pub title: &'static str,
    /// What not to do.
    pub never: &'static str,
    /// What to do now, step by step.
    pub now: &'static [&'static str],
    /// What to do once it is dry.
    pub when_dry: &'static [&'static str],
    /// The rest of the run, in words.
    pub rest_text: &'static str,
    /// The rest of the run.
    pub rest: Rest,
    /// What it stands on.
    pub basis: Basis,
}

const RESCUES: [Rescue; 7] = [
    Rescue {
        mishap: Mishap::Bled,
        word: "bled",
        also: &["bleed", "bleeding", "ran", "smear", "smeared", "spread"],
        title: "Colour bled into its neighbours",
        never: "Do not blot, wipe or tilt it: every touch spreads the colour",
        now: &[
            "Stop spraying; lay the sheet flat",
            "Leave it alone until it is dry to the touch: bleeding stops as the solvent leaves",
            "More draught over the bench, not a hair dryer: blowing moves wet colour",
        ],
        when_dry: &[
            "Touch up with gouache, acrylic pen or gel pen, on top of the dry coat",
            "Try the next mist on a scrap with the same ink first; if that bleeds too, stop here or take another sealer",
        ],
        rest_text: "Wait twice as long, then only mists: from further away, faster, never wet",
        rest: Rest::DryLongerThenMists,
        basis: Basis::Practice,
    },
    Rescue {
        mishap: Mishap::Dripped,
        word: "dripped",
        also: &["drip", "drop", "droplet", "splash", "spatter", "sag", "sagged", "run", "runs"],
        title: "A drip, a run or a splash",
        never: "Do not touch or dab it",
        now: &["Stop spraying; lay the sheet flat at once if it stands", "Let it dry where it is"],
        when_dry: &[
            "A drop that stands proud may be shaved or sanded level with very fine paper once it is hard, after a week",
            "Whoever cannot wait leaves it: under the next mists it shows less",
        ],
        rest_text: "Wait twice as long, then only mists, with the sheet lying flat",
        rest: Rest::DryLongerThenMists,
        basis: Basis::Practice,
    },
    Rescue {
        mishap: Mishap::Pooled,
        word: "pooled",
        also: &["pool", "puddle", "puddles", "wet", "flooded", "pooling"],
        title: "It pooled: a wet, shiny patch stands on the page",
        never: "Do not tilt it, wipe it or blow on it",
        now: &[
            "Stop spraying; keep the sheet flat and level",
            "Leave the room, and let it dry: the colour under it may swim until then",
        ],
        when_dry: &[
            "Look at it from the side: if it is shinier there, even it out with mists, not with a wet coat",
            "If the paper cockled, press it between release papers only when it may be stacked",
        ],
        rest_text: "Wait twice as long, then only mists",
        rest: Rest::DryLongerThenMists,
        basis: Basis::Practice,
    },
    Rescue {
        mishap: Mishap::Blushed,
        word: "blushed",
        also: &["blush", "haze", "hazed", "white", "milky", "cloudy", "fog", "fogged", "bloom"],
        title: "It blushed: a white, milky haze",
        never: "Do not spray another wet coat on it, and do not heat it",
        now: &[
            "Stop spraying: the air is too damp or too cold",
            "Make the air drier or warmer by a few degrees, and let the sheet come to it; flames stay out",
            "Wait: thin haze often clears by itself within the hour",
        ],
        when_dry: &[
            "If it stays, one light, fast mist of the same sealer in drier air may clear it: try it on a scrap",
            "See with `coatbell plan` whether the air is good enough before you go on",
        ],
        rest_text: "Wait half an hour more and only in drier air, then only mists",
        rest: Rest::AirFirstThenMists,
        basis: Basis::Practice,
    },
    Rescue {
        mishap: Mishap::Dust,
        word: "dust",
        also: &["hair", "hairs", "fluff", "lint", "fly", "insect", "dusty", "speck"],
        title: "Dust, a hair or an insect landed in it",
        never: "Do not pick at it while it is wet: that leaves a crater",
        now: &["Leave it", "Cover nothing, and move no air over it until it is dry to the touch"],
        when_dry: &[
            "Lift it with tweezers, flat along the page, or leave it: lifting may take the film with it",
            "Even the place out with the next coat; keep clear of wax and loose glitter",
        ],
        rest_text: "Nothing changes: lift it when dry to the touch, before the next coat",
        rest: Rest::Unchanged,
        basis: Basis::Practice,
    },
    Rescue {
        mishap: Mishap::Spits,
        word: "spits",
        also: &["spit", "spitting", "sputter", "sputters", "nozzle", "clog", "clogged", "blocked"],
        title: "The nozzle spits",
        never: "Do not poke a pin into it, do not point it at a face, and never warm a can over a flame or in hot water",
        now: &[
            "Off the page at once; finish no pass with it",
            "Turn the can upside down and spray off the page until only gas comes",
            "Wipe the nozzle, or put on another one; shake the can for a minute",
            "Test burst off the page until it sprays evenly",
        ],
        when_dry: &["Drops on the page: do not touch them; let them dry and mist over them"],
        rest_text: "Nothing changes: a test burst before each pass from now on; a can that goes on spitting is done",
        rest: Rest::Unchanged,
        basis: Basis::Practice,
    },
    Rescue {
        mishap: Mishap::Empty,
        word: "empty",
        also: &["dead", "died", "can", "finished", "out", "pressure", "no-pressure"],
        title: "The can is empty, or has no pressure left",
        never: "Do not press the last out of it over the page, do not pierce it or warm it",
        now: &[
            "Off the page; note how many passes were sprayed",
            "A new can of the same sealer, shaken for two minutes, test burst off the page",
            "Within a minute or two: spray the missing passes. Later: let it dry, and count it as sprayed",
        ],
        when_dry: &["Where passes are missing, one mist over that part, then the next coat as planned"],
        rest_text: "Nothing changes; tell the run when the new can is in hand (n), so that its grams are counted",
        rest: Rest::Unchanged,
        basis: Basis::Practice,
    },
];

/// All of them, in the order of their keys.
pub fn rescues() -> &'static [Rescue] {
    &RESCUES
}

/// The one a word means.
pub fn rescue_for(word: &str) -> Option<&'static Rescue> {
    let word = word.trim().to_lowercase().replace([' ', '_'], "-");
    RESCUES.iter().find(|rescue| rescue.word == word || rescue.also.contains(&&*word))
}

impl Mishap {
    /// What to do.
    ///
    /// # Panics
    /// Never: every mishap has its rescue, which a test makes sure of.
    pub fn rescue(self) -> &'static Rescue {
        RESCUES.iter().find(|rescue| rescue.mishap == self).expect("every mishap has its rescue")
    }

    /// What becomes of the rest.
    pub fn rest(self) -> Rest {
        self.rescue().rest
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mishap_has_its_rescue_and_no_word_means_two() {
        use Mishap::{Bled, Blushed, Dripped, Dust, Empty, Pooled, Spits};
        for mishap in [Bled, Dripped, Pooled, Blushed, Dust, Spits, Empty] {
            assert_eq!(mishap.rescue().mishap, mishap);
        }
        let mut words: Vec<&str> =
            RESCUES.iter().flat_map(|rescue| rescue.also.iter().copied().chain([rescue.word])).collect();
        let all = words.len();
        words.sort_unstable();
        words.dedup();
        assert_eq!(words.len(), all);
        assert_eq!(rescue_for(" Hair ").map(|rescue| rescue.mishap), Some(Dust));
        assert!(rescue_for("elephant").is_none());
    }
}
