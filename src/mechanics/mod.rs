//! The belt-line model: where the belt runs, from the geometry of a conveyor and what is wrong with it.
//!
//! ```text
//!     Line (square, level, clean)  +  Faults  ->  Case  ->  steady()      where it comes to rest, or its drift
//!                                                       ->  March         turn by turn, with splice and camber
//! ```
//!
//! Pure: no clock, no terminal, no file, no rule book. All is SI, and names say the unit.
//!
//! **Signs.** `x` runs from tail to head on both strands, `y` is to the LEFT, looking from tail to head; the return
//! strand's left is the same physical side. A skew is positive when the LEFT end lies nearer to the head, so on the
//! carry strand it leads the belt right, on the return strand left (run backward: the other way). A level error is
//! positive when the LEFT end is low. Stations count from the tail, the first is 0. Metres of belt count behind
//! mark 0, against the forward run.
//!
//! # The model
//! The belt is a thin beam that bends in its own plane, pulled by the tension of its strand:
//! `EI y'''' - T y'' = load`, `EI = Eb b^3 / 12`. An idler set takes hold of it by creep up to friction, and a
//! troughed one centres it: `F = -mu N tanh((y' + dy/dt / v - aim) / creep) - k (y - middle)`. It enters a pulley
//! square to its axis (`dY/dt = v (enters - y')`, `dy'/dt = -v (y'' - bend)`), sticks to it for half a turn, and leaves
//! it where it came in.
//!
//! | part | standing |
//! |---|---|
//! | tensioned beam, normal entry, curvature factor, slack edge | published |
//! | directions: first edge met, low side, light edge of the load, screw toward the slack side | published; the model must give them |
//! | side force, drift, crown factor, crown as a bend, trough centring, bound of an off-centre load, load of one screw | derived, not published |
//! | a cone of cake on a pulley as a bend, on a roll as a couple limited by friction; a seized wing as a couple | derived; which side the belt goes is not published, and on rolls the model must not be quoted for it |
//! | `mu`, `creep`, the shape of the grip, [`LEVEL_STEERS`], [`WING_CARRIES`], forward tilt's share of centring | assumed; measurements are known to exist, none could be read |
//!
//! # What may be shown to people
//! Signs, rankings (which roll does more) and shapes (where it is off, which marks). Sizes only as words: [`Size`]. No
//! millimetre of this model is a prediction: grip, creep and friction are assumed, and they set the scale.
//!
//! # What it leaves out
//! One pull per strand (no rise along it, no snubs, bends or take-up pulleys between); slip on pulleys; edges that
//! hang slack (told by [`SideLoads::least_edge_n_per_m`], not followed); guides and steel (the rolls have no end:
//! compare with [`Line::edge_room_m`]); crowns that an edge lets go of; hollow pulleys, which nothing holds; shear of short wide spans; stick-slip of stiff empty belts; off-centre loads on
//! flat belts, where the trade itself is of two minds; the small sideways carry of a pulley out of level (its girth
//! leans: toward the low side at the tail, away at the head). A crown centres too fast by size, not by direction.
//! A forward tilt run backward lessens the centring of a trough, and at most to nothing.
//!
//! # Where to begin
//! [`Line::middling`] is a conveyor to begin from; [`Case::new`] puts faults on it; [`Case::steady`] and [`March`] tell
//! where the belt runs; [`Lies`] is where it lies between two moves, to be taken up by the next [`March`];
//! [`March::watch`] looks at marks from the stations; [`just_after_screws`] and [`Steady::loads`] tell what the bearings
//! carry. All errors are [`Wrong`]: reason, part, remedy. Every loop is bounded.

mod beam;
mod case;
pub mod faults;
mod half;
mod lies;
pub mod line;
mod loads;
mod march;
mod one_span;
mod path;
mod possible;
mod shape;
mod size;
mod solve;
pub mod span;
mod steady;
mod travel;
mod watch;
mod wrong;
pub use case::{Case, ELEMENT_SHARE, LEVEL_STEERS};
pub use faults::{Fault, Seized};
pub use lies::Lies;
pub use line::{Belt, End, Grip, Idlers, Line, Load, Pulley, Run, TakeUp};
pub use loads::{SideLoads, just_after_screws};
pub use march::{MOST_TURNS, March};
pub use one_span::{MOST_ELEMENTS, OneSpan};
pub use path::WING_CARRIES;
pub use shape::{Point, Shape};
pub use size::Size;
pub use steady::{Rest, Steady};
pub use watch::{MOST_MARKS, Watched, mean_and_swing};
pub use wrong::{Reason, Wrong};
