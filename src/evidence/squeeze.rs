//! What an imprint says of the gap it was squeezed in, and how much the maker squeezed the pad.

use schemars::JsonSchema;
use serde::Serialize;

use super::estimate::Consensus;
use crate::record::Pad;

/// How much an imprint springs back, as a fraction of the gap, where the pad's record does not say.
/// Common practice for soft pads.
const USUAL_REBOUND: f64 = 0.15;

/// A quantity with the least and the greatest that it may be.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Extent {
    /// The likeliest.
    pub likely: f64,
    /// The least.
    pub low: f64,
    /// The greatest.
    pub high: f64,
}

/// Returns the gap in which an imprint was squeezed, `[imprint / (1 + rebound) − U, imprint + U]`: a pad
/// springs back by anything up to the rebound, and never shrinks.
///
/// # Units
/// `imprint` and the result: mm; `rebound`: a fraction of the gap.
pub fn gap(imprint: &Consensus, rebound: f64) -> Extent {
    Extent {
        likely: imprint.value / (1.0 + rebound / 2.0),
        low: imprint.value / (1.0 + rebound) - imprint.expanded,
        high: imprint.value + imprint.expanded,
    }
}

/// Returns the strain at which a pad of this free thickness fills a gap, worst case.
///
/// # Units
/// `edge`, `gap`: mm; result: a fraction of the free thickness.
pub fn strain(edge: &Consensus, gap: &Extent) -> Extent {
    let at = |gap: f64, free: f64| 1.0 - gap / free;
    Extent {
        likely: at(gap.likely, edge.value),
        low: at(gap.high, edge.value - edge.expanded),
        high: at(gap.low, edge.value + edge.expanded),
    }
}

/// Returns how much a material's imprint springs back, as a fraction of the gap.
pub(crate) fn rebound(material: Option<&Pad>) -> f64 {
    let stated = material.and_then(|pad| pad.rebound);
    stated.unwrap_or(USUAL_REBOUND)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::uncertainty::Component;

    fn estimate(value: f64, expanded: f64) -> Consensus {
        Consensus {
            value,
            uncertainty: Component::known(expanded / 2.0),
            expanded,
            between_benches: 0.0,
            agreement: None,
        }
    }

    fn assert_near(found: f64, wanted: f64) {
        assert!((found - wanted).abs() < 1e-12, "{found} is not {wanted}");
    }

    #[test]
    fn an_imprint_springs_back_and_never_shrinks() {
        let found = gap(&estimate(1.61, 0.03), 0.15);
        assert_near(found.low, 1.61 / 1.15 - 0.03);
        assert_near(found.high, 1.64);
        assert_near(found.likely, 1.61 / 1.075);
    }

    /// 2.0 mm in a gap of 1.6: a fifth, or with both ends off, 1.55 to 1.65 in 1.95 to 2.05.
    #[test]
    fn a_strain_is_worst_case() {
        let gap = Extent {
            likely: 1.6,
            low: 1.55,
            high: 1.65,
        };
        let found = strain(&estimate(2.0, 0.05), &gap);
        assert_near(found.likely, 0.2);
        assert_near(found.low, 1.0 - 1.65 / 1.95);
        assert_near(found.high, 1.0 - 1.55 / 2.05);
    }
}
