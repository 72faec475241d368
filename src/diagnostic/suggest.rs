//! Did-you-mean, with an order that never changes.

/// The candidate nearest to what was written, if one is near enough to be meant.
///
/// Distance is Damerau–Levenshtein on lower-case text with spaces and underscores read as hyphens; at most a third
/// of the letters (three at most) may differ. A candidate that contains the whole of a longer word counts as near.
/// Ties go to the alphabetically first.
pub fn nearest<'a>(written: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    similar_names(written, candidates).into_iter().next()
}

/// All candidates near enough to be meant, nearest first, ties alphabetical.
pub fn similar_names<'a>(written: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted = fold(written);
    let letters = wanted.chars().count();
    if letters == 0 || letters > 60 {
        return Vec::new();
    }
    let allowed = (letters / 3).clamp(1, 3);
    let mut near: Vec<(usize, &str)> = candidates
        .into_iter()
        .filter_map(|candidate| {
            let folded = fold(candidate);
            // Words of other lengths are further apart than that: a file of thousands of unknown keys is read at once.
            let comparable = folded.chars().count().abs_diff(letters) <= allowed;
            let distance = if comparable { strsim::damerau_levenshtein(&wanted, &folded) } else { usize::MAX };
            let contained =
                letters >= 4 && (folded.contains(&wanted) || (folded.len() >= 4 && wanted.contains(&folded)));
            let score = if distance <= allowed { distance } else { 4 };
            (distance <= allowed || contained).then_some((score, candidate))
        })
        .collect();
    near.sort_unstable();
    near.dedup();
    near.into_iter().map(|(_, candidate)| candidate).collect()
}

fn fold(text: &str) -> String {
    text.trim().to_lowercase().replace([' ', '_'], "-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_words_are_found_in_a_stable_order() {
        let known = ["wax-pencil", "oil-pencil", "gel-pen", "acrylic-pen"];
        assert_eq!(nearest("wax pencl", known), Some("wax-pencil"));
        assert_eq!(nearest("zzzzzz", known), None);
        assert_eq!(similar_names("pencil", known), vec!["oil-pencil", "wax-pencil"]);
    }
}
