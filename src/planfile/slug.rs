//! What stands for a name in the names of steps.

/// Lower-case letters and digits joined by hyphens, for ids: `Paint on ice!` is `paint-on-ice`.
pub fn slug(name: &str) -> String {
    let words: Vec<String> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join("-")
}

#[cfg(test)]
mod tests {
    use super::slug;

    #[test]
    fn ids_are_plain() {
        assert_eq!(slug("Paint on ice, twice!"), "paint-on-ice-twice");
        assert_eq!(slug("Füchse"), "füchse");
    }
}
