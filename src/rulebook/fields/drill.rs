//! What the fields of a drill are for.

use super::Lines;

pub(super) const DRILL: Lines = &[
    ("id", "What it is called on the command line: small letters, digits and -, such as wet-bark."),
    ("title", "Its name, which gives nothing away."),
    (
        "grade",
        "First (one cause that shows itself), Second (one that looks like another) or Third (more).",
    ),
    ("briefing", "What the learner is told at the start: what people complain of, not the cause."),
    ("conveyor", "The conveyor, as in a file of its own."),
    ("hidden", "The causes that are present, with their parts; none if nothing is wrong."),
    (
        "shows",
        "Answers that stand whatever model and book say: history, noises, dirt. Question and answer; of marks a list.",
    ),
    (
        "expert",
        "What an expert looks at after the opening questions, in order: to prove and to rule out.",
    ),
    ("aims", "What the learner is to take home."),
    ("talk", "What to talk about afterwards."),
    ("seed", "A whole number that settles all errors and chances of this drill."),
    (
        "source",
        "Where it comes from: published, common practice, memory, or derived from something.",
    ),
];

pub(super) const HIDDEN: Lines = &[
    ("cause", "The cause, by its id."),
    ("parts", "What is out of order, with sizes."),
    ("yields_to", "The fixes that take it away; unless said, those that cure it with 0.6 or more."),
];

pub(super) const PART: Lines = &[
    ("strand", "Carry (on top) or Return (below)."),
    ("station", "Which idler of the strand, counted from the tail; the first is 1."),
    ("ahead", "The end that is nearer to the head: Left or Right."),
    ("toward", "The side toward which it is, points or pushes."),
    ("low", "The end or side that is low."),
    ("thick", "The end that is thicker."),
    ("out", "The screw that is further out, away from the head."),
    ("by", "Its size, as text with a unit, such as \"8 mm\"."),
    ("rolls", "Whole, Left (wing) or Right (wing)."),
    ("from", "Where it begins, as text with a unit, from the tail or from mark 0 of the belt."),
    ("to", "Where it ends."),
    ("at", "Where on the belt: metres behind mark 0."),
    ("pulley", "Tail or Head."),
    ("share", "How much of the crown is gone: 0 as new, 1 flat."),
    ("times", "The pull as a multiple of what the conveyor needs as drawn."),
    ("newtons_per_metre", "How hard it pushes on each metre of belt."),
    ("newtons", "How hard it pushes."),
];

pub(super) const COURSE: Lines = &[
    (
        "id",
        "What it is called on the command line: small letters, digits and -, such as first-steps.",
    ),
    ("title", "Its name, as learners read it."),
    ("about", "Whom it is for, and what it teaches."),
    ("reach", "What one run of each drill must reach before the next drill comes."),
    ("steps", "Its drills in order, each once."),
    (
        "source",
        "Where it comes from: published, common practice, memory, or derived from something.",
    ),
];

pub(super) const COURSE_STEP: Lines = &[
    ("drill", "The drill, by its id."),
    ("reach", "What a run of this drill must reach, if it is not what the course says."),
    ("exam", "Whether it is run as an examination: the run's file is sealed."),
];
