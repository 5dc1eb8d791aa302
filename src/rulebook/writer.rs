//! Writes entries as a person would: a comment above each field, what is left out as a comment to fill in.

use crate::source::{quoted, unprintable};

/// Texts in a list, in double quotes.
pub fn quoted_list<T: AsRef<str>>(texts: &[T]) -> String {
    let texts: Vec<String> = texts.iter().map(|t| quoted(t.as_ref())).collect();
    format!("[{}]", texts.join(", "))
}

/// Lines of a file are broken before this column, where they can be.
const WIDE: usize = 110;

/// One entry, field by field.
#[derive(Debug, Clone)]
pub struct Entry {
    indent: &'static str,
    lines: Vec<String>,
}

impl Entry {
    /// An entry of a list.
    pub fn of_list() -> Self {
        Self::indented("        ")
    }

    /// An entry that is the whole of its file.
    pub fn alone() -> Self {
        Self::indented("    ")
    }

    fn indented(indent: &'static str) -> Self {
        Self { indent, lines: Vec::new() }
    }

    /// A comment.
    pub fn comment(&mut self, says: &str) -> &mut Self {
        let indent = format!("{}// ", self.indent);
        let options = textwrap::Options::new(WIDE)
            .initial_indent(&indent)
            .subsequent_indent(&indent)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        // A typed text in a comment must not end it and go on as something else.
        let says: String = says.chars().map(|c| if unprintable(c) { ' ' } else { c }).collect();
        let wrapped = textwrap::wrap(&says, options);
        self.lines.extend(wrapped.iter().map(|line| line.trim_end().to_owned()));
        self
    }

    /// A field with its value in the words of the file.
    pub fn field(&mut self, name: &str, value: &str) -> &mut Self {
        self.lines.push(format!("{}{name}: {value},", self.indent));
        self
    }

    /// A field whose list has an item on each line.
    pub fn list(&mut self, name: &str, items: &[String]) -> &mut Self {
        if items.is_empty() {
            return self.field(name, "[]");
        }
        let indent = self.indent;
        self.lines.push(format!("{indent}{name}: ["));
        let items = items.iter().map(|item| format!("{indent}    {item},"));
        self.lines.extend(items);
        self.lines.push(format!("{indent}],"));
        self
    }

    /// A field of named values, `"key": "value"` each; many of them stand on lines of their own.
    pub fn map(&mut self, name: &str, pairs: &[String]) -> &mut Self {
        let indent = self.indent;
        let short = format!("{{{}}}", pairs.join(", "));
        if indent.len() + name.len() + short.len() < WIDE {
            return self.field(name, &short);
        }
        self.lines.push(format!("{indent}{name}: {{"));
        let mut line = format!("{indent}   ");
        for pair in pairs {
            if line.len() + pair.len() + 2 > WIDE && line.trim() != "" {
                self.lines.push(line);
                line = format!("{indent}   ");
            }
            line.push_str(&format!(" {pair},"));
        }
        self.lines.push(line);
        self.lines.push(format!("{indent}}},"));
        self
    }

    /// A field that is left out, with an example of what may stand there.
    pub fn left_out(&mut self, name: &str, example: &str) -> &mut Self {
        self.lines.push(format!("{}// {name}: {example},", self.indent));
        self
    }

    fn body(&self) -> String {
        self.lines.join("\n")
    }
}

/// A file that is a list of these entries, with a comment at its head.
pub fn list_file(head: &[String], entries: &[Entry]) -> String {
    let mut text = heading(head);
    text.push_str("[\n");
    for entry in entries {
        text.push_str(&format!("    (\n{}\n    ),\n", entry.body()));
    }
    text.push_str("]\n");
    text
}

/// A file that is this entry, with a comment at its head.
pub fn lone_file(head: &[String], entry: &Entry) -> String {
    format!("{}(\n{}\n)\n", heading(head), entry.body())
}

fn heading(lines: &[String]) -> String {
    let clean = |line: &String| -> String {
        let line: String = line.chars().map(|c| if unprintable(c) { ' ' } else { c }).collect();
        format!("// {line}\n")
    };
    lines.iter().map(clean).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_text_reads_back_the_same(text in any::<String>()) {
            let read: String = ron::from_str(&quoted(&text)).unwrap();
            prop_assert_eq!(read, text);
        }

        #[test]
        fn whatever_stands_in_a_comment_stays_in_it(text in any::<String>()) {
            let mut entry = Entry::alone();
            entry.comment(&text).field("a", &quoted(&text));
            let file = lone_file(std::slice::from_ref(&text), &entry);
            #[derive(serde::Deserialize)]
            struct Alone { a: String }
            let read: Alone = ron::from_str(&file).unwrap();
            prop_assert_eq!(read.a, text);
        }
    }
}
