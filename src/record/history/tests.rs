use super::*;

fn run(id: &str) -> PastRun {
    PastRun {
        id: id.to_owned(),
        started_at: "2026-11-28T14:00:00+01:00".to_owned(),
        finished_at: "2026-11-28T14:40:00+01:00".to_owned(),
        complete: true,
        title: "Heron".to_owned(),
        page_file: Some("heron.toml".to_owned()),
        paper: "cardstock".to_owned(),
        media: vec!["watercolour".to_owned(), "wax-pencil".to_owned()],
        sealer: "acrylic-gloss".to_owned(),
        sealer_name: "acrylic, gloss".to_owned(),
        room: None,
        temperature_c: 21.0,
        relative_humidity_pct: 48.0,
        coats: Vec::new(),
        mishaps: Vec::new(),
        grams_used: 16.1,
    }
}

#[test]
fn what_is_kept_is_read_back() {
    let mut lines = Vec::new();
    let Ok(()) = append(&mut lines, &run("a1"));
    let Ok(()) = append(&mut lines, &run("b2"));
    let rating = Rating {
        run: "a1".to_owned(),
        at: "2026-11-29T09:00:00+01:00".to_owned(),
        outcomes: vec![Outcome::DrySprayed],
        media: Vec::new(),
        note: Some("rough\nto the touch".to_owned()),
    };
    let Ok(()) = append_rating(&mut lines, &rating);
    assert!(lines.iter().all(|line| !line.contains('\n')), "one entry a line");
    assert!(lines[2].contains("\"dry-sprayed\""), "{}", lines[2]);
    let history = read(lines.iter().map(String::as_str));
    assert_eq!(history.runs.len(), 2);
    assert_eq!(history.runs[0], RatedRun { run: run("a1"), rating: Some(rating) });
    assert_eq!(history.runs[1].rating, None);
    assert_eq!(history.find("1").map(|found| &*found.run.id), Some("b2"), "the newest is number 1");
    assert_eq!(history.find("a").map(|found| &*found.run.id), Some("a1"));
    assert!(history.find("3").is_none() && history.find("0").is_none() && history.find("").is_none());
}

#[test]
fn a_torn_line_hides_nothing_else() {
    let whole = Entry::Run(run("a1")).to_line();
    let torn = &whole[..whole.len() / 2];
    let history = read([whole.as_str(), "", torn]);
    assert_eq!(history.runs.len(), 1);
    assert_eq!(history.unreadable, vec![3]);
}

#[test]
fn fields_of_a_later_version_do_not_hide_a_run() {
    let line = Entry::Run(run("a1")).to_line().replacen('{', "{\"weather\":\"fog\",", 1);
    assert_eq!(read([line.as_str()]).runs.len(), 1);
}

#[test]
fn the_words_of_the_trade_are_understood() {
    for outcome in Outcome::ALL {
        assert_eq!(Outcome::from_word(outcome.word()), Some(outcome));
        assert_eq!(serde_json::to_string(&outcome).unwrap(), format!("\"{}\"", outcome.word()));
    }
    assert_eq!(Outcome::from_word("Dry sprayed"), Some(Outcome::DrySprayed));
    assert_eq!(Outcome::from_word("buckled"), Some(Outcome::Cockled));
    assert_eq!(Outcome::from_word("purple"), None);
}
