//! From the names a person wrote to the media, techniques and paper that are meant.

use super::{Laid, Layer, Sheet};
use crate::catalog::{Catalog, LayerMaterial, Medium, Technique, Unknown};
use crate::diagnostic::{Problem, Problems, SourceText, nearest, or_list};
use crate::input::{LayerInput, Located, PageInput};

/// Most layers of one page. A loaded page has a dozen; more is a mistake, and every pair of them is judged.
pub const MOST_LAYERS: usize = 200;

impl<'c> Sheet<'c> {
    /// Resolves the names of a page against the catalog.
    ///
    /// # Errors
    /// `unknown-medium`, `unknown-technique`, `unknown-paper` and `too-many-layers`, all at once, each pointing into
    /// `source`, which must be the text the page was read from.
    pub fn resolve(page: &PageInput, source: &SourceText, catalog: &'c Catalog) -> Result<Self, Problems> {
        let mut problems = Vec::new();
        let paper = match catalog.paper(&page.paper.value) {
            Ok(paper) => Some(paper),
            Err(unknown) => {
                problems.push(unknown.problem(page.paper.span.clone()).with_key("paper"));
                None
            }
        };
        if page.layers.len() > MOST_LAYERS {
            let message = format!("the page has {} layers; at most {MOST_LAYERS} are judged", page.layers.len());
            let span = page.layers[MOST_LAYERS].span.clone();
            let problem = Problem::new("too-many-layers", message).at(span).with_key("layer");
            problems.push(problem.with_hint("write one layer for all strokes of a medium laid in one go"));
        }
        let layers: Vec<Layer<'c>> = page
            .layers
            .iter()
            .take(MOST_LAYERS)
            .enumerate()
            .filter_map(|(index, layer)| resolve_layer(layer, index + 1, catalog, &mut problems))
            .collect();
        match paper {
            Some(paper) if problems.is_empty() => Ok(Self {
                title: page.title.clone(),
                width_m: page.width_m,
                height_m: page.height_m,
                paper,
                grammage_g_m2: page.grammage_kg_m2.map_or(paper.grammage_g_m2, |own| own * 1000.0),
                finish: page.finish,
                bow_m: page.bow_m,
                layers,
            }),
            _ => Err(Problems::new(source.clone(), problems)),
        }
    }
}

fn resolve_layer<'c>(
    layer: &LayerInput,
    place: usize,
    catalog: &'c Catalog,
    problems: &mut Vec<Problem>,
) -> Option<Layer<'c>> {
    let (what, technique_stated) = match catalog.layer_material(&layer.medium.value) {
        Ok(LayerMaterial::Medium(medium)) => {
            let technique = resolve_technique(medium, layer.technique.as_ref(), place, problems)?;
            (Laid::Medium(medium, technique), layer.technique.is_some() || medium.techniques.len() == 1)
        }
        Ok(LayerMaterial::Sealer(sealer)) => {
            if let Some(technique) = &layer.technique {
                let problem = Problem::new("unknown-technique", format!("`{}` has no techniques", sealer.id))
                    .at(technique.span.clone())
                    .with_hint("leave `technique` out")
                    .with_key(format!("layer {place}.technique"));
                problems.push(problem);
            }
            (Laid::Sealer(sealer), true)
        }
        Err(unknown) => {
            let problem = unknown_medium(&layer.medium, &unknown, catalog);
            problems.push(problem.with_key(format!("layer {place}.medium")));
            return None;
        }
    };
    Some(Layer {
        place,
        what,
        technique_stated,
        cover: layer.cover,
        laydown: layer.laydown,
        areas: layer.areas.clone(),
        finished: layer.finished.clone(),
        masked: layer.masked,
    })
}

fn resolve_technique<'c>(
    medium: &'c Medium,
    written: Option<&Located<String>>,
    place: usize,
    problems: &mut Vec<Problem>,
) -> Option<&'c Technique> {
    let Some(written) = written else { return Some(medium.default_technique()) };
    let wanted = folded(&written.value);
    if let Some(technique) = medium.technique(&wanted) {
        return Some(technique);
    }
    let known: Vec<&str> = medium.techniques.iter().map(|way| way.id.as_str()).filter(|id| !id.is_empty()).collect();
    let (message, hint) = if known.is_empty() {
        (format!("`{}` has no techniques", medium.id), "leave `technique` out".to_owned())
    } else {
        let listed = or_list(&known.iter().map(|id| format!("`{id}`")).collect::<Vec<_>>());
        let hint = match nearest(&wanted, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`? `{}` has {listed}", medium.id),
            None => format!("use {listed}"),
        };
        (format!("`{}` is not a technique of `{}`", written.value, medium.id), hint)
    };
    let problem = Problem::new("unknown-technique", message).at(written.span.clone()).with_hint(hint);
    problems.push(problem.with_key(format!("layer {place}.technique")));
    None
}

/// The problem with a name nobody knows; `medium:technique` belongs on two lines.
fn unknown_medium(written: &Located<String>, unknown: &Unknown, catalog: &Catalog) -> Problem {
    let problem = unknown.problem(written.span.clone());
    match written.value.split_once(':') {
        Some((name, technique)) if catalog.medium(name).is_ok() => problem.with_hint(format!(
            "write `medium = \"{}\"` and `technique = \"{}\"` on two lines",
            name.trim(),
            technique.trim()
        )),
        _ => problem,
    }
}

fn folded(name: &str) -> String {
    name.trim().to_lowercase().replace([' ', '_'], "-")
}

#[cfg(test)]
mod tests {
    use jiff::ZonedDateTime;

    use super::*;
    use crate::diagnostic::render;
    use crate::input::read_page;

    fn resolve(text: &str) -> Result<Vec<String>, String> {
        let now: ZonedDateTime = "2026-11-27T18:00:00+00:00[UTC]".parse().expect("a valid moment");
        let source = SourceText::new("carp.toml", text);
        let page = read_page(&source, &now).expect("a well-formed page");
        let catalog = Catalog::builtin();
        let named = |sheet: Sheet<'_>| sheet.layers.iter().map(|layer| layer.id().to_owned()).collect();
        Sheet::resolve(&page, &source, &catalog).map(named).map_err(|problems| render(&problems, false, 100))
    }

    #[test]
    fn everything_unknown_is_pointed_at_at_once() {
        let text = r#"size = "A4"
paper = "cardstok"
[[layer]]
medium = "watercolour"
technique = "wet on dri"
[[layer]]
medium = "wax pencl"
[[layer]]
medium = "workable-fixative"
technique = "thick"
[[layer]]
medium = "gel-pen"
technique = "raised"
[[layer]]
medium = "watercolour:wet-on-dry"
"#;
        let shown = resolve(text).expect_err("six problems");
        for part in [
            "carp.toml:2:9",
            "carp.toml:5:13",
            "did you mean `wet-on-dry`?",
            "carp.toml:7:10",
            "`wax-pencil`",
            "`workable-fixative` has no techniques",
            "`gel-pen` has no techniques",
            "`technique = \"wet-on-dry\"` on two lines",
        ] {
            assert!(shown.contains(part), "{part} is missing in\n{shown}");
        }
        assert_eq!(shown.matches("error:").count(), 6, "{shown}");
    }

    #[test]
    fn other_names_are_understood_and_fixatives_are_layers() {
        let text = "size = \"A4\"\npaper = \"cardstock\"\n[[layer]]\nmedium = \"Watercolours\"\n[[layer]]\n\
                    medium = \"workable fixative\"\n[[layer]]\nmedium = \"acrylic-gloss\"\n";
        assert_eq!(
            resolve(text),
            Ok(["watercolour", "workable-fixative", "acrylic-gloss"].map(str::to_owned).to_vec())
        );
    }

    #[test]
    fn a_page_of_thousands_of_layers_is_refused() {
        let mut text = "size = \"A4\"\npaper = \"cardstock\"\n".to_owned();
        text.push_str(&"[[layer]]\nmedium = \"gel-pen\"\n".repeat(MOST_LAYERS + 1));
        let shown = resolve(&text).expect_err("too many");
        assert!(shown.contains("at most 200"), "{shown}");
    }
}
