//! The first help: examples, then the commands in groups, in the order a person meets them.

use std::fmt::Write;

use clap::{Command, CommandFactory};

use super::arguments::Arguments;

/// Groups of commands; a command in none of them stands under the last heading.
const GROUPS: [(&str, &[&str]); 4] = [
    ("Begin", &["new", "plan", "materials"]),
    ("Before the spray", &["layers", "safety", "weather", "scrap", "measure", "batch", "print"]),
    ("At the bench and after", &["seal", "status", "rescue", "history"]),
    ("Besides", &[]),
];

const EXAMPLES: &str = "\
Examples:
  coatbell new page                     asks about your page and writes its file
  coatbell plan page.toml               how to seal it, and when
  coatbell plan page.toml --room window-open --sealer acrylic-satin
  coatbell plan --media \"watercolour, wax-pencil\" --paper cardstock
";

/// As `arguments::HELP_TEMPLATE`, with the commands already in groups.
const TEMPLATE: &str = "{about-with-newline}\n{before-help}{usage-heading} {usage}\n\nOptions:\n{options}{after-help}";

/// The command line as parsed and as shown.
pub(super) fn command() -> Command {
    // An amount, or the notes, stand in the place of a page; a run that is taken up again or given up needs none.
    let command = Arguments::command()
        .mut_subcommand("safety", |safety| {
            safety.mut_arg("page", |page| page.required_unless_present_any(["media", "amount", "notes"]))
        })
        .mut_subcommand("seal", |seal| {
            seal.mut_arg("page", |page| page.required_unless_present_any(["media", "resume", "cancel"]))
        });
    let groups = groups(&command);
    command.before_help(format!("{EXAMPLES}\n{groups}")).help_template(TEMPLATE)
}

fn groups(command: &Command) -> String {
    let listed = |name: &str| GROUPS.iter().any(|(_, names)| names.contains(&name));
    let widest = command.get_subcommands().map(|sub| sub.get_name().len()).max().unwrap_or(0);
    let mut text = String::new();
    for (heading, names) in GROUPS {
        let named = names.iter().filter_map(|name| command.find_subcommand(name));
        let rest = command.get_subcommands().filter(|sub| names.is_empty() && !listed(sub.get_name()));
        let group: Vec<&Command> = named.chain(rest).collect();
        if group.is_empty() {
            continue;
        }
        let _ = writeln!(text, "{heading}:");
        for sub in group {
            // The sentence up to its colon: what follows is for the command's own help.
            let about = sub.get_about().map(ToString::to_string).unwrap_or_default();
            let short = about.split(':').next().unwrap_or_default();
            let _ = writeln!(text, "  {:<widest$}  {short}", sub.get_name());
        }
        text.push('\n');
    }
    text.truncate(text.trim_end().len());
    text.push('\n');
    text
}
