//! Putting entries on the shelves: the built-in profiles, and the user's own files over them.
//!
//! A file of materials is TOML. Every entry is a table named by its kind and its id:
//!
//! ```toml
//! basis = "estimate"                 # optional: what figures stand on where nothing else is said
//!
//! [medium.my-gel-pen]
//! extends = "gel-pen"                # the rest is inherited, also through several steps
//! name = "the sparkly gel pens"
//! dulling = [0.3, 0.6, 0.9]          # low, most likely, high
//! [medium.my-gel-pen.basis]
//! dulling = "measured"               # or "published: where", "practice", "estimate"
//!
//! [paper.my-card]
//! extends = "cardstock"
//! grammage_g_m2 = 220
//!
//! [sealer.my-can]
//! extends = "acrylic-gloss"
//! [sealer.my-can.label]
//! distance = "6 in to 8 in"
//! [sealer.my-can.composition]        # section 3 of the safety data sheet, names or CAS numbers
//! acetone = "30 % to 45 %"
//!
//! [room.attic]
//! extends = "window-open"
//! volume = "31 m3"
//! ```
//!
//! `profiles/*.toml` have the same shape and list every figure. An id may not be taken already.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ops::Range;

use super::compose::Parts;
use super::names::{Kind, Named, find, fold};
use super::{Catalog, Medium, Paper, Sealer, SolidKind, SolidNames, Substance, check, read};
use crate::diagnostic::{Problem, Problems};
use crate::estimate::{Basis, Grounds};
use crate::input::{Document, RoomInput, TableReader, room_over};

/// One file that is being read.
struct File<'d> {
    root: TableReader<'d>,
    /// What figures stand on by default, and what compositions do.
    default: Grounds,
    sheet: Grounds,
}

/// Puts every entry of the files into the catalog.
///
/// # Errors
/// Everything wrong with the files, one [`Problems`] for each file that has any.
pub(super) fn add(catalog: &mut Catalog, documents: Vec<Document<'_>>) -> Result<(), Vec<Problems>> {
    let files: Vec<File<'_>> = documents.iter().map(|document| open(document.root())).collect();
    for file in &files {
        read_names(catalog, &file.root);
    }
    let ambiguous = catalog.ambiguous.clone();
    let pairs = &catalog.pairs;
    shelve(Kind::Medium, &files, &mut catalog.media, &ambiguous, |id, reader, base, file| {
        let medium = read::medium::read(id, reader, base, &file.default)?;
        if !pairs.knows(&medium.group) {
            let groups = pairs.groups();
            let near = crate::diagnostic::nearest(&medium.group, groups.iter().copied());
            let hint = near
                .map_or_else(|| format!("use one of {}", groups.join(", ")), |near| format!("did you mean `{near}`?"));
            let span = reader.text("group").map_or(reader.span(), |group| group.span);
            let problem = Problem::new("unknown-group", format!("the pair table has no group `{}`", medium.group));
            reader.problem_at("group", span, problem.with_hint(hint));
            return None;
        }
        Some(medium)
    });
    shelve(Kind::Paper, &files, &mut catalog.papers, &ambiguous, |id, reader, base, file| {
        read::paper::read(id, reader, base, &file.default)
    });
    shelve(Kind::Substance, &files, &mut catalog.substances, &ambiguous, |id, reader, base, file| {
        read::substance::read(id, reader, base, &file.default)
    });
    let mut sealers = std::mem::take(&mut catalog.sealers);
    let parts = Parts::of(catalog);
    shelve(Kind::Sealer, &files, &mut sealers, &ambiguous, |id, reader, base, file| {
        read::sealer::read(id, reader, base, (&file.default, &file.sheet), &parts)
    });
    catalog.sealers = sealers;
    let air = &catalog.rules.air;
    shelve(Kind::Room, &files, &mut catalog.rooms, &ambiguous, |id, reader, base, _| {
        let mut room = room_over(reader, base);
        if let (Some(span), Some(problem)) = (room.fan_span.clone(), air.fan_beyond_its_inlet(&room)) {
            reader.problem_at("fan", span, problem);
        }
        if !reader.has("name") {
            room.name = id.replace('-', " ");
        }
        Some(room)
    });
    for file in files {
        file.root.finish();
    }
    let wrong: Vec<Problems> = documents.into_iter().filter_map(|document| document.finish(Some(())).err()).collect();
    if wrong.is_empty() { Ok(()) } else { Err(wrong) }
}

fn open(root: TableReader<'_>) -> File<'_> {
    let stated = root.text("basis").and_then(|text| {
        let grounds = Grounds::parse(&text.value);
        if grounds.is_none() {
            let problem = Problem::new("unknown-word", format!("`{}` is not a basis", text.value));
            root.problem_at("basis", text.span, problem.with_hint("write `basis = \"estimate\"`"));
        }
        grounds
    });
    // A user's composition comes from the can's own sheet, unless the file says otherwise.
    let sheet = stated.clone().unwrap_or_else(|| Grounds::with_source(Basis::Label, "safety data sheet, section 3"));
    File { root, default: stated.unwrap_or_else(|| Grounds::plain(Basis::Estimate)), sheet }
}

/// Reads names that are not entries: ambiguous ones, those of solids, isocyanates.
fn read_names(catalog: &mut Catalog, root: &TableReader<'_>) {
    if let Some(solids) = root.table("solid") {
        for (key, kind) in [
            ("resin", SolidKind::Resin),
            ("silica", SolidKind::Silica),
            ("absorber", SolidKind::Absorber),
            ("additive", SolidKind::Additive),
        ] {
            if let Some(table) = solids.table(key) {
                let list = |key| table.texts(key).into_iter().map(|text| text.value).collect();
                let names = SolidNames { id: key, aliases: list("aliases"), cas: list("cas_aliases") };
                table.finish();
                catalog.solids.insert(kind, names);
            }
        }
        solids.finish();
    }
    if let Some(table) = root.table("isocyanate") {
        catalog.isocyanates.extend(table.texts("cas").into_iter().map(|text| text.value));
        table.finish();
    }
    for (kind, key) in
        [(Kind::Medium, "ambiguous-medium"), (Kind::Paper, "ambiguous-paper"), (Kind::Sealer, "ambiguous-sealer")]
    {
        let Some(table) = root.table(key) else { continue };
        for (name, ids) in table.named_lists() {
            let ids = ids.into_iter().map(|id| id.value).collect();
            catalog.ambiguous.insert((kind, fold(&name.value)), ids);
        }
    }
}

/// Most entries of one kind that are read: every one is compared with every other, and may build on it.
const MOST_ENTRIES: usize = 500;

/// An entry that may stand on a shelf.
trait Shelved: Named + Clone {
    /// What contradicts itself in it, one clause each.
    fn contradictions(&self) -> Vec<String>;
}

macro_rules! shelved {
    ($($type:ty: $contradictions:expr),+ $(,)?) => {
        $(impl Shelved for $type {
            fn contradictions(&self) -> Vec<String> {
                $contradictions(self)
            }
        })+
    };
}
shelved!(
    Medium: check::medium,
    Paper: check::paper,
    Sealer: check::sealer,
    Substance: check::substance,
    RoomInput: |_: &RoomInput| Vec::new(),
);

/// An entry that waits to be read.
struct Waiting<'d> {
    reader: RefCell<Option<TableReader<'d>>>,
    file: usize,
    span: Range<usize>,
}

/// Reads all entries of one kind, each after the one it extends.
fn shelve<'d, T: Shelved>(
    kind: Kind,
    files: &[File<'d>],
    shelf: &mut BTreeMap<String, T>,
    ambiguous: &BTreeMap<(Kind, String), Vec<String>>,
    read: impl Fn(&str, &TableReader<'d>, Option<&T>, &File<'d>) -> Option<T>,
) {
    let mut waiting: BTreeMap<String, Waiting<'d>> = BTreeMap::new();
    for (index, file) in files.iter().enumerate() {
        let Some(section) = file.root.table(kind.word()) else { continue };
        for (id, reader) in section.named_tables() {
            if waiting.len() == MOST_ENTRIES {
                let message = format!("there are more than {MOST_ENTRIES} entries of this kind");
                let problem = Problem::new("too-many-entries", message);
                section.problem_at(
                    &id.value,
                    id.span,
                    problem.with_hint("keep those you use, and move the others away"),
                );
                break;
            }
            let refused =
                if !is_id(&id.value) {
                    Some(
                        Problem::new("bad-id", format!("`{}` is not an id", id.value))
                            .with_hint("use lower-case letters, digits and hyphens: `my-gel-pen`"),
                    )
                } else if shelf.contains_key(&id.value) || waiting.contains_key(&id.value) {
                    let taken = Problem::new("id-taken", format!("there is already a {} `{}`", kind.word(), id.value));
                    Some(taken.with_hint(format!(
                        "give yours a name of its own and write `extends = \"{}\"` in it",
                        id.value
                    )))
                } else {
                    None
                };
            match refused {
                Some(problem) => section.problem_at(&id.value, id.span, problem),
                None => {
                    let entry = Waiting { reader: RefCell::new(Some(reader)), file: index, span: id.span };
                    waiting.insert(id.value, entry);
                }
            }
        }
    }
    // Names of the built-in profiles, which start on empty shelves, are compared by a test and not on every start.
    let taken = (!shelf.is_empty()).then(|| taken_names(shelf));
    let mut shelver = Shelver { kind, files, waiting: &waiting, shelf, ambiguous, read: &read, taken };
    for id in waiting.keys() {
        shelver.place(id, &mut Vec::new());
    }
}

fn is_id(text: &str) -> bool {
    let letters = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-';
    !text.is_empty() && text.len() <= 60 && text.bytes().all(letters) && !text.starts_with('-') && !text.ends_with('-')
}

struct Shelver<'s, 'd, T, R> {
    kind: Kind,
    files: &'s [File<'d>],
    waiting: &'s BTreeMap<String, Waiting<'d>>,
    shelf: &'s mut BTreeMap<String, T>,
    ambiguous: &'s BTreeMap<(Kind, String), Vec<String>>,
    read: &'s R,
    /// Folded names and the ids they belong to.
    taken: Option<BTreeMap<String, String>>,
}

impl<'d, T, R> Shelver<'_, 'd, T, R>
where
    T: Shelved,
    R: Fn(&str, &TableReader<'d>, Option<&T>, &File<'d>) -> Option<T>,
{
    /// Reads one waiting entry after the one it extends. `path` holds the ids on the way here.
    fn place(&mut self, id: &str, path: &mut Vec<String>) {
        let Some(entry) = self.waiting.get(id) else { return };
        let Some(reader) = entry.reader.borrow_mut().take() else { return };
        let file = &self.files[entry.file];
        path.push(id.to_owned());
        let base = match reader.text("extends") {
            None => Ok(None),
            Some(written) => {
                let wanted = fold(&written.value);
                let below = self.waiting.keys().find(|other| fold(other) == wanted).cloned();
                if let Some(below) = &below {
                    if path.contains(below) {
                        let from = path.iter().position(|id| id == below).unwrap_or(0);
                        let chain: Vec<String> =
                            path[from..].iter().chain([below]).map(|id| format!("`{id}`")).collect();
                        let what = if below == id {
                            format!("`{id}` extends itself")
                        } else {
                            format!("`{below}` extends itself in a circle: {}", chain.join(" extends "))
                        };
                        let hint = format!("extend a built-in {} instead", self.kind.word());
                        let problem = Problem::new("extends-circle", what).with_hint(hint);
                        reader.problem_at("extends", written.span, problem);
                        return;
                    }
                    self.place(below, path);
                }
                match (below, find(self.shelf, self.kind, self.ambiguous, &written.value)) {
                    (Some(below), _) => self.shelf.get(&below).cloned().map(Some).ok_or(()),
                    (None, Ok(base)) => Ok(Some(base.clone())),
                    (None, Err(unknown)) => {
                        reader.problem(unknown.problem(written.span).with_key(reader.path_of("extends")));
                        Err(())
                    }
                }
            }
        };
        // What is built on something wrong is not read: its own problems would be guesses.
        let Ok(base) = base else { return };
        let read = (self.read)(id, &reader, base.as_ref(), file);
        reader.finish();
        let Some(read) = read else { return };
        self.refuse_contradictions(id, &read, file, &entry.span);
        self.refuse_taken_names(id, &read, file, &entry.span);
        self.shelf.insert(id.to_owned(), read);
    }

    /// Notes figures of a user's entry that cannot both be true: a warning may hang on either. Those of the built-in
    /// profiles are compared by a test.
    fn refuse_contradictions(&self, id: &str, entry: &T, file: &File<'d>, span: &Range<usize>) {
        if self.taken.is_none() {
            return;
        }
        for what in entry.contradictions() {
            let problem = Problem::new("contradiction", format!("`{id}` contradicts itself: {what}"))
                .with_hint("correct one of the two figures, or leave out the one you do not know");
            file.root.problem(problem.at(span.clone()).with_key(format!("{}.{id}", self.kind.word())));
        }
    }

    /// Notes names that already belong to another entry, and keeps the new ones.
    fn refuse_taken_names(&mut self, id: &str, entry: &T, file: &File<'d>, span: &Range<usize>) {
        let Some(taken) = &mut self.taken else { return };
        let (name, aliases) = entry.names();
        for spelling in aliases.iter().map(String::as_str).chain([name, id]) {
            match taken.get(&fold(spelling)) {
                Some(owner) if owner != id => {
                    let problem = Problem::new("name-taken", format!("`{spelling}` already means `{owner}`"))
                        .with_hint(format!("give `{id}` another name"));
                    file.root.problem(problem.at(span.clone()).with_key(format!("{}.{id}", self.kind.word())));
                }
                Some(_) => {}
                None => {
                    taken.insert(fold(spelling), id.to_owned());
                }
            }
        }
    }
}

/// Every name of a shelf, folded, with its owner.
fn taken_names<T: Named>(shelf: &BTreeMap<String, T>) -> BTreeMap<String, String> {
    let mut taken = BTreeMap::new();
    for (id, entry) in shelf {
        let (name, aliases) = entry.names();
        for spelling in aliases.iter().map(String::as_str).chain([name, id.as_str()]) {
            taken.insert(fold(spelling), id.clone());
        }
    }
    taken
}

#[cfg(test)]
mod tests;
