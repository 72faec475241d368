//! What the program is built from: every package known by name, none that talks to a network, all freely licensed.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::support::say;

/// Clients of networks, and what encrypts their connections. Named in `deny.toml` too.
const CLIENTS: [&str; 18] = [
    "async-std",
    "attohttpc",
    "awc",
    "curl",
    "h2",
    "hickory-resolver",
    "hyper",
    "isahc",
    "minreq",
    "native-tls",
    "openssl",
    "quinn",
    "reqwest",
    "rustls",
    "surf",
    "tokio",
    "tungstenite",
    "ureq",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(file: impl AsRef<Path>) -> String {
    std::fs::read_to_string(root().join(file)).expect("a file of this repository")
}

/// The packages of `Cargo.lock` but this one, each with where it comes from.
fn packages() -> Vec<(String, Option<String>)> {
    let lock: toml::Table = read("Cargo.lock").parse().expect("a lock file");
    let all = lock["package"].as_array().expect("packages").iter();
    let text = |package: &toml::Value, key: &str| package.get(key).and_then(|value| value.as_str()).map(str::to_owned);
    let named = all.map(|package| (text(package, "name").expect("a name"), text(package, "source")));
    named.filter(|(name, _)| name != "coatbell").collect()
}

/// The rows of the table of DEVELOPERS.md: what was asked for, and all names of the row.
fn table() -> Vec<(String, Vec<String>)> {
    let text = read("DEVELOPERS.md");
    let section = text.split("## Dependencies").nth(1).expect("the chapter").split("\n## ").next().unwrap_or_default();
    let rows = section.lines().filter(|line| line.starts_with("| `"));
    rows.map(|row| {
        let cells: Vec<&str> = row.split('|').collect();
        assert!(cells.len() == 5 && !cells[2].trim().is_empty(), "a name, a reason, what it brings: {row}");
        let names = |cell: &str| cell.split('`').skip(1).step_by(2).map(str::to_owned).collect::<Vec<_>>();
        let asked = names(cells[1]).concat();
        (asked.clone(), [vec![asked], names(cells[3])].concat())
    })
    .collect()
}

#[test]
fn every_package_is_known_with_its_reason() {
    let there: BTreeSet<String> = packages().into_iter().map(|(name, _)| name).collect();
    let table = table();
    let listed: Vec<&String> = table.iter().flat_map(|(_, names)| names).collect();
    let known: BTreeSet<String> = listed.iter().map(|name| (*name).clone()).collect();
    assert_eq!(listed.len(), known.len(), "a package stands twice in DEVELOPERS.md, Dependencies");
    let unknown: Vec<&String> = there.difference(&known).collect();
    assert!(unknown.is_empty(), "not in the table of DEVELOPERS.md, Dependencies: {unknown:?}");
    let gone: Vec<&String> = known.difference(&there).collect();
    assert!(gone.is_empty(), "no longer in Cargo.lock, but in DEVELOPERS.md, Dependencies: {gone:?}");
    let manifest: toml::Table = read("Cargo.toml").parse().expect("a manifest");
    let unix = &manifest["target"]["cfg(unix)"]["dependencies"];
    let tables = [&manifest["dependencies"], unix, &manifest["dev-dependencies"]];
    let wanted: BTreeSet<&String> = tables.iter().flat_map(|table| table.as_table().expect("a table").keys()).collect();
    let asked: BTreeSet<&String> = table.iter().map(|(asked, _)| asked).collect();
    assert_eq!(wanted, asked, "the rows of DEVELOPERS.md, Dependencies are those of Cargo.toml");
}

#[test]
fn nothing_talks_to_a_network() {
    for (name, source) in packages() {
        assert!(!CLIENTS.contains(&name.as_str()), "`{name}` is a client of networks");
        let source = source.unwrap_or_default();
        assert!(source.starts_with("registry+"), "`{name}` comes from `{source}`");
    }
    let denied = read("deny.toml");
    for client in CLIENTS {
        assert!(denied.contains(&format!("\"{client}\"")), "`{client}` is not in deny.toml");
    }
    let sources = sources(&root().join("src"));
    assert!(sources.len() > 100, "{} files", sources.len());
    for file in sources {
        let text = read(&file);
        for word in ["std::net", "TcpStream", "UdpSocket", "UnixStream", "ToSocketAddrs"] {
            assert!(!text.contains(word), "`{word}` in {}", file.display());
        }
    }
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).expect("a folder of this repository").filter_map(Result::ok);
    let (folders, files): (Vec<_>, Vec<_>) = entries.map(|entry| entry.path()).partition(|path| path.is_dir());
    let below = folders.iter().flat_map(|folder| sources(folder));
    files.into_iter().filter(|file| file.extension().is_some_and(|ending| ending == "rs")).chain(below).collect()
}

#[test]
fn nothing_is_unsafe() {
    let manifest: toml::Table = read("Cargo.toml").parse().expect("a manifest");
    assert_eq!(manifest["lints"]["rust"]["unsafe_code"].as_str(), Some("forbid"));
}

#[test]
fn every_licence_lets_the_program_be_given_on() {
    let rules: toml::Table = read("deny.toml").parse().expect("deny.toml");
    let allowed: Vec<&str> =
        rules["licenses"]["allow"].as_array().expect("licences").iter().filter_map(toml::Value::as_str).collect();
    let mut command = std::process::Command::new(env!("CARGO"));
    command.args(["metadata", "--locked", "--offline", "--format-version", "1"]).current_dir(root());
    let output = command.output().expect("cargo runs");
    if !output.status.success() {
        say("skipped: not all packages of all systems are on this machine; `cargo fetch --locked` brings them");
        return;
    }
    let document: serde_json::Value = serde_json::from_slice(&output.stdout).expect("metadata");
    let all = document["packages"].as_array().expect("packages");
    assert!(all.len() > 50, "{} packages", all.len());
    for package in all {
        let (name, licence) = (&package["name"], package["license"].as_str().unwrap_or_default());
        assert!(permits(licence, &allowed), "{name} is under `{licence}`");
    }
}

/// Whether all parts of a licence joined by AND hold, of those joined by OR one.
fn permits(licence: &str, allowed: &[&str]) -> bool {
    let licence = licence.replace('/', " OR ").replace(['(', ')'], "");
    licence.split(" AND ").all(|part| part.split(" OR ").any(|one| allowed.contains(&one.trim())))
}

#[test]
fn licences_are_told_apart() {
    let allowed = ["MIT", "Apache-2.0", "Unicode-3.0"];
    assert!(permits("MIT OR Apache-2.0", &allowed) && permits("Unlicense/MIT", &allowed));
    assert!(permits("(MIT OR Apache-2.0) AND Unicode-3.0", &allowed));
    assert!(!permits("GPL-3.0-only", &allowed) && !permits("MIT AND GPL-3.0-only", &allowed) && !permits("", &allowed));
}
