//! Names and values as a form or an address sends them (application/x-www-form-urlencoded,
//! WHATWG URL 5).

/// Names and values in the order they were sent; a name may come more than once.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Fields(Vec<(String, String)>);

impl Fields {
    /// Reads what stands behind `?` or in a form's body; what is no UTF-8 is replaced.
    pub fn read(text: &[u8]) -> Self {
        Self(form_urlencoded::parse(text).into_owned().collect())
    }

    /// The first value of that name without the space around it; none when it is empty.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.all(name).next().map(str::trim).filter(|value| !value.is_empty())
    }

    /// Every value of that name, as sent.
    pub fn all<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a str> {
        self.0.iter().filter(move |pair| pair.0 == name).map(|pair| pair.1.as_str())
    }

    /// All names and values, in the order sent.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(name, value)| (name.as_str(), value.as_str()))
    }

    /// Whether nothing was sent.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The same with one value in place of all of that name; without it where the value is empty.
    pub fn with(&self, name: &str, value: &str) -> Self {
        let mut fields = self.clone();
        fields.0.retain(|pair| pair.0 != name);
        if !value.is_empty() {
            fields.0.push((name.to_owned(), value.to_owned()));
        }
        fields
    }

    /// The same with one value, which may be empty, in place of all of that name.
    pub fn set(&self, name: &str, value: &str) -> Self {
        let mut fields = self.with(name, "");
        fields.0.push((name.to_owned(), value.to_owned()));
        fields
    }

    /// The same with another value where that name was sent.
    pub fn changed_in_place(mut self, name: &str, value: &str) -> Self {
        if let Some(pair) = self.0.iter_mut().find(|pair| pair.0 == name) {
            value.clone_into(&mut pair.1);
        }
        self
    }

    /// The same changed by fields in the words of an address; an empty value takes its field away.
    pub fn changed(&self, changes: &str) -> Self {
        let changes = Self::read(changes.as_bytes());
        changes.iter().fold(self.clone(), |fields, (name, value)| fields.with(name, value))
    }

    /// As an address has them, with the `?`; empty where there are none.
    pub fn query(&self) -> String {
        let all = form_urlencoded::Serializer::new(String::new()).extend_pairs(&self.0).finish();
        if all.is_empty() { all } else { format!("?{all}") }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn reads_what_browsers_send() {
        let fields = Fields::read(b"thickness=1%2F4+in&by=&count=+3+&caf%C3%A9=%zz%4&a=b=c&flag");
        assert_eq!(fields.get("thickness"), Some("1/4 in"));
        assert_eq!(
            (fields.get("by"), fields.get("flag"), fields.get("nothing")),
            (None, None, None)
        );
        assert_eq!(fields.get("count"), Some("3"));
        assert_eq!(fields.get("café"), Some("%zz%4"));
        assert_eq!(fields.get("a"), Some("b=c"));
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back(pairs in proptest::collection::vec((".+", ".+"), 0..5)) {
            let fields = Fields(pairs);
            let query = fields.query();
            prop_assert_eq!(Fields::read(query.trim_start_matches('?').as_bytes()), fields);
        }

        #[test]
        fn no_bytes_are_too_strange(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
            let fields = Fields::read(&bytes);
            prop_assert_eq!(Fields::read(fields.query().trim_start_matches('?').as_bytes()), fields);
        }
    }
}
