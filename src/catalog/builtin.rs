//! The profiles that are part of the program.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::{Catalog, ModelFigures, Rules, load, read};
use crate::both::beside;
use crate::diagnostic::{Problems, SourceText};
use crate::input::Document;

macro_rules! profile {
    ($name:literal) => {
        SourceText::new(concat!("profiles/", $name), include_str!(concat!("../../profiles/", $name)))
    };
}

static BUILTIN: LazyLock<Catalog> = LazyLock::new(|| match Catalog::read_builtin() {
    Ok(catalog) => catalog,
    Err(problems) => {
        let shown: Vec<String> =
            problems.iter().map(|problems| crate::diagnostic::render(problems, false, 120)).collect();
        panic!("the built-in profiles are broken, which a test excludes:\n{}", shown.join("\n"))
    }
});

impl Catalog {
    /// The built-in catalog. It is read once in the life of the program.
    ///
    /// # Panics
    /// Only if the program's own profiles are broken.
    pub fn builtin() -> Self {
        BUILTIN.clone()
    }

    /// Reads the built-in profiles.
    ///
    /// # Errors
    /// What is wrong with them, which a test excludes.
    pub fn read_builtin() -> Result<Self, Vec<Problems>> {
        let materials = [
            profile!("media.toml"),
            profile!("papers.toml"),
            profile!("substances.toml"),
            profile!("sealers.toml"),
            profile!("rooms.toml"),
        ];
        Self::read(&profile!("rules.toml"), &profile!("model.toml"), &profile!("pairs.csv"), &materials)
    }

    /// Reads a whole catalog from texts: rules, model constants, the pair table, materials.
    ///
    /// # Errors
    /// Everything wrong with them, one [`Problems`] for each text that has any.
    pub fn read(
        rules: &SourceText,
        model: &SourceText,
        pairs: &SourceText,
        materials: &[SourceText],
    ) -> Result<Self, Vec<Problems>> {
        // Of the built-in materials the first two are about as much work less than the rest as the figures are more.
        let (front, back) = materials.split_at(materials.len() / 2);
        let ((figures, mut materials), rest) = beside(
            || {
                let figures =
                    (read_whole(rules, Rules::read), read_whole(model, ModelFigures::read), read::pairs::read(pairs));
                (figures, front.iter().map(Document::parse).collect::<Vec<_>>())
            },
            || back.iter().map(Document::parse).collect::<Vec<_>>(),
        );
        materials.extend(rest);
        match figures {
            (Ok(rules), Ok(model), Ok(pairs)) => {
                let mut catalog = Self {
                    media: BTreeMap::new(),
                    papers: BTreeMap::new(),
                    sealers: BTreeMap::new(),
                    substances: BTreeMap::new(),
                    rooms: BTreeMap::new(),
                    pairs,
                    rules,
                    model,
                    solids: BTreeMap::new(),
                    isocyanates: Vec::new(),
                    ambiguous: BTreeMap::new(),
                };
                load::add(&mut catalog, materials)?;
                Ok(catalog)
            }
            (rules, model, pairs) => Err([rules.err(), model.err(), pairs.err()].into_iter().flatten().collect()),
        }
    }

    /// This catalog with the user's own materials added. See the shape of such a file in `profiles/` and in the
    /// documentation of the loader: `[medium.ID]`, `[paper.ID]`, `[sealer.ID]`, `[substance.ID]`, `[room.ID]`, each
    /// with `extends` where it builds on another.
    ///
    /// # Errors
    /// Everything wrong with the files, one [`Problems`] for each file that has any.
    pub fn with_overlays(&self, files: &[SourceText]) -> Result<Self, Vec<Problems>> {
        let mut catalog = self.clone();
        load::add(&mut catalog, files.iter().map(Document::parse).collect())?;
        Ok(catalog)
    }
}

fn read_whole<T>(
    source: &SourceText,
    read: impl Fn(&crate::input::TableReader<'_>) -> Option<T>,
) -> Result<T, Problems> {
    let document = Document::parse(source);
    let root = document.root();
    let value = read(&root);
    root.finish();
    document.finish(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_profiles_read() {
        let catalog = Catalog::read_builtin().unwrap_or_else(|problems| {
            let shown: Vec<String> =
                problems.iter().map(|problems| crate::diagnostic::render(problems, false, 120)).collect();
            panic!("{}", shown.join("\n"))
        });
        assert_eq!(catalog.substances.len(), 37);
        assert_eq!(catalog.media.len(), 35);
        assert_eq!(catalog.papers.len(), 11);
        assert_eq!(catalog.sealers.len(), 14);
    }

    #[test]
    fn waits_before_sealing_are_those_of_the_trade() {
        // Common practice and estimates, no source: low, mode and high in hours.
        let catalog = Catalog::builtin();
        for (medium, technique, hours) in [
            ("watercolour", "wet-on-wet", [6.0, 24.0, 48.0]),
            ("watercolour", "wet-on-dry", [2.0, 12.0, 24.0]),
            ("pigment-ink", "", [1.0, 4.0, 24.0]),
            ("dye-ink", "", [2.0, 12.0, 24.0]),
            ("inkjet-pigment", "", [2.0, 12.0, 24.0]),
            ("alcohol-marker", "", [1.0, 12.0, 24.0]),
            ("alcohol-ink", "", [12.0, 24.0, 72.0]),
            ("ink-wash", "", [1.0, 4.0, 24.0]),
            ("chalk-marker", "", [0.5, 2.0, 12.0]),
            ("toner", "", [0.0, 0.0, 0.0]),
            ("charcoal", "", [0.0, 0.0, 0.0]),
            ("wax-pencil", "", [0.0, 24.0, 72.0]),
            ("acrylic", "", [24.0, 72.0, 168.0]),
            ("gel-pen", "", [12.0, 24.0, 48.0]),
            ("glitter", "glue", [24.0, 48.0, 72.0]),
        ] {
            let way = catalog.media[medium].technique(technique).expect(medium);
            let wait = way.seal_wait_h.expect(medium);
            assert_eq!([wait.low(), wait.mode(), wait.high()], hours, "{medium} {technique}");
        }
        let thick = catalog.media["acrylic"].techniques[0].seal_wait_thick_h.expect("raised acrylic waits longer");
        assert_eq!((thick.low(), thick.mode(), thick.high()), (168.0, 336.0, 672.0));
        assert_eq!(catalog.media["watercolour"].default_technique().id, "wet-on-wet");
        for never in ["oil-pastel", "masking-fluid"] {
            assert_eq!(catalog.media[never].techniques[0].seal_wait_h, None, "{never}");
        }
    }

    #[test]
    fn built_in_sealers_carry_no_label_and_the_low_aromatic_ones_are_acetone_rich() {
        let catalog = Catalog::builtin();
        for (id, sealer) in &catalog.sealers {
            assert_eq!(sealer.label, crate::catalog::Label::default(), "{id}");
            assert_eq!(sealer.closes_tooth, id != "workable-fixative", "{id}");
        }
        for id in ["acrylic-gloss", "acrylic-satin", "acrylic-matte"] {
            let composition = &catalog.sealers[id].composition;
            // The matte one has 35 of 87.5 %: exactly 40 % but for the last bit of the division.
            let acetone = composition.share_of("acetone");
            assert!(acetone >= 0.40 - 1e-12, "{id}: {acetone}");
            for part in ["toluene", "xylene"] {
                assert!(composition.share_of(part) < 0.02, "{id}");
            }
        }
    }
}
