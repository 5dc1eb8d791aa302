//! rules/schema.json is written from the types that read the files, as rules/REFERENCE.md is; `rules schema` writes it.
//! The shipped book, read as data, is as it says, and what the program refuses for its shape is not.
//!
//! To renew it:  STRAYBELT_RENEW=1 cargo test --test rules schema

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::{Map, Value, json};
use straybelt::conveyor::{dimensions, facts::FactKey};
use straybelt::reason::Outcome;
use straybelt::rulebook::{fields, load};
use straybelt::trade::{LookPlace, Worded};
use straybelt::visit::answers;

use super::as_data::{data, misfits};
use super::grammar::{FILES, kinds, root, text};
use super::run;
use super::trace::{Field, Kinds, Shape, Variant};

const SCHEMA: &str = "rules/schema.json";

const HOW: &str = "A folder of rule files as data, by the paths of its files. RON is read as data so: ( ) with names are \
    an object, ( ) without names and [ ] are an array, a word alone is a text, a word with a bracket is an object of one \
    name: Sees(\"x\", Often) is {\"Sees\": [\"x\", \"Often\"]}, Fix(\"x\") is {\"Fix\": \"x\"}. It knows shapes and words, and no ids; \
    `straybelt rules check` knows both.";

fn reference(name: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{}", name.replace(' ', "-")) })
}

/// Words stand apart from entries: there are numbers behind `likelihood`, and words of that name.
fn words_of(name: &str) -> String {
    format!("{name}-words")
}

fn tuple(of: &[Value]) -> Value {
    json!({ "type": "array", "prefixItems": of, "minItems": of.len(), "maxItems": of.len() })
}

fn list(of: &Value) -> Value {
    json!({ "type": "array", "items": of })
}

fn shape(shape: &Shape) -> Value {
    match shape {
        Shape::Nothing | Shape::Any => panic!("nothing is known of it"),
        Shape::Text => json!({ "type": "string" }),
        Shape::Number => json!({ "type": "number" }),
        Shape::Whole => json!({ "type": "integer", "minimum": 0 }),
        Shape::Truth => json!({ "type": "boolean" }),
        Shape::List(of) => list(&self::shape(of)),
        Shape::Tuple(of) => tuple(&of.iter().map(self::shape).collect::<Vec<_>>()),
        Shape::Struct(name) => reference(name),
        Shape::Enum(name) => reference(&words_of(name)),
        Shape::WordOrRow => {
            let favoured =
                tuple(&[json!({ "type": "string" }), reference(&words_of("likelihood"))]);
            json!({ "anyOf": [reference(&words_of("likelihood")), list(&favoured)] })
        }
        Shape::TextOrTexts => {
            json!({ "anyOf": [{ "type": "string" }, list(&json!({ "type": "string" }))] })
        }
    }
}

/// What is read in another way than by its type.
fn later(field: &str) -> Value {
    let text = json!({ "type": "string" });
    let by_id = |of: &Value| json!({ "type": "object", "additionalProperties": of });
    let answers = by_id(&json!({ "anyOf": [text, list(&text)] }));
    let words = |words: &[&str]| json!({ "enum": words });
    match field {
        "conveyor" => reference("conveyor"),
        "sides" => reference("sides"),
        "answers" => answers,
        "found" => by_id(&words(&["as-suspected", "was-fine"])),
        "done" => list(&list(&text)),
        "outcomes" => list(&words(&Outcome::WORDS.map(|(word, _)| word))),
        "second" => list(&json!({
            "type": "object",
            "properties": { "after_batch": { "type": "integer", "minimum": 1 }, "answers": answers },
            "required": ["after_batch"],
            "additionalProperties": false,
        })),
        "machine" => words(&["running", "locked-out"]),
        "place" => words(&LookPlace::ALL.iter().map(|place| place.word()).collect::<Vec<_>>()),
        "means" => json!({
            "type": "object",
            "properties": {
                "tools": list(&text),
                "history": { "type": "boolean" },
                "lock_out": { "type": "boolean" },
            },
            "additionalProperties": false,
        }),
        "notes" => list(&text),
        other => panic!("say in `later` what {other} holds"),
    }
}

/// A schema with what the field is for; beside a reference that may stand too.
fn described(kind: &str, field: &str, mut schema: Value) -> Value {
    let says = fields::says(kind, field);
    let says =
        says.unwrap_or_else(|| panic!("say in src/rulebook/fields/ what {kind} {field} is for"));
    schema["description"] = json!(says);
    schema
}

fn object(kind: &str, fields: &[Field]) -> Value {
    let mut properties = Map::new();
    for field in fields {
        let schema = match field.shape {
            Shape::Any => later(field.name),
            ref known => shape(known),
        };
        properties.insert(field.name.to_owned(), described(kind, field.name, schema));
    }
    let must = fields.iter().filter(|field| field.must).map(|field| field.name);
    closed(&properties, &must.collect::<Vec<_>>())
}

fn closed(properties: &Map<String, Value>, must: &[&str]) -> Value {
    let mut object =
        json!({ "type": "object", "properties": properties, "additionalProperties": false });
    if !must.is_empty() {
        object["required"] = json!(must);
    }
    object
}

fn words(name: &str, variants: &[(&str, Variant)]) -> Value {
    let plain = variants.iter().filter(|(_, variant)| *variant == Variant::Word);
    let plain: Vec<&str> = plain.map(|(word, _)| *word).collect();
    let mut ways = Vec::new();
    if !plain.is_empty() {
        ways.push(json!({ "enum": plain }));
    }
    for (word, variant) in variants {
        let inside = match variant {
            Variant::Word => continue,
            Variant::Values(values) if values.len() == 1 => shape(&values[0]),
            Variant::Values(values) => tuple(&values.iter().map(shape).collect::<Vec<_>>()),
            Variant::Fields(fields) => object(name, fields),
        };
        let one = Map::from_iter([((*word).to_owned(), inside)]);
        ways.push(closed(&one, &[word]));
    }
    match ways.len() {
        1 => ways.remove(0),
        _ => json!({ "anyOf": ways }),
    }
}

/// A conveyor's file: facts by their words, sizes as people type them.
fn conveyor() -> Value {
    let text = || json!({ "type": "string" });
    let size = || json!({ "type": ["string", "number", "null"] });
    let mut properties = Map::new();
    let mut put = |name: &str, schema: Value| {
        properties.insert(name.to_owned(), described("conveyor", name, schema));
    };
    put("name", text());
    put("sides", reference("sides"));
    put("units", json!({ "enum": ["metric", "inch", "both"] }));
    put("limits", json!({ "type": "object", "additionalProperties": size() }));
    for key in FactKey::FOR_RULES.into_iter().chain(FactKey::FOR_GAUGES) {
        let mut values: Vec<Value> = key.value_words().into_iter().map(Value::from).collect();
        values.push(Value::Null);
        put(key.word(), json!({ "enum": values }));
    }
    for dimension in dimensions::ALL {
        let mut schema = size();
        schema["description"] = json!(format!("{}.", dimension.ask));
        match dimension.path.split_once('.') {
            None => drop(properties.insert(dimension.path.to_owned(), schema)),
            Some((group, name)) => {
                let group = properties.entry(group).or_insert_with(|| closed(&Map::new(), &[]));
                group["properties"][name] = schema;
            }
        }
    }
    closed(&properties, &[])
}

fn schema() -> Value {
    let kinds: Kinds = kinds();
    let mut parts: BTreeMap<String, Value> = BTreeMap::new();
    let mut part = |name: &str, schema| {
        let name = name.replace(' ', "-");
        assert!(parts.insert(name.clone(), schema).is_none(), "two parts called {name}");
    };
    for (name, fields) in &kinds.structs {
        part(name, object(name, fields));
    }
    for (name, variants) in &kinds.enums {
        part(&words_of(name), words(name, variants));
    }
    let side = |side| described("sides", side, json!({ "type": "string" }));
    let sides = ["left", "right"].map(|name| (name.to_owned(), side(name)));
    part("sides", closed(&Map::from_iter(sides), &[]));
    part("conveyor", conveyor());
    let keys = answers::KEYS.iter();
    let keys = keys.map(|key| ((*key).to_owned(), described("answers", key, later(key))));
    part("answers", closed(&keys.collect(), &[]));

    let (mut files, mut folders) = (Map::new(), Map::new());
    for file in FILES {
        let entry = reference(file.kind);
        let schema = if file.list { list(&entry) } else { entry };
        for path in file.path.split(", ") {
            match path.strip_suffix("*.ron") {
                Some(folder) => folders.insert(format!(r"^{folder}.+\.ron$"), schema.clone()),
                None => files.insert(path.to_owned(), schema.clone()),
            };
        }
    }
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rule files of straybelt",
        "description": HOW,
        "type": "object",
        "properties": files,
        "patternProperties": folders,
        "additionalProperties": false,
        "$defs": parts,
    })
}

fn kept() -> Value {
    serde_json::from_str(&text(SCHEMA)).unwrap()
}

#[test]
fn the_schema_is_what_the_types_say() {
    let now = format!("{}\n", serde_json::to_string_pretty(&schema()).unwrap());
    if std::env::var_os("STRAYBELT_RENEW").is_some() {
        fs::write(root(SCHEMA), now).unwrap();
        return;
    }
    assert!(
        text(SCHEMA) == now,
        "{SCHEMA} is not what the types say. Renew it and read the difference:\n    \
         STRAYBELT_RENEW=1 cargo test --test rules schema"
    );
}

/// The rule files below a folder as data, by their paths.
fn folder(dir: &Path) -> Value {
    fn walk(dir: &Path, inside: &str, found: &mut Map<String, Value>) {
        for entry in fs::read_dir(dir).unwrap().map(Result::unwrap) {
            let name = format!("{inside}{}", entry.file_name().into_string().unwrap());
            if entry.path().is_dir() {
                walk(&entry.path(), &format!("{name}/"), found);
            } else if name.ends_with(".ron") {
                found.insert(name, data(&fs::read_to_string(entry.path()).unwrap()));
            }
        }
    }
    let mut found = Map::new();
    walk(dir, "", &mut found);
    Value::Object(found)
}

#[test]
fn books_and_folders_read_as_data_are_as_it_says() {
    let schema = kept();
    for dir in ["examples/small-book", "examples/ostrel-quay/rules"] {
        let found = folder(&root(dir));
        assert!(found.as_object().unwrap().len() > 3);
        assert_eq!(misfits(&schema, &schema, &found, dir), Vec::<String>::new());
    }
    let mut shipped = folder(&root("rules"));
    let files = shipped.as_object_mut().unwrap();
    // Constants of the program, and no rules.
    files.retain(|path, _| !path.starts_with("gauges/"));
    assert_eq!(
        files.len(),
        load::built_in().iter().filter(|(p, _)| !p.starts_with("gauges/")).count()
    );
    assert_eq!(misfits(&schema, &schema, &shipped, "rules"), Vec::<String>::new());
    for (kind, dir) in [("conveyor", "conveyors"), ("answers", "answers")] {
        let of_kind = json!({ "$ref": format!("#/$defs/{kind}") });
        let dir = root("examples/ostrel-quay").join(dir);
        for entry in fs::read_dir(dir).unwrap().map(Result::unwrap) {
            let told = fs::read_to_string(entry.path()).unwrap();
            let told = serde_json::from_str(&told).unwrap_or_else(|_| data(&told));
            assert_eq!(misfits(&of_kind, &schema, &told, kind), Vec::<String>::new());
        }
    }
}

/// Each is one slip in a cause that is otherwise as it should be, and the program refuses it for its shape.
#[test]
fn what_the_program_refuses_for_its_shape_is_not_as_it_says() {
    let schema = kept();
    let good = r#"[(id: "gulls", name: "Gulls", how_common: Rare, happens_because: "They sit on one edge.",
        signs: [Shows("where", [("return-run", Often)]), Sees("still-roll", Seldom)], source: Memory)]"#;
    let slips = [
        ("name: \"Gulls\", ", "", "lacks name"),
        ("name:", "nmae:", "no such field"),
        ("Rare", "Rarely", "none of the words"),
        ("Seldom", "0.2", "none of the words"),
        ("\"Gulls\"", "7", "no \"string\""),
        ("Sees(\"still-roll\", Seldom)", "Sees(\"still-roll\")", "no \"array\""),
        ("[(\"return-run\", Often)]", "[(\"return-run\", Often, Rare)]", "too many"),
        ("Memory", "Memroy", "none of the words"),
    ];
    let found = |text: &str| {
        let folder = json!({ "causes/gulls.ron": data(text) });
        misfits(&schema, &schema, &folder, "")
    };
    assert_eq!(found(good), Vec::<String>::new());
    let refused = |text: &str| {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("causes")).unwrap();
        fs::write(dir.path().join("causes/gulls.ron"), text).unwrap();
        load::read(Some(dir.path())).book.is_none()
    };
    assert!(!refused(good));
    for (right, wrong, says) in slips {
        let text = good.replacen(right, wrong, 1);
        assert_ne!(text, good, "{right}");
        assert!(refused(&text), "{wrong}");
        assert!(
            found(&text).iter().any(|misfit| misfit.contains(says)),
            "{wrong}: {:?}",
            found(&text)
        );
    }
}

#[test]
fn it_is_written_whole_and_by_kind() {
    let said = run(&["rules", "schema"], &[]);
    assert_eq!(said.status.code(), Some(0));
    let whole: Value = serde_json::from_slice(&said.stdout).unwrap();
    assert!(whole == kept(), "the program has another schema than {SCHEMA}");
    for (kind, good, bad) in [
        ("causes", json!([]), json!({})),
        ("book", data(&text("rules/book.ron")), json!({})),
        ("site", json!({ "name": "Quay" }), json!({ "nmae": "Quay" })),
        ("cautions", data(&text("rules/cautions.ron")), json!([{}])),
        (
            "conveyor",
            json!({ "name": "OQ-04", "belt": { "width": "800 mm" } }),
            json!({ "belt": 3 }),
        ),
        ("answers", json!({ "machine": "running" }), json!({ "machine": "idle" })),
    ] {
        let said = run(&["rules", "schema", kind], &[]);
        let schema: Value = serde_json::from_slice(&said.stdout).unwrap();
        assert_eq!(schema["$schema"], whole["$schema"], "{kind}");
        assert_eq!(misfits(&schema, &schema, &good, kind), Vec::<String>::new());
        assert_ne!(misfits(&schema, &schema, &bad, kind), Vec::<String>::new(), "{kind}");
    }
    let said = run(&["rules", "schema", "cuases"], &[]);
    assert_eq!(said.status.code(), Some(2));
    let told = String::from_utf8(said.stderr).unwrap();
    assert!(told.contains("causes") && told.contains("conveyor"), "{told}");
}
