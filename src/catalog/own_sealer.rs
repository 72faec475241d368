//! The user's own can, built on a sealer of the catalog.

use super::compose::{Parts, compose};
use super::{Catalog, Sealer};
use crate::diagnostic::{Problem, Problems};
use crate::estimate::{Basis, Grounds};
use crate::input::SealerInput;

impl Catalog {
    /// The sealer a file describes: the one it extends, with what the can and its safety data sheet say.
    ///
    /// Section 3 of a sheet lists only hazardous parts; what is missing is filled by the base's other parts within
    /// their ranges, and beyond them undeclared. Every share of the sheet has the basis `label`.
    ///
    /// # Errors
    /// An unknown sealer or substance, a CAS number whose check digit is wrong, low ends that exceed 100 %.
    pub fn own_sealer(&self, input: &SealerInput) -> Result<Sealer, Problems> {
        let mut problems: Vec<Problem> = Vec::new();
        let base = match &input.extends {
            Some(written) => self.sealer(&written.value).map_err(|unknown| {
                problems.push(unknown.problem(written.span.clone()).with_key("extends"));
            }),
            None => {
                let problem = Problem::new("missing-key", "the file has no `extends`");
                problems.push(problem.with_hint("add `extends = \"acrylic-gloss\"`").with_key("extends"));
                Err(())
            }
        };
        let sheet = Grounds::with_source(Basis::Label, "safety data sheet, section 3");
        let listed = input
            .composition
            .as_ref()
            .and_then(|written| Parts::of(self).resolve(written, &sheet).map_err(|wrong| problems.extend(wrong)).ok());
        let (true, Ok(base)) = (problems.is_empty(), base) else {
            return Err(Problems::new(input.source.clone(), problems));
        };
        let mut sealer = base.clone();
        sealer.id = own_id(&base.id, &input.source.name);
        sealer.aliases = Vec::new();
        sealer.name = input.name.clone().unwrap_or_else(|| format!("your {}", base.name));
        if let Some(listed) = listed {
            let below = (!input.composition_complete).then_some(&base.composition);
            sealer.composition = compose(below, listed, input.composition_complete);
            sealer.grounds.own.insert("composition".to_owned(), sheet);
        }
        // Another can's measurements are not this one's.
        sealer.unmeasured = None;
        sealer.discharge_g_s = base.profile_discharge_g_s;
        sealer.grounds.own.remove("discharge_g_s");
        if let Some(discharge) = input.can.discharge_g_s {
            sealer.discharge_g_s = discharge;
            sealer.grounds.own.insert("discharge_g_s".to_owned(), Grounds::plain(Basis::Measured));
        }
        sealer.label = input.label.clone().over(Some(&base.label));
        sealer.can = input.can.clone();
        Ok(sealer)
    }
}

/// The id of the base with the name of the file behind it: `acrylic-gloss:shelf-can`.
fn own_id(base: &str, file: &str) -> String {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let stem = name.strip_suffix(".toml").unwrap_or(name);
    let plain: String =
        stem.chars().map(|letter| if letter.is_alphanumeric() { letter.to_ascii_lowercase() } else { '-' }).collect();
    format!("{base}:{}", plain.trim_matches('-'))
}

#[cfg(test)]
mod tests;
