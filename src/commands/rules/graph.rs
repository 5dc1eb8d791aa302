//! `rules graph`: the decision graph, whole or around one entry.

use super::book;
use super::show::unknown;
use crate::cli::{GraphArgs, GraphFormat};
use crate::commands::{Failed, Streams, output};
use crate::disk::Over;
use crate::exit::Exit;
use crate::rulebook::find::{EntryAt, find};
use crate::rulebook::graph::{DecisionGraph, GraphNode};
use crate::show::entries::BookSheets;
use crate::show::graph::{diagram, matrix, svg, text};

/// Of each cause of a whole book so many signs are drawn.
const STRONGEST: usize = 3;

pub(super) fn run(args: &GraphArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = book(args.rules.as_deref(), streams)?;
    let sheets = BookSheets::new(&book);
    let graph = DecisionGraph::new(&book);
    let screen = streams.screen();
    let drawn = match &args.around {
        Some(id) => {
            let found = find(&book, id);
            if found.is_empty() {
                return unknown(&book, id, streams);
            }
            let Some(centre) = found.iter().copied().find_map(node) else {
                return not_drawn(id, &found, streams);
            };
            let view = graph.around(&book, &sheets.links, centre, args.steps);
            match args.format {
                GraphFormat::Svg => svg::around(&sheets, &view, args.all),
                GraphFormat::Dot => diagram::dot(&sheets, &view),
                GraphFormat::Mermaid => diagram::mermaid(&sheets, &view),
                GraphFormat::Text => text::around(&sheets, &view, screen),
            }
        }
        None => {
            let view = graph.whole(&book, &sheets.links, STRONGEST);
            match args.format {
                GraphFormat::Svg => matrix::whole(&sheets),
                GraphFormat::Dot => graph.dot(&book),
                GraphFormat::Mermaid => diagram::mermaid(&sheets, &view),
                GraphFormat::Text => text::whole(&sheets, &view, screen, STRONGEST),
            }
        }
    };
    let over = if args.force { Over::PlainFile } else { Over::Nothing };
    output::deliver(&drawn, args.output.as_deref(), over, "the drawing", streams)
}

fn node(entry: EntryAt) -> Option<GraphNode> {
    match entry {
        EntryAt::Symptom(at) => Some(GraphNode::Symptom(at)),
        EntryAt::Cause(at) => Some(GraphNode::Cause(at)),
        EntryAt::Fix(at) => Some(GraphNode::Fix(at)),
        _ => None,
    }
}

fn not_drawn(id: &str, found: &[EntryAt], streams: &mut Streams) -> Result<Exit, Failed> {
    let kind = found.first().map_or("entry", |entry| entry.kind());
    streams.complain(&format!("error: `{id}` is a {kind}; the decision graph holds symptoms, causes and fixes.\ndo: `straybelt rules show {id}` tells what hangs on it."))?;
    Ok(Exit::Usage)
}
