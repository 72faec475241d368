//! Finding an entry by any of its names: case, spaces, hyphens, plurals and UK or US spelling do not matter.

use std::collections::BTreeMap;
use std::ops::Range;

use super::{Catalog, Component, Medium, Paper, Sealer, SolidKind, Substance};
use crate::diagnostic::{Problem, or_list, similar_names};
use crate::input::RoomInput;

/// What kind of thing is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A medium.
    Medium,
    /// A paper.
    Paper,
    /// A sealer.
    Sealer,
    /// A solvent, propellant or solid.
    Substance,
    /// A room.
    Room,
    /// Any of them.
    Material,
}

impl Kind {
    /// The single kinds.
    pub const ALL: [Self; 5] = [Self::Medium, Self::Paper, Self::Sealer, Self::Substance, Self::Room];

    /// The word for one, which is also the name of its section in a profile.
    pub fn word(self) -> &'static str {
        match self {
            Self::Medium => "medium",
            Self::Paper => "paper",
            Self::Sealer => "sealer",
            Self::Substance => "substance",
            Self::Room => "room",
            Self::Material => "material",
        }
    }

    /// The word for several.
    pub fn plural(self) -> &'static str {
        match self {
            Self::Medium => "media",
            Self::Paper => "papers",
            Self::Sealer => "sealers",
            Self::Substance => "substances",
            Self::Room => "rooms",
            Self::Material => "materials",
        }
    }
}

/// A name that means nothing here, or more than one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// What was looked for.
    pub kind: Kind,
    /// What was written.
    pub written: String,
    /// Ids that may be meant, nearest first.
    pub near: Vec<String>,
    /// Whether the name is known but could mean any of `near`.
    pub ambiguous: bool,
}

impl Unknown {
    /// What to do about it.
    pub fn hint(&self) -> String {
        let near: Vec<String> = self.near.iter().map(|id| format!("`{id}`")).collect();
        match (self.ambiguous, &near[..]) {
            (true, _) => format!("say which: {}", or_list(&near)),
            (false, []) => format!("`coatbell materials list` shows all {}", self.kind.plural()),
            (false, _) => format!("did you mean {}?", or_list(&near)),
        }
    }

    /// The same as a problem in a file.
    pub fn problem(&self, span: Range<usize>) -> Problem {
        let code = match self.kind {
            Kind::Medium => "unknown-medium",
            Kind::Paper => "unknown-paper",
            Kind::Sealer => "unknown-sealer",
            Kind::Substance => "unknown-substance",
            Kind::Room => "unknown-room",
            Kind::Material => "unknown-material",
        };
        Problem::new(code, self.to_string()).with_hint(self.hint()).at(span)
    }
}

impl std::fmt::Display for Unknown {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.ambiguous {
            write!(formatter, "`{}` could be more than one {}", self.written.trim(), self.kind.word())
        } else {
            write!(formatter, "there is no {} called `{}`", self.kind.word(), self.written.trim())
        }
    }
}

impl std::error::Error for Unknown {}

/// What a layer of a page is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LayerMaterial<'c> {
    /// A medium.
    Medium(&'c Medium),
    /// A fixative or sealer between the media.
    Sealer(&'c Sealer),
}

/// An entry of any kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Entry<'c> {
    /// A medium.
    Medium(&'c Medium),
    /// A paper.
    Paper(&'c Paper),
    /// A sealer.
    Sealer(&'c Sealer),
    /// A substance.
    Substance(&'c Substance),
    /// A room, with its id.
    Room(&'c str, &'c RoomInput),
}

/// Something with names besides its id.
pub(super) trait Named {
    /// The name for people, and the other accepted ones.
    fn names(&self) -> (&str, &[String]);
}

macro_rules! named {
    ($($type:ty),+) => {
        $(impl Named for $type {
            fn names(&self) -> (&str, &[String]) {
                (&self.name, &self.aliases)
            }
        })+
    };
}
named!(Medium, Paper, Sealer, Substance);

impl Named for RoomInput {
    fn names(&self) -> (&str, &[String]) {
        (&self.name, &[])
    }
}

/// A name with everything taken off that does not matter: case, spaces, hyphens, plural endings, spelling.
pub(super) fn fold(name: &str) -> String {
    let mut folded = String::with_capacity(name.len());
    for word in name.to_lowercase().split(|letter: char| !letter.is_alphanumeric()) {
        folded.push_str(singular(word));
    }
    for (british, american) in [
        ("colour", "color"),
        ("grey", "gray"),
        ("draught", "draft"),
        ("vapour", "vapor"),
        ("odour", "odor"),
        ("iser", "izer"),
        ("moulding", "molding"),
    ] {
        if folded.contains(british) {
            folded = folded.replace(british, american);
        }
    }
    folded
}

fn singular(word: &str) -> &str {
    for ending in ["shes", "ches", "xes"] {
        if word.ends_with(ending) {
            return &word[..word.len() - 2];
        }
    }
    let keeps = word.len() <= 3 || word.ends_with("ss") || word.ends_with("us") || word.ends_with("is");
    if keeps { word } else { word.strip_suffix('s').unwrap_or(word) }
}

/// The entry of that name.
pub(super) fn find<'c, T: Named>(
    shelf: &'c BTreeMap<String, T>,
    kind: Kind,
    ambiguous: &BTreeMap<(Kind, String), Vec<String>>,
    written: &str,
) -> Result<&'c T, Unknown> {
    if let Some(entry) = shelf.get(written) {
        return Ok(entry);
    }
    let wanted = fold(written);
    if let Some(near) = ambiguous.get(&(kind, wanted.clone())) {
        return Err(Unknown { kind, written: written.to_owned(), near: near.clone(), ambiguous: true });
    }
    let hit = shelf.iter().find(|(id, entry)| {
        let (name, aliases) = entry.names();
        fold(id) == wanted || fold(name) == wanted || aliases.iter().any(|alias| fold(alias) == wanted)
    });
    match hit {
        Some((_, entry)) => Ok(entry),
        None => {
            let near = near_ids(shelf, written);
            Err(Unknown { kind, written: written.to_owned(), near, ambiguous: false })
        }
    }
}

/// Ids whose names resemble what was written: nearest first, at most four.
fn near_ids<T: Named>(shelf: &BTreeMap<String, T>, written: &str) -> Vec<String> {
    let mut owners: BTreeMap<&str, &str> = BTreeMap::new();
    for (id, entry) in shelf {
        let (name, aliases) = entry.names();
        for spelling in aliases.iter().map(String::as_str).chain([name, id.as_str()]) {
            owners.entry(spelling).or_insert(id);
        }
    }
    let british = written.to_lowercase().replace("colour", "color").replace("color", "colour").replace("gray", "grey");
    let mut near: Vec<String> = Vec::new();
    for spelling in similar_names(&british, owners.keys().copied()) {
        let id = owners[spelling];
        if !near.iter().any(|known| known == id) {
            near.push(id.to_owned());
        }
    }
    near.truncate(4);
    near
}

impl Catalog {
    /// The medium of that name.
    ///
    /// # Errors
    /// [`Unknown`] with what may be meant.
    pub fn medium(&self, name: &str) -> Result<&Medium, Unknown> {
        find(&self.media, Kind::Medium, &self.ambiguous, name)
    }

    /// The paper of that name.
    ///
    /// # Errors
    /// [`Unknown`] with what may be meant.
    pub fn paper(&self, name: &str) -> Result<&Paper, Unknown> {
        find(&self.papers, Kind::Paper, &self.ambiguous, name)
    }

    /// The sealer of that name.
    ///
    /// # Errors
    /// [`Unknown`] with what may be meant.
    pub fn sealer(&self, name: &str) -> Result<&Sealer, Unknown> {
        find(&self.sealers, Kind::Sealer, &self.ambiguous, name)
    }

    /// The built-in room of that name.
    ///
    /// # Errors
    /// [`Unknown`] with what may be meant.
    pub fn room(&self, name: &str) -> Result<&RoomInput, Unknown> {
        find(&self.rooms, Kind::Room, &self.ambiguous, name)
    }

    /// The substance of that name or CAS number.
    ///
    /// # Errors
    /// [`Unknown`] with what may be meant.
    pub fn substance(&self, name: &str) -> Result<&Substance, Unknown> {
        match self.substances.values().find(|substance| substance.has_cas(name.trim())) {
            Some(substance) => Ok(substance),
            None => find(&self.substances, Kind::Substance, &self.ambiguous, name),
        }
    }

    /// The medium or sealer of that name, for a layer of a page.
    ///
    /// # Errors
    /// [`Unknown`] with what may be meant among the media, then among the sealers.
    pub fn layer_material(&self, name: &str) -> Result<LayerMaterial<'_>, Unknown> {
        let medium = match self.medium(name) {
            Ok(medium) => return Ok(LayerMaterial::Medium(medium)),
            Err(unknown) => unknown,
        };
        match self.sealer(name) {
            Ok(sealer) => Ok(LayerMaterial::Sealer(sealer)),
            Err(sealer) if medium.ambiguous || !sealer.ambiguous => {
                let mut near = medium.near;
                if !medium.ambiguous {
                    near.extend(sealer.near);
                    near.truncate(4);
                }
                Err(Unknown { near, ..medium })
            }
            Err(sealer) => Err(Unknown { kind: Kind::Medium, ..sealer }),
        }
    }

    /// The entry of that name, of whatever kind: media first, then papers, sealers, substances, rooms.
    ///
    /// # Errors
    /// [`Unknown`] with what may be meant, of all kinds together.
    pub fn entry(&self, name: &str) -> Result<Entry<'_>, Unknown> {
        let mut near: Vec<String> = Vec::new();
        let mut ambiguous = None;
        let mut miss = |unknown: Unknown| {
            if unknown.ambiguous && ambiguous.is_none() {
                ambiguous = Some(unknown);
            } else {
                near.extend(unknown.near);
            }
        };
        if let Ok(medium) = self.medium(name).map_err(&mut miss) {
            return Ok(Entry::Medium(medium));
        }
        if let Ok(paper) = self.paper(name).map_err(&mut miss) {
            return Ok(Entry::Paper(paper));
        }
        if let Ok(sealer) = self.sealer(name).map_err(&mut miss) {
            return Ok(Entry::Sealer(sealer));
        }
        if let Ok(substance) = self.substance(name).map_err(&mut miss) {
            return Ok(Entry::Substance(substance));
        }
        if let Ok(found) = self.room(name).map_err(&mut miss) {
            let id = self.rooms.iter().find(|(_, room)| std::ptr::eq(*room, found)).map_or("", |(id, _)| id);
            return Ok(Entry::Room(id, found));
        }
        if let Some(unknown) = ambiguous {
            return Err(unknown);
        }
        near.truncate(4);
        Err(Unknown { kind: Kind::Material, written: name.to_owned(), near, ambiguous: false })
    }

    /// Whether a part is an isocyanate hardener, which needs supplied air: by its number, also where the user's own
    /// materials describe a substance of that number.
    pub fn is_isocyanate(&self, component: &Component) -> bool {
        match component {
            Component::Unknown { cas } => self.isocyanates.contains(cas),
            Component::Substance(id) => self
                .substances
                .get(id)
                .is_some_and(|substance| self.isocyanates.iter().any(|number| substance.has_cas(number))),
            Component::Solid(_) | Component::Undeclared => false,
        }
    }

    /// What a substance or solid is called.
    pub fn component_name<'c>(&'c self, component: &'c Component) -> &'c str {
        match component {
            Component::Substance(id) => self.substances.get(id).map_or(id, |substance| &substance.name),
            Component::Solid(SolidKind::Resin) => "resin",
            Component::Solid(SolidKind::Silica) => "matting silica",
            Component::Solid(SolidKind::Absorber) => "UV absorber",
            Component::Solid(SolidKind::Additive) => "additives",
            Component::Unknown { cas } => cas,
            Component::Undeclared => "not declared",
        }
    }
}

#[cfg(test)]
mod tests;
