//! What each field of the files is for, in one plain line. The one place: `rules new` explains and comments
//! with these lines, and rules/REFERENCE.md lists them.

mod book;
mod drill;

/// The lines of one kind of entry: field, what it is for.
type Lines = &'static [(&'static str, &'static str)];

/// Kinds of entries, named as problems name them, with their fields.
pub const FIELDS: &[(&str, &[Lines])] = &[
    ("symptom", &[SYMPTOM]),
    ("look", &[LOOK]),
    ("cause", &[CAUSE]),
    ("brought on", &[BROUGHT_ON]),
    ("fix", &[FIX]),
    ("check", &[CHECK]),
    ("step", &[STEP]),
    ("caution", &[CAUTION]),
    ("source", &[SOURCE]),
    ("term", &[TERM]),
    ("tool", &[TOOL]),
    ("question", &[QUESTION]),
    ("stop answer", &[STOP_ANSWER]),
    ("edge room", &[EDGE_ROOM]),
    ("answer", &[ROOM_ANSWER]),
    ("gauge sizes", &[GAUGE_SIZES]),
    ("limit", &[LIMIT]),
    ("reading error", &[READING_ERROR]),
    ("book", &[book::BOOK]),
    ("minutes", &[book::MINUTES]),
    ("reports", &[book::REPORTS]),
    ("site minutes", &[book::MINUTES]),
    ("site reports", &[book::SITE_REPORTS]),
    ("thresholds", &[book::THRESHOLDS]),
    ("walking", &[book::WALKING]),
    ("told", &[book::TOLD]),
    ("report", &[book::REPORT]),
    ("likelihood", &[book::LIKELIHOOD]),
    ("how_common", &[book::HOW_COMMON]),
    ("stage", &[book::STAGE]),
    ("roles", &[book::ROLES]),
    ("site", &[book::SITE]),
    ("change", &[book::CHANGE]),
    // What is told in a case is told as in an answers file.
    ("case", &[CASE, ANSWERS]),
    ("drill", &[drill::DRILL]),
    ("hidden cause", &[drill::HIDDEN]),
    ("part", &[drill::PART]),
    ("course", &[drill::COURSE]),
    ("course step", &[drill::COURSE_STEP]),
    ("conveyor", &[CONVEYOR]),
    ("sides", &[SIDES]),
    ("answers", &[ANSWERS, WHO_LOOKS]),
];

/// What a field is for; nothing if there is no such field.
pub fn says(kind: &str, field: &str) -> Option<&'static str> {
    let (_, lines) = FIELDS.iter().find(|(name, _)| *name == kind)?;
    let (_, says) = lines.iter().copied().flatten().find(|(name, _)| *name == field)?;
    Some(says)
}

const SYMPTOM: Lines = &[
    ("id", "What it is called in files: small letters, digits and -, such as bark-strings."),
    (
        "kind",
        "Sign (no or yes), Pattern (answers without order), Grade (least to most severe), Marks (several at once).",
    ),
    ("ask", "The question, as a tired person reads it. At most 90 characters."),
    (
        "answers",
        "Each answer: its id and its words. A sign has no and yes; a grade begins with the least; marks are 2 to 4.",
    ),
    ("look", "How to look, and from where it is safe."),
    ("why", "Why it matters, in one sentence."),
    ("drawing", "One of the program's small drawings that helps to answer."),
    ("minutes", "How many minutes answering takes."),
    (
        "state",
        "Anywhere (history, papers), Running (watched from outside the guards) or LockedOut.",
    ),
    (
        "told_by",
        "How it is told: History, Seen, Felt or Measured. Unless said: Seen, and History where the state is Anywhere.",
    ),
    (
        "tick",
        "Of a sign: its line in a list to tick, at most 60 characters; the words of yes unless said.",
    ),
    (
        "none",
        "Of marks: the words for nothing ticked, at most 60 characters; \"None of these\" unless said.",
    ),
    ("tools", "What is needed for it."),
    ("opening", "Makes it one of the questions asked first; the number gives the order."),
    ("group", "Questions that are the same look in other words share a group, and count once."),
    (
        "measured_by",
        "The gauge that answers it, what of the gauge, and which answer each of its words gives.",
    ),
    ("also_measured_by", "Further gauges, or further words of one, that give some of its answers."),
    (
        "price_of_screw_after",
        "Answers after which it is shown, in numbers, what steering with a take-up screw costs.",
    ),
    (
        "may_it_run_after",
        "Answers after which the finding asks first whether the conveyor may run at all, and who decides.",
    ),
    ("means", "What answers mean to drawings and drills; no, yes, left and right need no entry."),
    (
        "drilled_as",
        "Which thing of a drill's conveyor answers it; each value of that thing is the meaning of an answer.",
    ),
    (
        "shift_says",
        "What the shift tells at the start of a drawn drill: place in the order, words by answer.",
    ),
    (
        "in_logbook",
        "What in a logbook speaks for an answer: that answer is then offered, to be confirmed.",
    ),
    ("only_if", "Asked only when all of these hold, of the conveyor or of earlier answers."),
    (
        "follows",
        "Answers that follow from another question: a condition on it, and the answer that then holds.",
    ),
    ("by_itself", "How often it is seen when none of its causes is present."),
    ("seen_with", "Causes of the book that show it, and how often they do."),
    (
        "source",
        "Where this comes from: published, common practice, memory, or derived from something.",
    ),
];

const LOOK: Lines = &[
    ("id", "What it is called in files: small letters, digits and -, such as bark-rolls."),
    ("title", "What it is called on screens, at most 38 characters."),
    ("place", "Where on the conveyor somebody stands."),
    ("state", "Anywhere, Running or LockedOut: that of all its symptoms."),
    ("stand", "Where exactly, and from where it is safe. At most 160 characters."),
    (
        "minutes",
        "Minutes to stand there and take it in, without the way there and without its symptoms' own.",
    ),
    (
        "turns",
        "Belt turns that have to be watched on top; where one takes over 5 minutes, one is enough.",
    ),
    ("per_50_m", "Minutes on top for every 50 m between the end pulleys."),
    ("early_if", "If all of these hold it is brought forward; answers are those of other looks."),
    ("symptoms", "What is looked at there, in order; each symptom is in one look."),
    ("tools", "What is needed for it, besides what its symptoms need."),
    ("cautions", "Warnings that belong to it."),
    (
        "source",
        "Where this comes from: published, common practice, memory, or derived from something.",
    ),
];

const CAUSE: Lines = &[
    ("id", "What it is called in files: small letters, digits and -, such as bark-wound-up."),
    ("name", "Its name, at most 60 characters."),
    ("how_common", "How often it is there when somebody is called to a wandering belt."),
    (
        "on",
        "How common it is on conveyors where all of these hold, instead of `how_common`; the first that fits counts.",
    ),
    ("happens_because", "The mechanism, in one or two sentences: why the belt moves."),
    ("shows_at", "Where along the conveyor or the belt it shows."),
    ("signs", "What would be seen on a conveyor with just this fault, and how often."),
    (
        "brought_on_by",
        "What commonly brings it on: looked for once the belt runs true, so that it stays so.",
    ),
    ("mistaken_for", "Causes that it is often mistaken for."),
    ("only_if", "Possible only when all of these hold, of the conveyor or of answers."),
    ("specialist", "What to tell a specialist when all else fails."),
    (
        "drilled_as",
        "Which fault of the belt-line model it is in drills; without it none is drawn with it.",
    ),
    ("not_drilled", "Why no drill is drawn with it."),
    (
        "source",
        "Where this comes from: published, common practice, memory, or derived from something.",
    ),
];

const BROUGHT_ON: Lines = &[
    ("words", "What brings it on, in a sentence or two."),
    (
        "look_for",
        "What to look for while the belt runs, from outside the guards: a question of yes or no.",
    ),
    ("job", "The one job when the answer is yes, as an order; it is noted as an open job."),
    ("cause", "The cause of this book that it is, if it is one."),
    (
        "source",
        "Where this comes from: published, common practice, memory, or derived from something.",
    ),
];

const FIX: Lines = &[
    ("id", "What it is called in files: small letters, digits and -, such as cut-bark-off."),
    ("title", "What the work is, at most 60 characters."),
    ("stage", "Where it stands in the usual order of work: dirt before frame before what steers."),
    ("cures", "The causes that it puts right, and how often it does when done well."),
    (
        "begins_with",
        "What to look at first, to see whether the work is needed. From 60 minutes on: this, or no_check.",
    ),
    ("no_check", "Why a fix of 60 minutes or more begins with no check."),
    ("work", "The work in two to five words, as it follows a check: square it."),
    ("state", "LockedOut, or Running for work that is only to watch, to wait, to load or to ask."),
    (
        "minutes",
        "The whole from start to end: checks, and a lock-out and restart round each Jog and Restart, too.",
    ),
    ("turns", "On top: so many turns of the belt."),
    ("per_carry_set", "On top: minutes for each idler set of the carry strand."),
    ("per_return_set", "On top: minutes for each roll or set of the return strand."),
    ("per_pulley", "On top: minutes for each pulley."),
    ("people", "How many people it takes; 1 unless said."),
    ("tools", "What the hands use, by the names in tools.ron; every tool that a step speaks of."),
    ("parts", "What is fitted or used up, and papers: drawing, manual."),
    ("after", "Fixes, or every fix of a stage, that come first when both are planned."),
    ("needs", "Fixes, or every fix of a stage, that must be done or be ruled out before."),
    ("only_if", "Offered only when all of these hold for certain."),
    (
        "steps",
        "What is done, in order. The program adds the isolation before and the restart after it.",
    ),
    ("done_when", "How to know that it is done, with the limit, and where the limit comes from."),
    (
        "never",
        "What never to do, each beginning with the verb: it is printed after the word Never.",
    ),
    ("worked", "How to see, from outside the guards, that it worked."),
    ("amounts_from", "Gauges whose latest result says how much: it is shown before the steps."),
    (
        "lasting",
        "false where it only waits for other weather: the belt runs off again with the next bad weather.",
    ),
    (
        "if_worse",
        "After worse: Undo(how), or Stays(what is looked at instead); unless said, all goes back to its marks.",
    ),
    ("cautions", "The job's own warnings; the program adds lock-out and the other standing ones."),
    (
        "source",
        "Where this comes from: published, common practice, memory, or derived from something.",
    ),
];

const CHECK: Lines = &[
    ("symptom", "The question that it looks at; its answer counts as evidence."),
    ("words", "How it is looked at, as an order; without a symptom, what is looked at."),
    ("state", "Without a symptom: in which state of the machine; LockedOut unless said."),
    ("needs", "What calls for the work, in words: More than 3 mm apart."),
    ("stop_if", "What ends it at once, in words: No travel left."),
    ("minutes", "Minutes until it is known; the symptom's own unless said."),
    ("turns", "On top: so many turns of the belt."),
    ("per_carry_set", "On top: minutes for each idler set of the carry strand."),
    ("per_return_set", "On top: minutes for each roll or set of the return strand."),
    ("per_pulley", "On top: minutes for each pulley."),
    ("go_on", "Answers that call for the work; one is enough."),
    ("stop_on", "Answers that end it at once, since the fault lies elsewhere."),
];

const STEP: Lines = &[
    ("of", "What has the end that is moved."),
    ("end", "Which end or side, by what was answered; the side's own name is put in."),
    ("toward", "Which way along the conveyor."),
    ("by", "How far."),
    ("what", "What is moved."),
    ("how", "How it is moved."),
];

const CAUTION: Lines = &[
    ("id", "What it is called in files: small letters, digits and -, such as bark-knife."),
    (
        "hazard",
        "Makes it a safety caution, named by what it guards against. A site may add some and change none.",
    ),
    (
        "standing",
        "Of a safety caution: on every page of LockedOut work, of Running work, or Always.",
    ),
    ("only_if", "Left out only where one of these is known not to hold for the conveyor."),
    ("text", "The warning: what can happen, and what to do. At most 200 characters."),
    ("rule", "The regulation by its number, or common practice."),
    (
        "source",
        "Where this comes from: published, common practice, memory, or derived from something.",
    ),
];

const SOURCE: Lines = &[
    ("id", "What it is called in files."),
    ("short", "The short neutral name that screens show; a regulation by its number."),
    ("cite", "The full citation."),
    (
        "grade",
        "A regulation, standard or official report; B maker's manual or handbook; C trade page; D weaker.",
    ),
];

const TERM: Lines = &[("term", "The word of the trade."), ("means", "What it means.")];

const TOOL: Lines = &[
    ("name", "Its one name in all fixes."),
    ("words", "Other words by which a step may speak of it."),
    (
        "held",
        "InHand unless said; FromOutside may be named where the belt moves: only the book may say that.",
    ),
    ("without", "What to do where it is not at hand; shown at each step that speaks of it."),
];

const QUESTION: Lines = &[
    ("id", "What it is called in files."),
    ("ask", "The question, asked before all others and after every restart and resume."),
    ("answers", "The answers; the first goes on and no other does, and one at least stops."),
    ("look", "How to look, and from where it is safe."),
    ("do_now", "What to do at once."),
    ("tell", "Whom to tell."),
    ("cautions", "Warnings that belong to it."),
    ("source", "Where this comes from."),
];

const STOP_ANSWER: Lines = &[
    ("id", "What it is called in files."),
    ("says", "What the person reads."),
    (
        "means",
        "GoOn, Stop, or LockedOut: it is locked out and worked on, so the isolation points come next.",
    ),
];

const EDGE_ROOM: Lines = &[
    ("id", "What it is called in files."),
    ("ask", "The question how far off the belt is."),
    ("answers", "The answers, and what each means."),
    ("look", "How to look, and from where it is safe."),
    ("why", "Why it matters."),
    ("source", "Where this comes from."),
    ("leave_it", "What to do when it is best left alone."),
    ("urgent", "What to do when it is past the roll ends or close to steel: orders, in order."),
];

const ROOM_ANSWER: Lines = &[
    ("id", "What it is called in files."),
    ("says", "What the person reads."),
    (
        "means",
        "LeaveIt (inside the room and steady), GoOn, or Urgent (have it stopped, unless told otherwise).",
    ),
];

const CASE: Lines = &[
    ("id", "What it is called: small letters, digits and -, not used by another case."),
    ("title", "What it is about, at most 60 characters."),
    ("source", "Where the expectations come from: published, common practice, memory, or derived."),
    ("conveyor", "Facts of the conveyor; absent is unknown."),
    ("sides", "What the sides are called, looking from tail to head."),
    ("expect", "What the book must make of it."),
    ("todo", "Known not to hold yet: may fail, and is named when it starts to hold."),
];

const CONVEYOR: Lines = &[
    ("name", "What the conveyor is called."),
    ("class", "What kind of conveyor it is."),
    ("troughed", "Whether the carrying belt is troughed; the class settles it for two of them."),
    ("reversing", "Whether it runs both ways."),
    ("crowned", "Whether it has crowned pulleys."),
    ("carcass", "What carries the pull in the belt."),
    ("take_up", "How the belt is kept tight."),
    ("place", "Where it stands."),
    ("tripper", "Whether a tripper runs on it."),
    ("plough_off", "Whether a plough or a diverter takes material off the belt."),
    ("curve", "Whether it has a concave vertical curve, where the belt may lift off its idlers."),
    ("garland", "Whether idler sets hang on hooks or ropes; flat and package conveyors have none."),
    ("impact_bed", "Whether an impact bed stands in the load zone."),
    ("slider_bed", "Whether the carry strand slides over a bed or bars."),
    ("belt_scale", "Whether a belt scale is in it."),
    ("v_guide", "Whether the belt has a V-guide beneath."),
    ("sides", "What the sides are called, looking from tail to head."),
    ("bearings", "Which bearings the end pulleys run in."),
    ("lagging", "Whether the drive pulley is bare steel or lagged."),
    ("dust_burns", "Whether dust that burns lies on it; left out counts as yes."),
    ("units", "In which units people here type and read; bare numbers in this file are of these."),
    ("limits", "The site's own limits in place of the gauges', by name."),
];

const SIDES: Lines =
    &[("left", "The name of the left side."), ("right", "The name of the right side.")];

const ANSWERS: Lines = &[
    (
        "answers",
        "What is answered, by symptom; \"unknown\" is no evidence. Of marks a list; [] is none of them.",
    ),
    ("found", "What was found, by cause: as-suspected or was-fine."),
    ("done", "The fixes done, batch by batch."),
    (
        "outcomes",
        "How the belt ran after each batch: true, better, no-change, worse, other-side, elsewhere, different.",
    ),
    (
        "second",
        "What was seen anew after a batch: after_batch, and answers by symptom as in `answers`.",
    ),
    ("machine", "running (unless said) or locked-out."),
];

/// Of answers alone: a case says nothing of who looks.
const WHO_LOOKS: Lines = &[
    ("place", "Where somebody stands: the way to the next look is counted from there."),
    ("means", "What is at hand and allowed; what is left out was not said, and counts as there."),
    ("notes", "What was seen besides, in the person's own words."),
];

const GAUGE_SIZES: Lines = &[
    ("gauge", "Whose limits these are, by a name that `straybelt gauge` lists."),
    ("limits", "Limits of that gauge, each in place of the program's own."),
    (
        "errors",
        "How far readings may be off, by how they are taken, each in place of the program's own.",
    ),
];

const LIMIT: Lines = &[
    ("id", "The limit's name, as it stands in the program's rules/gauges/."),
    ("what", "What it limits, in the program's words; may be left out."),
    ("kind", "What kind of quantity it is, as in the program; may be left out."),
    ("size", "Its size with its unit, such as \"4 mm\"; a share also as a fraction without one."),
    ("source", "Where this comes from; a grade D source calls for no work by itself."),
    (
        "damaged",
        "Whether the number is printed damaged in its source: then it calls for no work by itself.",
    ),
];

const READING_ERROR: Lines = &[
    ("id", "How the reading is taken, by its name in rules/gauges/reading-errors.ron."),
    ("how", "The same in the program's words; may be left out."),
    ("kind", "What kind of quantity it is, as in the program; may be left out."),
    ("size", "How far one reading may be off: 19 of 20 lie within. With its unit."),
    ("source", "Where this comes from."),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_is_one_plain_sentence() {
        for (kind, lines) in FIELDS {
            for (field, says) in lines.iter().copied().flatten() {
                assert!(says.ends_with('.') && says.len() < 110, "{kind} {field}");
            }
        }
    }
}
