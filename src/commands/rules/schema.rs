//! `rules schema`: the JSON schema of the rule files, whole or of one kind of file.

use serde_json::{Map, Value};

use crate::cli::SchemaArgs;
use crate::commands::{Failed, Streams, output};
use crate::disk::Over;
use crate::exit::Exit;
use crate::problem::nearest;
use crate::rulebook::load;
use crate::stream;

/// Files that stand beside a folder of rules, by their part of the schema.
const BESIDE: [&str; 2] = ["conveyor", "answers"];
/// What the schema of one kind of file has from the whole one.
const SHARED: [&str; 2] = ["$schema", "$defs"];

pub(super) fn run(args: &SchemaArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let over = if args.force { Over::PlainFile } else { Over::Nothing };
    let whole = load::schema();
    let document = match &args.kind {
        None => whole.to_owned(),
        Some(kind) => {
            let whole: Map<String, Value> = serde_json::from_str(whole)?;
            let kinds = kinds(&whole);
            let Some((_, schema)) = kinds.iter().find(|(known, _)| known == kind) else {
                let known: Vec<&str> = kinds.iter().map(|(known, _)| known.as_str()).collect();
                let meant = nearest(kind, known.iter().copied());
                let meant = meant.map_or(String::new(), |meant| format!(" Did you mean {meant}?"));
                streams.complain(&format!(
                    "error: there is no kind of file called {kind}.{meant}\ndo: name one of these: {}.",
                    known.join(", ")
                ))?;
                return Ok(Exit::Usage);
            };
            stream::json(&of_kind(&whole, kind, schema))?
        }
    };
    output::deliver(&document, args.output.as_deref(), over, "the schema", streams)
}

/// The kinds of files, each with its schema.
fn kinds(whole: &Map<String, Value>) -> Vec<(String, Value)> {
    let mut kinds: Vec<(String, Value)> = Vec::new();
    for part in ["properties", "patternProperties"] {
        for (path, schema) in whole.get(part).and_then(Value::as_object).into_iter().flatten() {
            let name: String =
                path.chars().skip_while(|c| *c == '^').take_while(is_of_name).collect();
            if kinds.iter().all(|(known, _)| *known != name) {
                kinds.push((name, schema.clone()));
            }
        }
    }
    let beside =
        |name: &str| (name.to_owned(), serde_json::json!({ "$ref": format!("#/$defs/{name}") }));
    kinds.extend(BESIDE.map(beside));
    kinds.sort_by(|(one, _), (other, _)| one.cmp(other));
    kinds
}

fn is_of_name(c: &char) -> bool {
    c.is_ascii_lowercase() || *c == '-'
}

/// The schema of one kind of file, complete in itself.
fn of_kind(whole: &Map<String, Value>, kind: &str, schema: &Value) -> Map<String, Value> {
    let mut own = schema.as_object().cloned().unwrap_or_default();
    own.insert("title".to_owned(), Value::from(format!("A file of straybelt: {kind}")));
    let shared = whole.iter().filter(|(name, _)| SHARED.contains(&name.as_str()));
    own.extend(shared.map(|(name, value)| (name.clone(), value.clone())));
    own
}
