//! The lines of what stands once for a whole book or site: book.ron and site.ron.

use super::Lines;

pub(super) const BOOK: Lines = &[
    ("schema", "The version of the written format; the program refuses one that it does not know."),
    ("name", "What the book calls itself."),
    ("version", "The book's own version."),
    ("at_most", "How many causes at once the program counts with, at most."),
    (
        "something_else",
        "How often it is none of the causes when somebody is called; 0 unless said.",
    ),
    ("minutes", "What isolation, restart and giving up cost."),
    ("reports", "How far reports from the work are believed."),
    ("thresholds", "Where the plan and its words change."),
    ("walking", "Ways on foot, and the sizes of a conveyor of which nothing is known."),
    ("told", "How far it is taken for granted that somebody can tell what is asked."),
    ("likelihood", "The numbers behind the likelihood words."),
    ("how_common", "The numbers behind the words of how common a cause is."),
    ("stages", "The usual order of work."),
    ("roles", "Symptoms with a part of their own in steps and drawings."),
    ("tell_specialist", "What to tell a specialist when the book has nothing left."),
];

pub(super) const MINUTES: Lines = &[
    (
        "lock_out",
        "Minutes to stop, isolate, lock, tag and try, and to release or block stored energy.",
    ),
    (
        "restart_and_watch",
        "Minutes for guards, clearing people, warning and start; turns of the belt come on top.",
    ),
    ("watch_turns", "Turns of the belt that are watched after a restart, on top; 0 unless said."),
    ("give_up", "Minutes that a wrong or missing finding costs the plant."),
];

pub(super) const REPORTS: Lines = &[
    ("as_suspected", "Of the report \"as suspected\"."),
    ("was_fine", "Of the report \"was fine\"."),
    ("outcome_wrong", "The share of outcomes that are reported wrongly, in all."),
    (
        "same_again",
        "The share of second looks that say the same as before while the causes they hang on are the same.",
    ),
];

pub(super) const SITE_REPORTS: Lines = &[(
    "same_again",
    "The share of second looks that say what was said before, while the causes they hang on are the same.",
)];

pub(super) const THRESHOLDS: Lines = &[
    (
        "unlikely",
        "What comes before a job is passed over when each of its causes is less likely than this.",
    ),
    ("enough", "Nobody looks on once a cause is as likely as this."),
    ("looking", "Nor once so many minutes went into looking."),
    ("clear", "The picture is not clear while no cause is as likely as this."),
    ("unclear_work", "Then no locked-out work longer than so many minutes is planned."),
    (
        "supervisor_first",
        "A plan that may take more minutes than this is for the supervisor first.",
    ),
];

pub(super) const WALKING: Lines = &[
    ("centres_m", "Metres between the end pulleys where a conveyor's own are unknown."),
    ("speed_m_s", "Belt speed in metres a second where a conveyor's own is unknown."),
    ("metres_a_minute", "How many metres somebody walks in a minute beside the conveyor."),
    ("to_turn_to", "Minutes to turn to another look, the way to it left out."),
    (
        "carry_pitch_m",
        "Metres between carry idlers where a conveyor's own pitch is unknown; 1.2 unless said.",
    ),
    (
        "return_pitch_m",
        "Metres between return rolls where a conveyor's own pitch is unknown; 3 unless said.",
    ),
    (
        "pulleys_bulk",
        "Pulleys of a troughed conveyor, or one of unknown class, where nobody counted; 4 unless said.",
    ),
    ("pulleys_flat", "Pulleys of a flat conveyor where nobody counted; 2 unless said."),
    ("pulleys_package", "Pulleys of a package conveyor where nobody counted; 2 unless said."),
];

pub(super) const TOLD: Lines = &[
    ("weight", "So many answers of a visit weigh as much as the chances here."),
    ("history", "The chance that somebody can tell what is told by History."),
    ("seen", "The chance that somebody can tell what is Seen."),
    ("felt", "The chance that somebody can tell what is Felt."),
    ("measured", "The chance that somebody can tell what is Measured."),
];

pub(super) const REPORT: Lines = &[
    ("if_present", "Chance of the report if the cause was present."),
    ("if_not", "Chance of the report if it was not."),
];

pub(super) const LIKELIHOOD: Lines = &[
    ("always", "The number behind Always."),
    ("usually", "The number behind Usually."),
    ("often", "The number behind Often."),
    ("sometimes", "The number behind Sometimes."),
    ("seldom", "The number behind Seldom."),
    ("never", "The number behind Never."),
];

pub(super) const HOW_COMMON: Lines = &[
    ("leading", "The number behind Leading; 1.8 times that of Everyday unless said."),
    ("everyday", "The number behind Everyday."),
    ("common", "The number behind Common."),
    ("occasional", "The number behind Occasional."),
    ("rare", "The number behind Rare."),
    ("rarest", "The number behind Rarest; half of that of Rare unless said."),
];

pub(super) const STAGE: Lines = &[
    ("stage", "Which stage."),
    ("after", "Stages whose fixes come first when both are planned."),
    ("needs", "Stages whose fixes must be done or be ruled out before."),
];

pub(super) const ROLES: Lines = &[
    ("belt_side", "Which side the belt runs to."),
    ("strand", "Which strand it is worst on."),
    ("place", "Where along the conveyor."),
    ("first_split", "All of the belt at one place, or one part of the belt."),
    ("slack_side", "Which take-up side stands shorter."),
    ("low_frame_side", "The low side of the frame."),
    ("low_pulley_side", "The low side of the pulley."),
    ("low_idler_side", "The low side of the idler."),
    ("leading_end", "The end of the suspect idler that the belt meets first."),
    ("short_pulley_side", "The side on which the end pulley is nearer to the other one."),
    ("leading_snub_end", "The end of the snub or bend pulley that the belt meets first."),
    ("heavy_side", "The side on which the load lies."),
    ("wind_side", "Where the wind comes from."),
];

pub(super) const SITE: Lines = &[
    ("name", "What the book is called with this folder over it."),
    ("version", "The version of this folder."),
    ("at_most", "How many causes at once the program counts with, at most."),
    ("something_else", "How often it is none of the causes, at this site."),
    (
        "rescale",
        "The causes of the book below are so many times as common, which makes room for the site's own: 0.2 to 1.",
    ),
    (
        "over",
        "Another site's folder below this one, such as the company's: a path from this folder. What stands here wins.",
    ),
    ("minutes", "The minutes that differ at this site."),
    ("reports", "What differs at this site in how reports are believed."),
    ("tell_specialist", "More lines of what to tell a specialist."),
    (
        "change",
        "What is changed in entries of the book below. Single values take the old one's place, lists are added to.",
    ),
    ("switch_off", "Entries of the book below that are not used here."),
];

pub(super) const CHANGE: Lines = &[
    ("id", "Which entry of the book below."),
    (
        "was",
        "The fingerprint of the entry that the change was written against; `rules check` prints it.",
    ),
    ("name", "Another name."),
    (
        "how_common",
        "Another word or number for how common it is, on all conveyors that `on` does not name.",
    ),
    ("on", "How common it is on some conveyors, in place of all that the book says of them."),
    ("happens_because", "Another mechanism."),
    ("shows_at", "Another place where it shows."),
    ("specialist", "Other words for the specialist."),
    ("signs", "More signs; one on the same symptom takes the old one's place."),
    ("brought_on_by", "More that commonly brings it on."),
    ("mistaken_for", "More causes that it is mistaken for."),
    ("ask", "Another question."),
    ("look", "Another way to look."),
    ("why", "Another reason."),
    ("minutes", "Other minutes."),
    ("per_carry_set", "Of a fix, on top: minutes for each idler set of the carry strand."),
    ("per_return_set", "Of a fix, on top: minutes for each roll or set of the return strand."),
    ("per_pulley", "Of a fix, on top: minutes for each pulley."),
    ("by_itself", "How often it is seen when none of its causes is present."),
    ("says", "Other words for an answer."),
    ("tools", "More tools."),
    ("seen_with", "Causes that show it; each takes the place of that cause's own sign."),
    ("title", "Another title."),
    ("stand", "Another place to stand."),
    ("turns", "Another number of belt turns."),
    ("per_50_m", "Other minutes for every 50 m."),
    ("symptoms", "More symptoms that are looked at there; each is then no longer in its old look."),
    ("people", "Another number of people."),
    ("done_when", "Another way to know that it is done."),
    ("worked", "Another way to see that it worked."),
    ("cures", "More causes that it cures; one of the same cause takes the old one's place."),
    ("steps", "More steps, at the end."),
    ("begins_with", "More checks, after the old ones."),
    ("parts", "More parts."),
    ("never", "More of what never to do."),
    ("place", "Of a look: another place."),
    ("state", "Another state of the machine, none less safe than the book's."),
    ("only_if", "Other conditions, in place of all the old ones; [] takes them away."),
    ("early_if", "Of a look: other conditions that bring it forward, in place of the old ones."),
    ("after", "Of a fix: what comes before it in one batch, in place of what the entry says."),
    ("needs", "Of a fix: what must be done before it, in place of what the entry says."),
    ("also_after", "Of a fix: what comes before it in one batch besides."),
    ("also_needs", "Of a fix: what must be done before it besides."),
    ("drop_after", "Of what comes before it in one batch, what does not here."),
    ("drop_needs", "Of what must be done before it, what need not be here."),
    ("stage", "Another place in the usual order of work."),
    ("work", "Other words for the work, as they follow a check."),
    ("no_check", "Why it begins with no check here."),
    ("if_worse", "Other words for what happens to the work when the belt ran worse."),
    ("replace_checks", "Another check in place of one, by its number from 1."),
    ("drop_checks", "Checks taken out, by their numbers from 1."),
    ("replace_never", "Other words for what never to do, by the number of the line from 1."),
    ("drop_never", "Lines of what never to do that are taken out, by their numbers from 1."),
    (
        "replace_steps",
        "Other words for a step, by its number from 1. It stays of its kind, unless the fix becomes LockedOut.",
    ),
    (
        "drop_steps",
        "Steps taken out, by their numbers; none that marks, tensions or moves the belt.",
    ),
    ("drop_signs", "Signs taken out, by their symptoms."),
    ("drop_seen_with", "Links that stand with the symptom taken out, by their causes."),
    ("drop_mistaken_for", "Causes that it is not mistaken for here."),
    ("drop_symptoms", "Symptoms that are not looked at there; each has a look of its own then."),
    ("drop_tools", "Tools taken out."),
    ("drop_parts", "Parts taken out."),
    ("drop_cautions", "Cautions taken out; none that guards against a hazard."),
    ("cautions", "More cautions."),
    ("text", "Another warning."),
    ("rule", "Another rule."),
];
