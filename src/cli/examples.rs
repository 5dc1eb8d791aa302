//! The three examples above the help of each command: narrow, so that a small screen does not tear them.

pub(super) const TOP: &str = "Examples:
  straybelt
      what can be done now, by one key
  straybelt diagnose
      a new visit
  straybelt drill run
      practise on a drill";

pub(super) const DIAGNOSE: &str = "Examples:
  straybelt diagnose
      a new visit
  straybelt diagnose \\
    --conveyor OQ-04.ron
      with the data of conveyor OQ-04
  straybelt diagnose --resume 7
      go on with visit 7";

pub(super) const VISITS: &str = "Examples:
  straybelt visits
      the newest visits
  straybelt visits --before 41
      older ones: 40 and below
  straybelt visits show 7
      all of visit 7";

pub(super) const VISITS_SHOW: &str = "Examples:
  straybelt visits show 7
      everything asked, believed,
      found and done in visit 7
  straybelt visits show 7 \\
    --format html -o visit-7.html
      a page to print and hand over
  straybelt visits show 7 \\
    --state /mnt/old
      from another state folder";

pub(super) const VISITS_NOTE: &str = "Examples:
  straybelt visits note 7 \\
    \"windy\"
      a note
  straybelt visits note 7 --by Mara
      who made the visit
  straybelt visits note 7 \\
    --photo tail.jpg
      a photo, copied beside it";

pub(super) const VISITS_SHEET: &str = "Examples:
  straybelt visits sheet 7
      the job sheet of visit 7
  straybelt visits sheet 7 \\
    --format html -o sheet-7.html
      to print: boxes, signatures
  straybelt visits sheet 7 | less
      page by page";

pub(super) const LOGBOOK: &str = "Examples:
  straybelt logbook
      all conveyors, with warnings
  straybelt logbook show OQ-04
      the story of conveyor OQ-04
  straybelt logbook takeup OQ-04
      write down how both screws stand";

pub(super) const LOGBOOK_SHOW: &str = "Examples:
  straybelt logbook show OQ-04
      visits, take-up, open jobs
  straybelt logbook show OQ-04 \\
    --format html -o OQ-04.html
      a page to print, with the chart
  straybelt logbook show OQ-04 | less
      page by page";

pub(super) const LOGBOOK_TAKEUP: &str = "Examples:
  straybelt logbook takeup OQ-04
      asks for both screws, day, why
  straybelt logbook takeup OQ-04 \\
    --left 212mm --right 210mm
      both screws, read today
  straybelt logbook takeup OQ-04 \\
    --csv readings.csv
      many readings at once";

pub(super) const LOGBOOK_ADD: &str = "Examples:
  straybelt logbook add OQ-04
      asks what was done, and when
  straybelt logbook add OQ-04 \\
    --done splice-made --on 2026-03-01
      a new splice on that day
  straybelt logbook add OQ-04 --job 3f2a
      an open job is done";

pub(super) const LOGBOOK_STRIKE: &str = "Examples:
  straybelt logbook strike OQ-04 3f2a \\
    --why mistyped
      entry 3f2a counts no longer
  straybelt logbook strike OQ-04.ron \\
    3f2a --why mistyped
      by the conveyor's file
  straybelt logbook show OQ-04
      shows the ids of all entries";

pub(super) const LOGBOOK_GATHER: &str = "Examples:
  straybelt logbook gather
      visits of before are taken in
  straybelt logbook gather \\
    --state /mnt/old
      in another state folder
  straybelt logbook
      the list, once they are in";

pub(super) const LOGBOOK_EXPORT: &str = "Examples:
  straybelt logbook export \\
    -o north.ndjson
      all tables in one file
  straybelt logbook export \\
    --format csv -o tables
      one CSV file for each table
  straybelt logbook export --names
      with the names of people";

pub(super) const LOGBOOK_IMPORT: &str = "Examples:
  straybelt logbook import \\
    north.ndjson
      what another tablet wrote
  straybelt logbook import \\
    north.ndjson --state /mnt/old
      into another state folder
  straybelt logbook check
      whether all is in order then";

pub(super) const LOGBOOK_CHECK: &str = "Examples:
  straybelt logbook check
      reads all, says what is wrong
  straybelt logbook check \\
    --state /mnt/old
      another state folder
  straybelt logbook
      the list of logbooks";

pub(super) const CONVEYOR: &str = "Examples:
  straybelt conveyor new OQ-04.ron
      asks, then writes the file
  straybelt conveyor check OQ-04.ron
      what is wrong or still missing
  straybelt conveyor show OQ-04.ron
      sizes, limits and a drawing";

pub(super) const CONVEYOR_NEW: &str = "Examples:
  straybelt conveyor new OQ-04.ron
      asks, then writes the file
  straybelt conveyor new OQ-04.json
      the same as JSON
  straybelt conveyor new OQ-04.ron \\
    --plain
      plain lines: for a serial line,
      a screen reader";

pub(super) const CONVEYOR_CHECK: &str = "Examples:
  straybelt conveyor check OQ-04.ron
      what is wrong or still missing
  straybelt conveyor check \\
    OQ-04.ron OQ-07.ron
      two files
  straybelt conveyor check \\
    OQ-04.ron --color never
      without colour";

pub(super) const CONVEYOR_SHOW: &str = "Examples:
  straybelt conveyor show OQ-04.ron
      sizes, limits and a drawing
  straybelt conveyor show OQ-04.ron \\
    --units inch
      in inches
  straybelt conveyor show OQ-04.ron \\
    --format json
      for other programs";

pub(super) const GAUGE: &str = "Examples:
  straybelt gauge
      all gauges and what they tell
  straybelt gauge splice
      asks for the readings
  straybelt gauge splice --help
      the flags that give them";

pub(super) const DRILL: &str = "Examples:
  straybelt drill list
      the drills, and the runs made
  straybelt drill run crooked-splice
      run a drill
  straybelt drill debrief 3
      what run 3 was worth";

pub(super) const DRILL_LIST: &str = "Examples:
  straybelt drill list
      the drills, and the newest runs
  straybelt drill list --before 41
      older runs: 40 and below
  straybelt drill list --rules my-site
      with the site's own drills";

pub(super) const DRILL_SHOW: &str = "Examples:
  straybelt drill show crooked-splice
      what it is about
  straybelt drill show crooked-splice \\
    --hidden
      for trainers: what it hides too
  straybelt drill show slow-creep \\
    --rules my-site
      a drill of the site";

pub(super) const DRILL_RUN: &str = "Examples:
  straybelt drill run
      asks which drill
  straybelt drill run crooked-splice \\
    --who Kim
      with a name for the class list
  straybelt drill run --seed 7
      one that nobody wrote";

pub(super) const DRILL_AGAIN: &str = "Examples:
  straybelt drill again 3
      go on with run 3
  straybelt drill again 3 --replay
      the belt after each move
  straybelt drill again 3 \\
    --state class
      from another state folder";

pub(super) const DRILL_DEBRIEF: &str = "Examples:
  straybelt drill debrief 3
      what run 3 was worth
  straybelt drill debrief 3 4 5
      a class, run by run
  straybelt drill debrief 3 \\
    --format html -o run-3.html
      a page with pictures, to print";

pub(super) const DRILL_COURSE: &str = "Examples:
  straybelt drill course
      the courses there are
  straybelt drill course first-steps \\
    --who Kim
      Kim's next drill
  straybelt drill course first-steps \\
    --who Kim --show
      where Kim stands";

pub(super) const DRILL_PROGRESS: &str = "Examples:
  straybelt drill progress
      everybody, week by week
  straybelt drill progress Kim
      Kim, run by run
  straybelt drill progress Kim \\
    --format html -o kim.html
      a page to print or keep";

pub(super) const DRILL_SHEET: &str = "Examples:
  straybelt drill sheet crooked-splice
      blank boxes to fill in by hand
  straybelt drill sheet crooked-splice \\
    --format html -o splice.html
      to print for the class
  straybelt drill sheet crooked-splice \\
    --answers
      the trainer's sheet, kept apart";

pub(super) const DRILL_NEW: &str = "Examples:
  straybelt drill new my-site
      asks, writes a drill, checks it
  straybelt drill new
      asks for the folder too
  straybelt drill new my-site --plain
      in plain lines";

pub(super) const RULES: &str = "Examples:
  straybelt rules check my-site
      is anything wrong with the rules?
  straybelt rules new cause my-site
      write a new cause
  straybelt rules show crooked-frame
      everything about one entry";

pub(super) const CHECK: &str = "Examples:
  straybelt rules check
      the default rule book
  straybelt rules check my-site
      with a site's own folder over it
  straybelt rules check my-site \\
    --format plain
      one line for each problem";

pub(super) const EXPORT: &str = "Examples:
  straybelt rules export my-rules
      the files, never over others
  straybelt rules export --format json
      the network as JSON
  straybelt rules export \\
    --format json --rules my-site
      with a site's own folder over it";

pub(super) const TEST: &str = "Examples:
  straybelt rules test my-site
      with the site's rules and cases
  straybelt rules test --filter splice
      cases with splice in their title
  straybelt rules test my-site \\
    --accept
      write what came into the site's
      case files";

pub(super) const COVERAGE: &str = "Examples:
  straybelt rules coverage
      what is reached, and what is not
  straybelt rules coverage my-site
      with a site's own folder over it
  straybelt rules coverage my-site \\
    --min 80
      exit code 1 below 80 per cent";

pub(super) const COMPARE: &str = "Examples:
  straybelt rules compare \\
    default my-site
      what the site's folder changes
  straybelt rules compare --what-if \\
    crooked-splice.follows-splice=often
      one likelihood changed
  straybelt rules compare my-site \\
    --what-if stuck-roll.how-common=rare
      how common a cause is";

pub(super) const LIST: &str = "Examples:
  straybelt rules list
      all ids of the default book
  straybelt rules list my-site \\
    --kind cause
      the causes alone
  straybelt rules list my-site \\
    --format json
      for an editor";

pub(super) const SCHEMA: &str = "Examples:
  straybelt rules schema \\
    -o rules.schema.json
      of a whole folder of rules
  straybelt rules schema causes
      of files of causes
  straybelt rules schema conveyor
      for an editor, of JSON files";

pub(super) const DIFF: &str = "Examples:
  straybelt rules diff my-site
      what the site's folder changes
  straybelt rules diff before after
      one folder against another
  straybelt rules diff my-site \\
    --format json
      for other programs";

pub(super) const SIGN_OFF: &str = "Examples:
  straybelt rules sign-off my-site \\
    --by shift-lead
      signs if nothing is against it
  straybelt rules sign-off my-site \\
    --by shift-lead --runs 300
      with a longer trial
  straybelt rules sign-off my-site \\
    --by shift-lead --min 95
      more has to be exercised";

pub(super) const PACE: &str = "Examples:
  straybelt rules pace my-site \\
    --runs 1000
      with a site's folder, more visits
  straybelt rules pace \\
    --conveyor OQ-04.ron
      all visits to this conveyor
  straybelt rules pace --ways own
      the program's way alone: faster";

pub(super) const TRIAL: &str = "Examples:
  straybelt rules trial
      the default rule book
  straybelt rules trial --runs 1000 \\
    --rules my-site
      with a site's folder, more of them
  straybelt rules trial --miss 0.1
      one sign in ten is overlooked";

pub(super) const SEPARATE: &str = "Examples:
  straybelt rules separate my-site
      with a site's folder over it
  straybelt rules separate \\
    --conveyor OQ-04.ron
      for this conveyor alone
  straybelt rules separate \\
    --level 20 --pairs 30
      more is asked of the answers, more
      is listed";

pub(super) const SHOW: &str = "Examples:
  straybelt rules show old-trims
      a cause, by its id
  straybelt rules show \"carry strand\"
      a term
  straybelt rules show bark-strings \\
    --rules my-site
      with the site's own folder";

pub(super) const GRAPH: &str = "Examples:
  straybelt rules graph --format text \\
    --around crooked-frame
      a tree, here
  straybelt rules graph --format svg \\
    --around crooked-frame > frame.svg
      a picture for a browser
  straybelt rules graph --steps 2 \\
    --around where --format mermaid
      two arrows far, for a wiki";

pub(super) const PRINT: &str = "Examples:
  straybelt rules print --format html \\
    --whole -o handbook.html
      all of it, for a browser
  straybelt rules print --format text \\
    --chapter causes | less
      one chapter, to read here
  straybelt rules print --format html \\
    --rules my-site --chapter changed
      what the site's folder changes";

pub(super) const NEW: &str = "Examples:
  straybelt rules new cause my-site
      a cause of this site
  straybelt rules new site my-site
      site.ron: name, minutes, changes
  straybelt rules new case my-site \\
    --from 7
      cases from visit 7";

pub(super) const LEARN: &str = "Examples:
  straybelt rules learn --all
      from all visits that are kept
  straybelt rules learn 7 9 12
      from three visits
  straybelt rules learn --all \\
    --rules my-site
      with a site's folder";

pub(super) const COMPLETIONS: &str = "Examples:
  straybelt completions bash \\
    > straybelt.bash
      then: source straybelt.bash
  straybelt completions fish \\
    > straybelt.fish
  straybelt completions zsh \\
    > _straybelt";

pub(super) const MAN: &str = "Examples:
  straybelt man > straybelt.1
      write it to a file
  straybelt man | man -l -
      read it here
  straybelt man | gzip > straybelt.1.gz
      as systems keep it";

/// The examples of one gauge.
pub(super) fn gauge(id: &str) -> String {
    format!(
        "Examples:
  straybelt gauge {id}
      asks for the readings
  straybelt gauge {id} \\
    --conveyor OQ-04.ron
      with the data of a conveyor
  straybelt gauge {id} \\
    --units inch
      in inches"
    )
}
