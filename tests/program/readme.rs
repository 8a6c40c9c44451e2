//! Keeps README.md true: the console blocks print what they show, and the two
//! commands at its top stand there word for word.

use crate::run::Run;

const README: &str = include_str!("../../README.md");

/// The commands of all console blocks, each with the lines shown below it.
fn sessions() -> Vec<(String, Vec<String>)> {
    let mut sessions: Vec<(String, Vec<String>)> = Vec::new();
    let mut inside = false;
    for line in README.lines() {
        match line {
            "```console" => inside = true,
            "```" => inside = false,
            _ if !inside => {}
            _ => match line.strip_prefix("$ solidby ") {
                Some(command) => sessions.push((command.to_owned(), Vec::new())),
                None => sessions.last_mut().unwrap().1.push(line.trim_end().to_owned()),
            },
        }
    }
    sessions
}

/// Splits as a shell does, as far as single quotes.
fn words(command: &str) -> Vec<String> {
    let (quoted, bare): (Vec<_>, Vec<_>) =
        command.split('\'').enumerate().partition(|(n, _)| n % 2 == 1);
    let mut words: Vec<(usize, String)> =
        quoted.into_iter().map(|(n, word)| (n, word.to_owned())).collect();
    for (n, part) in bare {
        words.extend(part.split_whitespace().map(|word| (n, word.to_owned())));
    }
    words.sort_by_key(|(n, _)| *n);
    words.into_iter().map(|(_, word)| word).collect()
}

fn printed(command: &str) -> Vec<String> {
    let ran = Run::of(&words(command)).with_demos().ends();
    ran.stdout.lines().map(|line| line.trim_end().to_owned()).collect()
}

/// Whether the printed lines are those shown, where `...` stands for any lines.
fn fits(shown: &[String], printed: &[String]) -> bool {
    match shown.split_first() {
        None => printed.is_empty(),
        Some((first, rest)) if first == "..." => {
            (0..=printed.len()).any(|skip| fits(rest, &printed[skip..]))
        }
        Some((first, rest)) => printed.first() == Some(first) && fits(rest, &printed[1..]),
    }
}

#[test]
fn the_sessions_print_what_they_show() {
    let sessions = sessions();
    assert!(sessions.len() >= 4);
    for (command, shown) in sessions {
        let printed = printed(&command);
        assert!(shown.iter().filter(|line| *line != "...").count() >= 1, "{command} shows nothing");
        assert!(fits(&shown, &printed), "`{command}` prints:\n{}", printed.join("\n"));
    }
}

#[test]
fn the_two_commands_come_first() {
    let commands: Vec<&str> =
        README.split("```sh\n").skip(1).filter_map(|block| block.lines().next()).collect();
    assert!(commands[0].starts_with("cargo run --release -- plan demo/forest-fortnight.toml"));
    assert_eq!(commands[1], "cargo test --locked");
    assert!(include_str!("../../.ci/run").lines().any(|line| line == commands[1]));
}
