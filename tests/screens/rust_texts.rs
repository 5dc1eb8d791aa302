//! The texts in quotes of a file of the program, and what a command's help says of itself in the lines above it.

/// Those of the code above its own tests; with `help` the comments that become help as well. What is filled in later
/// stands as one word.
pub(crate) fn texts(code: &str, help: bool) -> Vec<String> {
    let code = code.split("#[cfg(test)]").next().unwrap_or_default();
    let mut texts: Vec<String> = quoted(code).iter().flat_map(|text| paragraphs(text)).collect();
    if help {
        texts.extend(helps(code));
    }
    texts
}

fn quoted(code: &str) -> Vec<String> {
    let mut texts = Vec::new();
    let mut rest = code;
    while let Some(at) = rest.find(['"', '\'', '/', 'r']) {
        let here = &rest[at..];
        rest = if here.starts_with("//") {
            here.find('\n').map_or("", |end| &here[end..])
        } else if let Some(raw) = here.strip_prefix("r#\"") {
            let (text, after) = raw.split_once("\"#").unwrap_or((raw, ""));
            texts.push(text.to_owned());
            after
        } else if let Some(text) = here.strip_prefix('"') {
            let (text, after) = plain(text);
            texts.push(text);
            after
        } else if here.starts_with('\'') {
            &here[character(here)..]
        } else {
            &here[1..]
        };
    }
    texts
}

/// How long a character in quotes is; of a lifetime the mark alone.
fn character(here: &str) -> usize {
    let mut chars = here.char_indices().skip(1);
    let first = chars.next().map_or(' ', |(_, c)| c);
    let close = if first == '\\' { chars.nth(1) } else { chars.next() };
    close.filter(|(_, c)| *c == '\'').map_or(1, |(at, _)| at + 1)
}

/// A text up to its closing quote, and what stands behind that. A line that ends in a backslash goes on.
fn plain(text: &str) -> (String, &str) {
    let mut found = String::new();
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        match c {
            '"' => return (found, &text[at + 1..]),
            '\\' => match chars.next() {
                Some((_, '\n')) => while chars.next_if(|(_, c)| c.is_whitespace()).is_some() {},
                Some((_, 'n')) => found.push('\n'),
                Some((_, c)) => found.push(c),
                None => {}
            },
            c => found.push(c),
        }
    }
    (found, "")
}

fn paragraphs(text: &str) -> Vec<String> {
    let mut filled = String::new();
    let mut depth = 0_usize;
    for c in text.chars() {
        match c {
            '{' => {
                filled.push_str(if depth == 0 { "X" } else { "" });
                depth += 1;
            }
            '}' => depth = depth.saturating_sub(1),
            c if depth == 0 => filled.push(c),
            _ => {}
        }
    }
    filled.split("\n\n").map(str::to_owned).collect()
}

fn helps(code: &str) -> Vec<String> {
    let mut helps = vec![String::new()];
    for line in code.lines() {
        let said = line.trim_start().strip_prefix("///").map(str::trim);
        match (said, helps.last_mut()) {
            (Some(said), Some(help)) if !said.is_empty() => {
                help.push(' ');
                help.push_str(said);
            }
            _ => helps.push(String::new()),
        }
    }
    helps.retain(|help| !help.is_empty());
    helps
}

#[test]
fn texts_are_found_as_they_are_said() {
    let code = "/// Shows it.\n/// All of it.\nfn a<'a>() { say(\"One \\\n    line, {x:.1} mm \\\"so\\\".\"); let c = '\"'; // \"no\"\n \
                b(\"two\\n\\nthree\") }\n#[cfg(test)]\nmod tests { \"not this\" }";
    assert_eq!(texts(code, false), ["One line, X mm \"so\".", "two", "three"]);
    let with_help = texts(code, true);
    assert_eq!(with_help.last().map(String::as_str), Some(" Shows it. All of it."));
}
