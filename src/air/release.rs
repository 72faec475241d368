//! Releases into the air over time, as data.

use std::sync::Arc;

use crate::catalog::Component;

/// How a release is spread over time.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// At a steady rate: spraying, with its propellant, its flash-off in flight and the solvent of its overspray.
    Steady {
        /// For how long, s. Less than a second counts as one second.
        duration_s: f64,
    },
    /// Falling as e^(−k t): a film that dries exponentially.
    Decaying {
        /// k, 1/s.
        rate_per_s: f64,
    },
    /// As the film model computed it: pieces of steady rate, in order. Shared by all sheets of a page.
    Curve(Arc<[CurvePiece]>),
}

/// A stretch of steady release.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePiece {
    /// Begins, s after the start of the release.
    pub from_s: f64,
    /// Ends, s after the start of the release.
    pub to_s: f64,
    /// Share of the release's mass that goes in this stretch, in any common scale.
    pub part: f64,
}

/// A mass of one component that goes into the air.
///
/// Nothing is counted twice: what flashes off in flight, what drifts past the sheet and what evaporates from the film
/// are separate releases whose masses add up to what left the can. That is the caller's task. An unknown component and
/// an undeclared share are released as themselves, not as a guess of what they might be.
#[derive(Debug, Clone, PartialEq)]
pub struct Release {
    /// What. Solids are the mist that stays in the air.
    pub component: Component,
    /// How much over all time, g.
    pub mass_g: f64,
    /// When it begins, s after the first coat begins.
    pub start_s: f64,
    /// How it is spread.
    pub shape: Shape,
}

/// One coat as the air feels it.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatAir {
    /// When spraying begins, s after the first coat begins.
    pub start_s: f64,
    /// When spraying ends, s.
    pub end_s: f64,
    /// Everything this coat releases, its film included.
    pub releases: Vec<Release>,
}

impl CoatAir {
    /// The same coat later (or, with a negative number, earlier).
    #[must_use]
    pub fn shifted(&self, seconds: f64) -> Self {
        let releases = self
            .releases
            .iter()
            .map(|release| Release { start_s: release.start_s + seconds, ..release.clone() })
            .collect();
        Self { start_s: self.start_s + seconds, end_s: self.end_s + seconds, releases }
    }
}

/// A stretch of steady rate, in absolute time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Begins, s.
    pub from_s: f64,
    /// Ends, s.
    pub to_s: f64,
    /// Rate, g/s or any other unit a second.
    pub rate: f64,
}

/// An exponentially falling rate, in absolute time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tail {
    /// Begins, s.
    pub from_s: f64,
    /// Rate at that moment.
    pub rate: f64,
    /// Falls with this rate, 1/s.
    pub decay_per_s: f64,
}

/// Everything released into a room in one currency: grams of a substance, or fullness of a limit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sources {
    pub(super) steps: Vec<Step>,
    pub(super) tails: Vec<Tail>,
    /// Where the stretches of each shape begin among the steps, and how many they are: the components of a film leave it
    /// over the same stretches, and are one release in a common currency.
    runs: Vec<(usize, usize)>,
}

impl Sources {
    /// Sources from stretches and tails in absolute time.
    pub fn from_parts(steps: Vec<Step>, tails: Vec<Tail>) -> Self {
        Self { steps, tails, runs: Vec::new() }
    }

    /// Adds a release, each gram counted as `weight`. Nothing is added for a mass or weight of zero.
    pub fn add(&mut self, release: &Release, weight: f64) {
        let amount = release.mass_g * weight;
        if amount <= 0.0 {
            return;
        }
        let start = release.start_s;
        match &release.shape {
            Shape::Steady { duration_s } => {
                let duration = duration_s.max(1.0);
                self.add_steps(&[Step { from_s: start, to_s: start + duration, rate: amount / duration }]);
            }
            Shape::Decaying { rate_per_s } if *rate_per_s > 0.0 => {
                self.tails.push(Tail { from_s: start, rate: amount * rate_per_s, decay_per_s: *rate_per_s });
            }
            Shape::Decaying { .. } => {}
            Shape::Curve(pieces) => {
                let kept = || pieces.iter().filter(|piece| piece.to_s > piece.from_s && piece.part >= 0.0);
                let whole: f64 = kept().map(|piece| piece.part).sum();
                if whole <= 0.0 {
                    // A curve without a stretch still has its mass: it comes all at once.
                    self.add_steps(&[Step { from_s: start, to_s: start + 1.0, rate: amount }]);
                    return;
                }
                let steps: Vec<Step> = kept()
                    .map(|piece| Step {
                        from_s: start + piece.from_s,
                        to_s: start + piece.to_s,
                        rate: amount * piece.part / whole / (piece.to_s - piece.from_s),
                    })
                    .collect();
                self.add_steps(&steps);
            }
        }
    }

    /// Adds stretches, on top of others over the same times where there are such.
    fn add_steps(&mut self, steps: &[Step]) {
        let same =
            |of: &[Step]| of.iter().zip(steps).all(|(one, two)| one.from_s == two.from_s && one.to_s == two.to_s);
        let found = self
            .runs
            .iter()
            .find(|(begins, count)| *count == steps.len() && same(&self.steps[*begins..begins + count]));
        if let Some(&(begins, count)) = found {
            for (one, two) in self.steps[begins..begins + count].iter_mut().zip(steps) {
                one.rate += two.rate;
            }
        } else {
            self.runs.push((self.steps.len(), steps.len()));
            self.steps.extend_from_slice(steps);
        }
    }

    /// Gives back the memory that was set aside for more.
    pub(super) fn close(&mut self) {
        self.steps.shrink_to_fit();
        self.tails.shrink_to_fit();
        self.runs.shrink_to_fit();
    }

    /// What is still to come after a moment: steps are cut, tails carry on with what is left of them.
    #[must_use]
    pub fn after(&self, moment_s: f64) -> Self {
        let steps = self
            .steps
            .iter()
            .filter(|step| step.to_s > moment_s)
            .map(|step| Step { from_s: step.from_s.max(moment_s), ..*step })
            .collect();
        let tails = self
            .tails
            .iter()
            .map(|tail| {
                let passed = (moment_s - tail.from_s).max(0.0);
                let rate = tail.rate * libm::exp(-tail.decay_per_s * passed);
                Tail { from_s: tail.from_s.max(moment_s), rate, ..*tail }
            })
            .collect();
        Self::from_parts(steps, tails)
    }

    /// Adds everything of another.
    pub fn extend(&mut self, other: &Self) {
        self.steps.extend_from_slice(&other.steps);
        self.tails.extend_from_slice(&other.tails);
    }
}
