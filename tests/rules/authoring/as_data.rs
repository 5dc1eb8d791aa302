//! A rule file as data, in the way that rules/schema.json says, and whether data are as a schema says. Written apart from
//! the program's own readers, so that the schema is held against the files and not against what reads them.

use serde_json::{Map, Value, json};

/// A file of RON as data.
pub(super) fn data(ron: &str) -> Value {
    let mut reader = Reader { left: ron };
    let value = reader.value();
    reader.blanks();
    assert_eq!(reader.left, "", "something stands behind the value");
    value
}

struct Reader<'t> {
    left: &'t str,
}

impl Reader<'_> {
    fn blanks(&mut self) {
        loop {
            self.left = self.left.trim_start();
            match self.left.strip_prefix("//") {
                Some(comment) => self.left = comment.split_once('\n').map_or("", |(_, rest)| rest),
                None => return,
            }
        }
    }

    fn takes(&mut self, sign: &str) -> bool {
        self.blanks();
        let rest = self.left.strip_prefix(sign);
        self.left = rest.unwrap_or(self.left);
        rest.is_some()
    }

    fn word(&mut self) -> String {
        self.blanks();
        let end =
            self.left.find(|c: char| !c.is_alphanumeric() && c != '_' && c != '-' && c != '.');
        let (word, rest) = self.left.split_at(end.unwrap_or(self.left.len()));
        self.left = rest;
        word.to_owned()
    }

    fn value(&mut self) -> Value {
        self.blanks();
        if self.left.starts_with('"') {
            return Value::String(self.quoted());
        }
        if let Some(rest) = self.left.strip_prefix("r#\"") {
            let (text, rest) = rest.split_once("\"#").unwrap();
            self.left = rest;
            return json!(text);
        }
        if self.takes("[") {
            return Value::Array(self.up_to("]"));
        }
        if self.takes("{") {
            return self.fields("}");
        }
        if self.takes("(") {
            return self.bracket();
        }
        let word = self.word();
        match word.as_str() {
            "true" | "false" => json!(word == "true"),
            "" => panic!("nothing can be read here: {}", &self.left[..self.left.len().min(60)]),
            _ if word.starts_with(|c: char| c.is_ascii_digit() || c == '-') => {
                serde_json::from_str(&word).unwrap()
            }
            _ if self.takes("(") => {
                let inside = match self.bracket() {
                    // One value alone stands for itself.
                    Value::Array(mut values) if values.len() == 1 => values.remove(0),
                    inside => inside,
                };
                json!({ word: inside })
            }
            _ => Value::String(word),
        }
    }

    /// What stands in round brackets: fields where the first thing is a name with a colon, else values.
    fn bracket(&mut self) -> Value {
        self.blanks();
        if self.left.starts_with(')') {
            return self.fields(")");
        }
        let mut ahead = Reader { left: self.left };
        let named = !ahead.word().is_empty() && ahead.takes(":");
        if named { self.fields(")") } else { Value::Array(self.up_to(")")) }
    }

    fn up_to(&mut self, end: &str) -> Vec<Value> {
        let mut values = Vec::new();
        while !self.takes(end) {
            values.push(self.value());
            self.takes(",");
        }
        values
    }

    fn fields(&mut self, end: &str) -> Value {
        let mut fields = Map::new();
        while !self.takes(end) {
            self.blanks();
            let name = if self.left.starts_with('"') { self.quoted() } else { self.word() };
            assert!(self.takes(":"), "{name} has no value");
            let value = self.value();
            assert_eq!(fields.insert(name, value), None, "a field stands twice");
            self.takes(",");
        }
        Value::Object(fields)
    }

    fn quoted(&mut self) -> String {
        let inside = self.left.strip_prefix('"').unwrap();
        let mut escaped = false;
        let end = inside.find(|c| {
            let closes = c == '"' && !escaped;
            escaped = c == '\\' && !escaped;
            closes
        });
        let (text, rest) = inside.split_at(end.unwrap());
        self.left = &rest[1..];
        serde_json::from_str(&format!("\"{text}\"")).unwrap()
    }
}

/// What of the data is not as the schema says, each with its place. Knows the words that rules/schema.json uses, and no
/// others.
pub(super) fn misfits(schema: &Value, whole: &Value, data: &Value, place: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    let Value::Object(rules) = schema else { panic!("a schema is an object: {schema}") };
    for (rule, says) in rules {
        let found = match rule.as_str() {
            "$schema" | "$defs" | "title" | "description" => Vec::new(),
            "$ref" => {
                let at = says.as_str().unwrap().strip_prefix('#').unwrap();
                misfits(whole.pointer(at).unwrap_or_else(|| panic!("{says}")), whole, data, place)
            }
            "type" => {
                let kinds = says.as_array().cloned().unwrap_or_else(|| vec![says.clone()]);
                let fits = kinds.iter().any(|kind| is(kind.as_str().unwrap(), data));
                complaint(fits, place, &format!("no {says}"))
            }
            "const" => complaint(says == data, place, &format!("not {says}")),
            "enum" => {
                complaint(says.as_array().unwrap().contains(data), place, "none of the words")
            }
            "minimum" => {
                let number = data.as_f64();
                complaint(number.is_none_or(|n| n >= says.as_f64().unwrap()), place, "too small")
            }
            "anyOf" => {
                let ways = says.as_array().unwrap().iter();
                let ways: Vec<_> = ways.map(|way| misfits(way, whole, data, place)).collect();
                match ways.iter().any(Vec::is_empty) {
                    true => Vec::new(),
                    false => ways.into_iter().flatten().collect(),
                }
            }
            "required" => {
                let names = says.as_array().unwrap().iter().map(|name| name.as_str().unwrap());
                let lacks = names.filter(|name| data.is_object() && data.get(name).is_none());
                lacks.map(|name| format!("{place}: lacks {name}")).collect()
            }
            "items" | "prefixItems" | "minItems" | "maxItems" => {
                items(rule, says, rules, (whole, data, place))
            }
            "properties" | "patternProperties" | "additionalProperties" => {
                if rule == "properties" || !rules.contains_key("properties") {
                    fields(rules, whole, data, place)
                } else {
                    Vec::new()
                }
            }
            other => panic!("the check does not know `{other}`"),
        };
        wrong.extend(found);
    }
    wrong
}

fn complaint(fits: bool, place: &str, says: &str) -> Vec<String> {
    if fits { Vec::new() } else { vec![format!("{place}: {says}")] }
}

fn is(kind: &str, data: &Value) -> bool {
    match kind {
        "object" => data.is_object(),
        "array" => data.is_array(),
        "string" => data.is_string(),
        "boolean" => data.is_boolean(),
        "number" => data.is_number(),
        "integer" => data.is_u64() || data.is_i64(),
        "null" => data.is_null(),
        other => panic!("no type {other}"),
    }
}

fn items(
    rule: &str,
    says: &Value,
    rules: &Map<String, Value>,
    (whole, data, place): (&Value, &Value, &str),
) -> Vec<String> {
    let Some(items) = data.as_array() else { return Vec::new() };
    let first = rules.get("prefixItems").map_or(0, |first| first.as_array().unwrap().len());
    let at = |number: usize| format!("{place}/{number}");
    match rule {
        "minItems" => complaint(items.len() as u64 >= says.as_u64().unwrap(), place, "too few"),
        "maxItems" => complaint(items.len() as u64 <= says.as_u64().unwrap(), place, "too many"),
        "prefixItems" => {
            let pairs = says.as_array().unwrap().iter().zip(items).enumerate();
            pairs.flat_map(|(n, (schema, item))| misfits(schema, whole, item, &at(n))).collect()
        }
        _ => {
            let rest = items.iter().enumerate().skip(first);
            rest.flat_map(|(n, item)| misfits(says, whole, item, &at(n))).collect()
        }
    }
}

/// Whether a name is one of a pattern of a folder: `^causes/.+\.ron$`.
fn of_pattern(pattern: &str, name: &str) -> bool {
    let folder = pattern.strip_prefix('^').and_then(|p| p.strip_suffix(r".+\.ron$")).unwrap();
    name.strip_prefix(folder).is_some_and(|file| file.len() > 4 && file.ends_with(".ron"))
}

fn fields(rules: &Map<String, Value>, whole: &Value, data: &Value, place: &str) -> Vec<String> {
    let Some(fields) = data.as_object() else { return Vec::new() };
    let named = rules.get("properties").and_then(Value::as_object);
    let patterns = rules.get("patternProperties").and_then(Value::as_object);
    let mut wrong = Vec::new();
    for (name, value) in fields {
        let by_name = named.and_then(|named| named.get(name));
        let by_pattern = patterns.and_then(|patterns| {
            patterns.iter().find(|(pattern, _)| of_pattern(pattern, name)).map(|(_, schema)| schema)
        });
        let at = format!("{place}/{name}");
        match (by_name.or(by_pattern), rules.get("additionalProperties")) {
            (Some(schema), _) => wrong.extend(misfits(schema, whole, value, &at)),
            (None, Some(Value::Bool(false))) => wrong.push(format!("{at}: no such field")),
            (None, Some(schema)) => wrong.extend(misfits(schema, whole, value, &at)),
            (None, None) => {}
        }
    }
    wrong
}
