//! Instances with known best values; their sources are in `tests/reference/cutting.json`.

use gapbook::cutting::{Effort, Order, check, plan};
use rayon::prelude::*;
use serde::Deserialize;

use crate::order;

#[derive(Deserialize)]
struct Instances {
    exhaustive: Vec<Instance<Best>>,
    class: Vec<Instance<usize>>,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
struct Instance<T> {
    name: String,
    sheet: [u32; 2],
    pieces: Vec<[u32; 3]>,
    as_they_lie: T,
    turned: T,
}

#[derive(Deserialize)]
struct Best {
    sheets: usize,
    remnant: u64,
    cuts: usize,
}

impl<T> Instance<T> {
    /// Returns the two orders with what is best for each.
    fn orders(&self) -> [(Order, &T); 2] {
        let turned = order(self.sheet, &self.pieces);
        let as_they_lie = Order {
            may_turn: false,
            ..turned.clone()
        };
        [(as_they_lie, &self.as_they_lie), (turned, &self.turned)]
    }
}

fn instances() -> Instances {
    serde_json::from_str(include_str!("../reference/cutting.json")).expect("instances")
}

#[test]
fn small_orders_are_planned_as_well_as_by_enumeration() {
    for instance in instances().exhaustive {
        for (order, best) in instance.orders() {
            let found = plan(&order, Effort::THOROUGH).expect("pieces fit");
            let name = format!("{}, turning {}", instance.name, order.may_turn);
            assert_eq!(check(&order, &found), Ok(()), "{name}");
            let goals = (found.sheets(), found.largest_remnant(), found.cuts());
            assert_eq!(goals, (best.sheets, best.remnant, best.cuts), "{name}");
            assert!(found.is_proven() || best.remnant == 0, "{name}: proven");
        }
    }
}

#[test]
fn published_sheet_counts_are_reached_and_never_beaten() {
    let effort = Effort {
        exact: 0,
        cuts: 0,
        search: 400_000,
    };
    instances().class.par_iter().for_each(|instance| {
        for (order, &best) in instance.orders() {
            let found = plan(&order, effort).expect("pieces fit");
            let name = format!("{}, turning {}", instance.name, order.may_turn);
            assert_eq!(check(&order, &found), Ok(()), "{name}");
            assert_eq!(found.sheets(), best, "{name}: bound {}", found.least_sheets);
        }
    });
}
