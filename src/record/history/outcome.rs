//! How a run turned out, in the trade's words.

use serde::{Deserialize, Serialize};

/// How a page turned out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// As it should be.
    Good,
    /// Colour ran or spread.
    Bled,
    /// Colour came off or moved with the spray.
    Lifted,
    /// Liquid stood in pools or ran down.
    Pooled,
    /// White from moisture.
    Blushed,
    /// Clouded, not from moisture.
    Hazed,
    /// The sheet buckled.
    Cockled,
    /// Rough and dusty: the droplets came dry.
    DrySprayed,
    /// The sealer drew back in beads.
    Crawled,
    /// Wrinkled or crazed.
    Wrinkled,
    /// Metal or shimmer lost its sparkle.
    Dulled,
    /// Lights went dark or transparent.
    Darkened,
    /// Stays sticky.
    Tacky,
    /// Dust or a hair in it.
    Dusty,
}

/// What an outcome says about how much a medium bears.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// It held.
    Held,
    /// It was too wet for the medium.
    TooWet,
    /// Nothing: it is kept, and changes no figure.
    None,
}

impl Outcome {
    /// All of them, in the order of the documentation.
    pub const ALL: [Self; 14] = [
        Self::Good,
        Self::Bled,
        Self::Lifted,
        Self::Pooled,
        Self::Blushed,
        Self::Hazed,
        Self::Cockled,
        Self::DrySprayed,
        Self::Crawled,
        Self::Wrinkled,
        Self::Dulled,
        Self::Darkened,
        Self::Tacky,
        Self::Dusty,
    ];

    /// Other words a person may use.
    pub const ALIASES: [(&'static str, Self); 22] = [
        ("fine", Self::Good),
        ("ok", Self::Good),
        ("perfect", Self::Good),
        ("held", Self::Good),
        ("bleed", Self::Bled),
        ("ran", Self::Bled),
        ("feathered", Self::Bled),
        ("smeared", Self::Lifted),
        ("dripped", Self::Pooled),
        ("sagged", Self::Pooled),
        ("blush", Self::Blushed),
        ("haze", Self::Hazed),
        ("cloudy", Self::Hazed),
        ("bloomed", Self::Hazed),
        ("buckled", Self::Cockled),
        ("warped", Self::Cockled),
        ("dry-spray", Self::DrySprayed),
        ("dusty-dry", Self::DrySprayed),
        ("beaded", Self::Crawled),
        ("crazed", Self::Wrinkled),
        ("dull", Self::Dulled),
        ("sticky", Self::Tacky),
    ];

    /// The word on screen and in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Bled => "bled",
            Self::Lifted => "lifted",
            Self::Pooled => "pooled",
            Self::Blushed => "blushed",
            Self::Hazed => "hazed",
            Self::Cockled => "cockled",
            Self::DrySprayed => "dry-sprayed",
            Self::Crawled => "crawled",
            Self::Wrinkled => "wrinkled",
            Self::Dulled => "dulled",
            Self::Darkened => "darkened",
            Self::Tacky => "tacky",
            Self::Dusty => "dusty",
        }
    }

    /// Reads a word, in any case, with spaces for hyphens.
    pub fn from_word(written: &str) -> Option<Self> {
        let word = written.trim().to_lowercase().replace([' ', '_'], "-");
        Self::ALL
            .into_iter()
            .find(|outcome| outcome.word() == word)
            .or_else(|| Self::ALIASES.iter().find(|(alias, _)| *alias == word).map(|(_, outcome)| *outcome))
    }

    /// What it says about how much a medium bears.
    pub fn effect(self) -> Effect {
        match self {
            Self::Good => Effect::Held,
            Self::Bled | Self::Lifted | Self::Pooled => Effect::TooWet,
            _ => Effect::None,
        }
    }
}

/// What became of a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Rating {
    /// Id of the run.
    pub run: String,
    /// When it was said: ISO 8601 with offset.
    pub at: String,
    /// How it turned out.
    pub outcomes: Vec<Outcome>,
    /// Ids of the media it is said of; empty is the whole page.
    #[serde(default)]
    pub media: Vec<String>,
    /// In the person's own words.
    #[serde(default)]
    pub note: Option<String>,
}
