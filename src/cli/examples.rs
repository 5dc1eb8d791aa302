//! The examples below the help of `rules`: narrow, so that a small screen does not tear them.

pub(super) const CHECK_EXAMPLES: &str = "Examples:
  straybelt rules check
      the default rule book
  straybelt rules check my-site
      with a site's own folder over it";

pub(super) const EXPORT_EXAMPLES: &str = "Examples:
  straybelt rules export my-rules
      the files, never over others
  straybelt rules export --format json
      the network as JSON, to standard
      output";

pub(super) const TEST_EXAMPLES: &str = "Examples:
  straybelt rules test
      the default rule book's cases
  straybelt rules test my-site
      with a site's rules over it, and
      its own cases too
  straybelt rules test --filter splice
      cases with splice in their id or
      title
  straybelt rules test my-site --watch
      again whenever a file changes
  straybelt rules test my-site \\
    --accept
      write what came into the site's
      case files";

pub(super) const COVERAGE_EXAMPLES: &str = "Examples:
  straybelt rules coverage
      what is reached, and what is not
  straybelt rules coverage my-site \\
    --min 80
      exit code 1 below 80 per cent";

pub(super) const COMPARE_EXAMPLES: &str = "Examples:
  straybelt rules compare \\
    default my-site
      what the site's folder changes
  straybelt rules compare \\
    before after --runs 0
      two folders, the cases alone
  straybelt rules compare --what-if \\
    crooked-splice.follows-splice=often
      one likelihood of a sign or side
  straybelt rules compare --what-if \\
    stuck-roll.noise.squeal=0.4
      of an answer of a pattern or grade
  straybelt rules compare my-site \\
    --what-if stuck-roll.how-common=rare
      how common a cause is, with a
      site's folder";

pub(super) const TRIAL_EXAMPLES: &str = "Examples:
  straybelt rules trial
      the default rule book
  straybelt rules trial --runs 1000 \\
    --rules my-site
      with a site's folder, more of them";

pub(super) const POLICY_EXAMPLES: &str = "Examples:
  straybelt rules policy
      the default rule book
  straybelt rules policy my-site \\
    --runs 1000
      with a site's folder, more visits
  straybelt rules policy \\
    --conveyor OQ-04.ron
      all visits to this conveyor
  straybelt rules policy --policy own
      the program's way alone: faster";

pub(super) const SEPARATE_EXAMPLES: &str = "Examples:
  straybelt rules separate
      the default rule book
  straybelt rules separate my-site
      with a site's folder over it
  straybelt rules separate \\
    --conveyor OQ-04.ron
      for this conveyor alone
  straybelt rules separate \\
    --level 20 --pairs 30
      more is asked of the answers, more
      is listed";

pub(super) const SHOW_EXAMPLES: &str = "Examples:
  straybelt rules show old-trims
      a cause, by its id
  straybelt rules show RC07
      the same, by its code
  straybelt rules show \"carry strand\"
      a term
  straybelt rules show bark-strings \\
    --rules my-site
      with the site's own folder";

pub(super) const GRAPH_EXAMPLES: &str = "Examples:
  straybelt rules graph --format text \\
    --around RC07
      a tree, here
  straybelt rules graph --format svg \\
    --around RC07 > rc07.svg
      a picture for a browser
  straybelt rules graph --steps 2 \\
    --around where --format mermaid
      two arrows far, for a wiki
  straybelt rules graph --format dot \\
    | dot -Tpdf > book.pdf
      the whole book";

pub(super) const PRINT_EXAMPLES: &str = "Examples:
  straybelt rules print --format html \\
    -o handbook.html
      one page to open in a browser
  straybelt rules print --format text \\
    | less
      to read here
  straybelt rules print --format html \\
    --rules my-site -o handbook.html
      with the site's own folder";

pub(super) const NEW_EXAMPLES: &str = "Examples:
  straybelt rules new cause my-site
      a cause of this site
  straybelt rules new symptom my-site
      a question of this site
  straybelt rules new site my-site
      site.ron: name, minutes, changes
  straybelt rules new case my-site
      a case, from answers that you type
  straybelt rules new case my-site \\
    --from 7
      cases from visit 7";

pub(super) const LEARN_EXAMPLES: &str = "Examples:
  straybelt rules learn --all
      from all visits that are kept
  straybelt rules learn 7 9 12 \\
    --rules my-site
      from three visits, with a site's
      folder";
