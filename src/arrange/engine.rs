//! Which outlines meet: the only place that names `jagua-rs` (MPL-2.0, used unmodified; its source is at
//! <https://github.com/JeroenGar/jagua-rs> and on the Rust registry).
//!
//! It reckons in f32, refuses outlines that touch themselves and panics on what is not finite, so outlines are looked
//! at here first, come in already turned (it takes sines from the platform) and only move inside it; and what it calls
//! free is believed by nobody: `exact` looks again in f64.

use std::sync::Arc;

use jagua_rs::collision_detection::hazards::collector::HazardCollector;
use jagua_rs::collision_detection::hazards::{HazKey, Hazard, HazardEntity};
use jagua_rs::collision_detection::{CDEConfig, CDEngine};
use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_enums::GeoPosition;
use jagua_rs::geometry::geo_traits::Transformable as _;
use jagua_rs::geometry::primitives::{Point, Rect, SPolygon};

use crate::geom::Vec2;

/// Coordinates beyond this have f32 steps of more than a few thousandths of a millimetre.
const FARTHEST: f64 = 50_000.0;
/// A simple outline in one turn.
#[derive(Debug)]
pub(super) struct Outline(SPolygon);

impl Outline {
    /// None where the engine would not take it.
    pub fn new(points: &[Vec2]) -> Option<Self> {
        if !points.iter().all(|p| near(*p)) {
            return None;
        }
        SPolygon::new(points.iter().map(|&p| point(p)).collect()).ok().map(Self)
    }

    fn moved(&self, shift: Vec2) -> SPolygon {
        let p = point(shift);
        self.0.transform_clone(&Transformation::from_translation((p.0, p.1)))
    }
}

/// Whether f32 is fine enough there.
fn near(p: Vec2) -> bool {
    p.is_finite() && p.abs().max_element() < FARTHEST
}

#[expect(clippy::cast_possible_truncation, reason = "the engine's own number; what it loses is allowed for")]
fn point(p: Vec2) -> Point {
    Point(p.x as f32, p.y as f32)
}

/// What lies on a bed: its outside, which nothing is asked about, and items by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Thing {
    Outside,
    Item(usize),
}

impl HazardEntity for Thing {
    fn scope(&self) -> GeoPosition {
        match self {
            Self::Outside => GeoPosition::Exterior,
            Self::Item(_) => GeoPosition::Interior,
        }
    }

    fn is_dynamic(&self) -> bool {
        matches!(self, Self::Item(_))
    }
}

/// The outlines on one bed.
#[derive(Debug)]
pub(super) struct Ground {
    engine: CDEngine<Thing>,
    keys: Vec<Option<HazKey>>,
}

impl Ground {
    /// For outlines within `lo..hi`, numbered below `items`. None where the engine would not take it.
    pub fn new(lo: Vec2, hi: Vec2, items: usize) -> Option<Self> {
        if !(near(lo) && near(hi)) {
            return None;
        }
        let side = (hi - lo).max_element() + 4.0;
        let (a, b) = (point(lo - Vec2::splat(2.0)), point(lo + Vec2::splat(side)));
        let rect = Rect::try_new(a.0, a.1, b.0, b.1).ok()?;
        let outside = Hazard::new(Thing::Outside, Arc::new(SPolygon::from(rect)));
        let config =
            CDEConfig { quadtree_depth: 5, cd_threshold: 16, item_surrogate_config: SPSurrogateConfig::none() };
        Some(Self { engine: CDEngine::new(rect, vec![outside], config), keys: vec![None; items] })
    }

    pub fn put(&mut self, item: usize, outline: &Outline, shift: Vec2) {
        let thing = Thing::Item(item);
        self.engine.register_hazard(Hazard::new(thing, Arc::new(outline.moved(shift))));
        self.keys[item] = self.engine.haz_key(&thing);
    }

    pub fn lift(&mut self, item: usize) {
        if let Some(key) = self.keys[item].take() {
            self.engine.deregister_hazard_by_key(key);
        }
    }

    /// The items that an outline would meet, in order of their numbers, itself left out.
    pub fn meets(&self, outline: &Outline, shift: Vec2, itself: usize, met: &mut Vec<usize>) {
        let mut found = Found { keys: Vec::new(), items: core::mem::take(met) };
        found.items.clear();
        let own = self.keys[itself].unwrap_or_default();
        self.engine.collect_poly_collisions(&outline.moved(shift), &own, &mut found);
        found.items.sort_unstable();
        *met = found.items;
    }
}

/// What a query has found. The outside is left out: an item's box is held within its bed by other means.
struct Found {
    keys: Vec<(HazKey, Thing)>,
    items: Vec<usize>,
}

impl HazardCollector for Found {
    type Entity = Thing;

    fn contains_key(&self, key: HazKey) -> bool {
        self.keys.iter().any(|k| k.0 == key)
    }

    fn insert(&mut self, key: HazKey, thing: Thing) {
        self.keys.push((key, thing));
        if let Thing::Item(item) = thing {
            self.items.push(item);
        }
    }

    fn remove_by_key(&mut self, key: HazKey) {
        self.keys.retain(|k| k.0 != key);
    }

    fn len(&self) -> usize {
        self.keys.len()
    }

    fn iter(&self) -> impl Iterator<Item = (HazKey, &Thing)> {
        self.keys.iter().map(|(k, t)| (*k, t))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64) -> [Vec2; 4] {
        [Vec2::ZERO, Vec2::new(side, 0.0), Vec2::splat(side), Vec2::new(0.0, side)]
    }

    #[test]
    fn what_the_engine_cannot_take_is_refused_before_it() {
        let bow = [Vec2::ZERO, Vec2::splat(10.0), Vec2::new(10.0, 0.0), Vec2::new(0.0, 10.0)];
        assert!(Outline::new(&bow).is_none(), "it crosses itself");
        assert!(Outline::new(&square(f64::NAN)).is_none() && Outline::new(&square(f64::INFINITY)).is_none());
        assert!(Outline::new(&square(60_000.0)).is_none(), "too far for f32");
        assert!(Outline::new(&square(10.0)[..2]).is_none());
        assert!(Ground::new(Vec2::ZERO, Vec2::splat(f64::NAN), 1).is_none());
    }

    #[test]
    fn outlines_meet_where_they_overlap_and_where_one_holds_the_other() {
        let (large, small) = (Outline::new(&square(50.0)).expect("sound"), Outline::new(&square(10.0)).expect("sound"));
        let mut ground = Ground::new(Vec2::ZERO, Vec2::splat(200.0), 3).expect("sound");
        ground.put(0, &large, Vec2::splat(10.0));
        ground.put(1, &large, Vec2::new(100.0, 10.0));
        let mut met = Vec::new();
        for (at, expected) in [
            (Vec2::new(55.0, 20.0), &[0][..]),
            (Vec2::new(30.0, 30.0), &[0]),
            (Vec2::new(70.0, 20.0), &[]),
            (Vec2::new(140.0, 5.0), &[1]),
        ] {
            ground.meets(&small, at, 2, &mut met);
            assert_eq!(met, expected, "{at}");
        }
        ground.meets(&Outline::new(&square(120.0)).expect("sound"), Vec2::splat(5.0), 2, &mut met);
        assert_eq!(met, [0, 1]);
        ground.meets(&large, Vec2::splat(12.0), 0, &mut met);
        assert!(met.is_empty(), "itself is left out");
        ground.lift(0);
        ground.meets(&small, Vec2::new(30.0, 30.0), 2, &mut met);
        assert!(met.is_empty());
    }
}
