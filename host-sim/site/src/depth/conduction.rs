//! Conduction of heat into a half space, in one dimension.
//!
//! What for: the temperature at the bottom of a drilled hole, from that of the face. A wall or a slab thicker than a few
//! hole depths behaves as a half space for some days.
//!
//! Terms: a *place* is a depth divided by the square root of the diffusivity, in √s. In this measure the equation
//! `∂T/∂t = α ∂²T/∂x²` loses its diffusivity, so one calculation holds for every diffusivity at once: a depth of x metres
//! lies at the place `x / √α` for each α, and a range of diffusivities is a range of places.
//!
//! Why this way: finite volumes on a grid that is even as far as anything is asked for and then widens, stepped by the
//! implicit Euler method. It is only of first order in time, but its matrix is an M-matrix at every step width: no
//! temperature leaves the range of what it came from, and a colder face never makes a warmer depth. Both are wanted more
//! here than order; what the scheme is off by is measured against the closed forms and taken off ([`SCHEME_ERROR`]).
//!
//! What it does not do: more than one dimension (an edge or a corner cools faster), latent heat of wet concrete, heat
//! of the resin's own reaction.

/// What the scheme is off by at most, as a share of the range that the face's temperature has gone through up to then.
///
/// The equation is linear and the scheme keeps the range, so its error scales with it. Found under 0.3 % against the
/// closed forms of step, linear rise and sine, and against exact sums over recorded and random faces (tests).
pub const SCHEME_ERROR: f64 = 0.005;

/// Even cells up to the farthest place that is asked for.
const EVEN_CELLS: u32 = 48;
/// Each cell beyond is wider by this factor.
const WIDENING: f64 = 1.1;
/// The grid ends where the face cannot be felt: at so many times the square root of the whole time
/// (`erfc(10 / 2)` is 1.5e-12).
const REACH: f64 = 10.0;
/// Longest step, s.
const LONGEST_STEP: f64 = 15.0;
/// Steps within the time heat takes to the nearest place that is asked for (its square, s).
const STEPS_TO_NEAREST: f64 = 200.0;

/// A half space with its temperatures.
#[derive(Clone, Debug)]
pub struct HalfSpace {
    /// Places of the nodes, √s, from the face (0) inwards.
    places: Vec<f64>,
    /// Conductance between a node and the next, 1/√s.
    conductances: Vec<f64>,
    /// Width of the cell about each node, √s.
    widths: Vec<f64>,
    /// Temperatures of the nodes, °C.
    celsius: Vec<f64>,
    longest_step: f64,
    factors: Option<Factors>,
}

/// The matrix of one step width, eliminated once.
#[derive(Clone, Debug)]
struct Factors {
    step: f64,
    /// Conductance times step over cell width, to the node before.
    before: Vec<f64>,
    /// What the elimination leaves on the diagonal, inverted.
    inverse: Vec<f64>,
    /// What it leaves to the node behind.
    behind: Vec<f64>,
}

impl HalfSpace {
    /// A half space of one temperature.
    ///
    /// `nearest` and `farthest` are the places that will be asked for (√s, above 0, nearest not beyond farthest);
    /// `seconds` is how long it will be followed.
    pub fn new(nearest: f64, farthest: f64, seconds: f64, celsius: f64) -> Self {
        let even = farthest / f64::from(EVEN_CELLS);
        let end = (4.0 * farthest).max(REACH * seconds.max(0.0).sqrt());
        let mut places = vec![0.0];
        for node in 1..=EVEN_CELLS {
            places.push(even * f64::from(node));
        }
        let (mut place, mut width) = (farthest, even);
        while place < end {
            width *= WIDENING;
            place += width;
            places.push(place);
        }
        let conductances: Vec<f64> =
            places.windows(2).map(|pair| if let [a, b] = pair { 1.0 / (b - a) } else { 0.0 }).collect();
        let half = |node: usize| conductances.get(node).map_or(0.0, |conductance| 0.5 / conductance);
        let widths = (0..places.len()).map(|node| half(node) + if node > 0 { half(node - 1) } else { 0.0 }).collect();
        let celsius = vec![celsius; places.len()];
        let longest_step = (nearest * nearest / STEPS_TO_NEAREST).clamp(1.0, LONGEST_STEP);
        Self { places, conductances, widths, celsius, longest_step, factors: None }
    }

    /// The face jumps to a temperature, °C; the inside has not felt it yet.
    pub fn jump(&mut self, celsius: f64) {
        if let Some(face) = self.celsius.first_mut() {
            *face = celsius;
        }
    }

    /// Time passes while the face goes evenly to a temperature, °C.
    pub fn pass(&mut self, seconds: f64, celsius: f64) {
        let steps = (seconds / self.longest_step).ceil().max(1.0);
        let step = seconds / steps;
        if self.factors.as_ref().is_none_or(|factors| factors.step != step) {
            self.factors = Some(self.eliminate(step));
        }
        let from = self.celsius.first().copied().unwrap_or(celsius);
        let mut done = 0.0;
        while done < steps {
            done += 1.0;
            self.jump(if done < steps { from + (celsius - from) * (done / steps) } else { celsius });
            self.step();
        }
    }

    fn eliminate(&self, step: f64) -> Factors {
        let count = self.places.len();
        let (mut before, mut inverse, mut behind) = (vec![0.0; count], vec![0.0; count], vec![0.0; count]);
        for node in 1..count {
            let per_width = step / self.widths[node];
            let to_before = self.conductances[node - 1] * per_width;
            let to_behind = self.conductances.get(node).map_or(0.0, |conductance| conductance * per_width);
            let diagonal = 1.0 + to_before + to_behind - to_before * behind[node - 1];
            before[node] = to_before;
            inverse[node] = 1.0 / diagonal;
            behind[node] = to_behind / diagonal;
        }
        Factors { step, before, inverse, behind }
    }

    /// One implicit step (Thomas's algorithm); the face's node holds its temperature at the end of the step.
    fn step(&mut self) {
        let Some(factors) = &self.factors else { return };
        let mut last = self.celsius.first().copied().unwrap_or(0.0);
        let lanes = factors.before.iter().zip(&factors.inverse).skip(1);
        for (celsius, (before, inverse)) in self.celsius.iter_mut().skip(1).zip(lanes) {
            last = (*celsius + before * last) * inverse;
            *celsius = last;
        }
        let mut behind = 0.0;
        for (celsius, factor) in self.celsius.iter_mut().zip(&factors.behind).skip(1).rev() {
            *celsius += factor * behind;
            behind = *celsius;
        }
    }

    /// The temperature at a place, °C; even between nodes.
    pub fn at(&self, place: f64) -> f64 {
        let behind = self.places.partition_point(|node| *node < place);
        let (Some(right), Some(right_celsius)) = (self.places.get(behind), self.celsius.get(behind)) else {
            return self.celsius.last().copied().unwrap_or(0.0);
        };
        let Some(node) = behind.checked_sub(1) else { return *right_celsius };
        let (left, left_celsius) = (self.places[node], self.celsius[node]);
        left_celsius + (right_celsius - left_celsius) * ((place - left) / (right - left))
    }

    /// The coldest temperature between two places, both included, °C.
    pub fn coldest(&self, from: f64, to: f64) -> f64 {
        let inside = self.places.iter().zip(&self.celsius).filter(|(place, _)| (from..=to).contains(*place));
        inside.map(|(_, celsius)| *celsius).fold(self.at(from).min(self.at(to)), f64::min)
    }
}
