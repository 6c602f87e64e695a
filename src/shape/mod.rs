//! Phase 3: design → solid. Walks the order of the design: reckons each thing's fields, proves them buildable, builds
//! its sheet parts, and keeps the facts that later things read.
//!
//! Kinds end here: `kinds/` holds one module a kind that lowers it to walls, plates, holes and joints. A thing with a
//! fault is left out, silently with all that rests on it; everything else goes on.
//!
//! Conventions chosen here, where the language leaves room:
//! - positions along a shell count from its first station (the one with the least place), at height 0;
//! - `along: wall` counts along the generatrix opposite the seam, on the measured face;
//! - an `outline` is drawn on paper as seen from above with the front up, so its first numbers grow to the wearer's
//!   right and its second to the front; on a wall or cap it is drawn as seen on the show face, about its middle;
//! - the neutral depth of a stock that lists it by bend is taken once a part, at the mean inside bend radius
//!   (`measure::mean_bend`);
//! - several openings are spread round a wall by equal lengths of its girth, from `facing` on;
//! - a shell copied from its target without a seam of its own takes the target's.

mod clash;
mod errors;
mod goods;
mod hole;
mod joints;
mod kinds;
mod known;
mod laid;
mod mass;
mod measure;
mod notches;
mod outline;
mod say;
mod seam;
mod section;
mod sized;
mod wall;

pub use known::{Known, View};

use std::collections::{BTreeMap, BTreeSet};

use crate::design::{Anchor, Design, Face, Kind, Relation, Step};
use crate::diag::{Code, Diagnostic, Diagnostics};
use crate::eval::{self, Answer, Budget, Fields, Reckoner, Stop};
use crate::fitted::{Ground, Over};
use crate::ids::{PartId, ThingId};
use crate::solid::{Body, EdgeName, Layer, Solid};
use crate::span::Span;

/// What `shape` hands on.
#[derive(Clone, Debug, Default)]
pub struct Shaped {
    pub solid: Solid,
    /// Values and facts reckoned on the way; [`Known::view`] answers later phases.
    pub known: Known,
    /// What is left of the steps of reckoning.
    pub budget: Budget,
    pub diagnostics: Diagnostics,
}

/// Design → solid.
#[must_use]
pub fn shape(design: &Design) -> Shaped {
    let mut shaper = Shaper {
        design,
        known: Known { lets: vec![None; design.lets.len()], ..Known::default() },
        budget: Budget::new(),
        solid: Solid::default(),
        faults: Diagnostics::new(),
        raised: BTreeMap::new(),
        joints: Vec::new(),
        joined: BTreeSet::new(),
        met: BTreeSet::new(),
        asked: Vec::new(),
        stood: BTreeMap::new(),
        caps_of: BTreeMap::new(),
        bands: Vec::new(),
        feet: BTreeMap::new(),
        gone: BTreeSet::new(),
        covers: Vec::new(),
        cores: Vec::new(),
        sheet: (0, 0.0),
    };
    shaper.index();
    for step in &design.order {
        shaper.step(*step);
        if shaper.is_too_much(*step) {
            break;
        }
    }
    kinds::border::pierce(&mut shaper);
    kinds::head::look(&mut shaper);
    kinds::flange::look(&mut shaper);
    kinds::tabs::look(&mut shaper);
    shaper.cover();
    shaper.shown_through();
    shaper.job();
    kinds::core::fit(&mut shaper);
    kinds::contents::fit(&mut shaper);
    kinds::passes::answer(&mut shaper);
    clash::warn(&mut shaper);
    shaper.adhesives();
    shaper.solid.joints = joints::numbered(&shaper.solid, &shaper.joints);
    Shaped { solid: shaper.solid, known: shaper.known, budget: shaper.budget, diagnostics: shaper.faults }
}

/// The state of the walk.
struct Shaper<'a> {
    design: &'a Design,
    known: Known,
    budget: Budget,
    solid: Solid,
    faults: Diagnostics,
    /// Things that stand proud of a part or its edges, by part: borders and covers.
    raised: BTreeMap<ThingId, Vec<ThingId>>,
    joints: Vec<joints::Draft>,
    /// Edges that a joint has already.
    joined: BTreeSet<(PartId, usize, EdgeName)>,
    /// Edges of things that another part of the design stands on.
    met: BTreeSet<(ThingId, &'static str)>,
    /// Shells of which it is asked whether a girth gets through.
    asked: Vec<kinds::passes::Asked>,
    /// Shells that stand on an edge, by whose edge it is and whether it is the top one: name and where it is written.
    stood: BTreeMap<(ThingId, bool), (String, Span)>,
    /// Caps that were built, by the shell they close.
    caps_of: BTreeMap<ThingId, Vec<ThingId>>,
    /// Bands that were built, and the walls they lie on.
    bands: Vec<(PartId, PartId)>,
    /// The room that a raised thing takes on a part's wall, once it is known.
    feet: BTreeMap<(ThingId, ThingId), Vec<kinds::border::rows::Foot>>,
    /// Things that this version does not build, and what rests on them.
    gone: BTreeSet<ThingId>,
    /// Covers, built when all they may lie on stands.
    covers: Vec<(ThingId, kinds::cover::Spec)>,
    /// Cores that wait for the caps of what they stand in.
    cores: Vec<kinds::core::Waiting>,
    /// How many parts are measured so far, and the area of their sheets, mm².
    sheet: (usize, f64),
}

/// So many parts may be as large as they like: one that fits no sheet is told of by itself. All parts of a prop that
/// has more of them are of no more sheet than [`MOST_SHEET`].
const FREE_PARTS: usize = 1_000;
/// Mm²: a thousand square metres, some half a tonne of 5 mm foam and more than a hall holds. A loop that runs on through
/// ever larger shells ends here, before any of them is laid flat.
const MOST_SHEET: f64 = 1e9;

impl Shaper<'_> {
    /// Whether there are so many parts of so much sheet that the geometry of the rest is not begun; says so.
    fn is_too_much(&mut self, step: Step) -> bool {
        let Step::Thing(id) = step else { return false };
        let parts = &self.solid.parts;
        self.sheet.1 += parts[self.sheet.0..].iter().map(measure::sheet).sum::<f64>();
        self.sheet.0 = parts.len();
        let much = self.sheet.0 > FREE_PARTS && self.sheet.1 > MOST_SHEET;
        if much {
            self.faults.push(errors::too_much_sheet(self.design.thing(id).head, FREE_PARTS, MOST_SHEET));
        }
        much
    }

    /// What stands on or lies over what, so that no thing has to look through all others.
    fn index(&mut self) {
        for thing in &self.design.things {
            let Some(target) = &thing.target else { continue };
            let stands = target.relation == Relation::On
                && matches!(thing.kind, Kind::Cap | Kind::Shell | Kind::Dome | Kind::Plate);
            for anchor in &target.anchors {
                if goods::is_raised(thing) {
                    self.raised.entry(anchor.thing).or_default().push(thing.id);
                }
                if let (true, Some(edge)) = (stands, anchor.edge) {
                    self.met.insert((anchor.thing, edge));
                }
            }
        }
    }

    fn step(&mut self, step: Step) {
        match step {
            Step::Let(id) => {
                let l = self.design.value(id);
                if l.params > 0 || l.poisoned {
                    return;
                }
                match self.reckon(&l.value) {
                    Ok(v) => self.known.lets[id.index()] = Some(v),
                    Err(stop) => self.stopped(stop),
                }
            }
            Step::Require(i) => {
                let r = &self.design.requires[i];
                if r.late || r.poisoned {
                    return;
                }
                let view = View { design: self.design, known: &self.known, solid: &self.solid, place: None };
                if let Err(stop) = eval::hold(self.design, &view, &mut self.budget, r) {
                    self.stopped(stop);
                }
            }
            Step::Thing(id) => {
                let thing = self.design.thing(id);
                if thing.poisoned {
                    if thing.kind == Kind::Lacing {
                        kinds::lacing::foretell(self, id);
                    }
                    return;
                }
                if !thing.built {
                    self.solid.job.unbuilt.push(thing.name.to_string());
                    return;
                }
                if let Err(stop) = self.thing(id, thing.kind) {
                    self.left_out(id, stop);
                }
            }
        }
    }

    /// A thing, or a part of one, is left out.
    fn left_out(&mut self, id: ThingId, mut stop: Stop) {
        let thing = self.design.thing(id);
        match &mut stop {
            Stop::Fault(d) if d.code == Code::NotBuiltYet => {
                // Of all that is told together a maker asks whose it is.
                let name = thing.name.to_string();
                if !d.message.contains(&name) {
                    d.message = format!("{name}: {}", d.message);
                }
                self.solid.job.unbuilt.push(thing.name.to_string());
                self.gone.insert(id);
            }
            // What it rests on was left out, and nothing was said of this one.
            Stop::Skip => {
                let on = thing.target.iter().flat_map(|t| &t.anchors).find(|a| self.gone.contains(&a.thing));
                if let Some(root) = on {
                    let name = thing.name.to_string();
                    let root = self.design.thing(root.thing).name.to_string();
                    self.faults.push(Diagnostic::rests_on_unbuilt(&name, &root, thing.head));
                    self.solid.job.unbuilt.push(name);
                    self.gone.insert(id);
                }
            }
            Stop::Fault(_) => {}
        }
        self.stopped(stop);
    }

    /// Covers what was built.
    fn cover(&mut self) {
        for (id, spec) in self.covers.clone() {
            kinds::cover::build(self, id, &spec);
        }
    }

    fn thing(&mut self, id: ThingId, kind: Kind) -> Result<(), Stop> {
        kinds::sloped::may_stand(self, self.design.thing(id))?;
        match kind {
            Kind::Stock => {
                let sheet = self.read(id, None, goods::stock)?;
                self.known.sheets.insert(id, sheet);
                Ok(())
            }
            Kind::Supply => {
                let supply = self.read(id, None, goods::supply)?;
                self.known.supplies.insert(id, supply);
                Ok(())
            }
            Kind::Shell => kinds::shell::lower(self, id),
            Kind::Cap => kinds::cap::lower(self, id),
            Kind::Plate => kinds::plate::lower(self, id),
            Kind::Opening => kinds::opening::lower(self, id),
            Kind::Cover => kinds::cover::lower(self, id),
            Kind::Lacing => kinds::lacing::lower(self, id),
            Kind::Attachment => kinds::attachment::lower(self, id),
            Kind::Strap => kinds::strap::lower(self, id),
            Kind::Border => kinds::border::lower(self, id),
            Kind::Contents => kinds::contents::lower(self, id),
            Kind::Core => kinds::core::lower(self, id),
            Kind::Keel => kinds::keel::lower(self, id),
            Kind::Finish => kinds::finish::lower(self, id),
            Kind::Edge => kinds::edge::lower(self, id),
            Kind::Mark => kinds::mark::lower(self, id),
            Kind::Articulation => kinds::articulation::lower(self, id),
            // Read when the job is put together, by what uses them, or (`hang`, `limit`) by the plan.
            Kind::Prop | Kind::Wearer | Kind::Cutter | Kind::Paper | Kind::Hang | Kind::Limit => Ok(()),
            Kind::Dome | Kind::Closure => {
                self.solid.job.unbuilt.push(self.design.thing(id).name.to_string());
                Ok(())
            }
        }
    }

    fn stopped(&mut self, stop: Stop) {
        if let Stop::Fault(d) = stop {
            self.faults.push(*d);
        }
    }

    /// Reads the fields of a thing; `place` is where `bottom`, `middle` and `top` lie for it.
    fn read<T>(
        &mut self,
        id: ThingId,
        place: Option<[f64; 3]>,
        f: impl FnOnce(&mut Fields<'_>) -> Result<T, Stop>,
    ) -> Result<T, Stop> {
        let view = View { design: self.design, known: &self.known, solid: &self.solid, place };
        f(&mut Fields::new(self.design, id, &view, &mut self.budget))
    }

    fn reckon(&mut self, e: &crate::design::Expr) -> Answer {
        let view = View { design: self.design, known: &self.known, solid: &self.solid, place: None };
        Reckoner::new(self.design, &view, &mut self.budget).value(e)
    }

    /// The id of the next part.
    fn next_part(&self) -> PartId {
        PartId::new(self.solid.parts.len())
    }

    /// The whole thickness of the sheets that `of` names.
    fn thickness(&self, of: &[Anchor], span: Span) -> Result<f64, Stop> {
        if of.is_empty() {
            // What nothing is said of, `check` has reported.
            return Err(Stop::Skip);
        }
        let mut sum = 0.0;
        for anchor in of {
            let sheet = self.known.sheets.get(&anchor.thing).ok_or(Stop::Skip)?;
            if sheet.stock.sort == "rod" {
                return Err(errors::rod_for_sheet(&sheet.stock.name, span).into());
            }
            sum += sheet.stock.thick;
        }
        Ok(sum)
    }

    /// The layers of those sheets from depth `inner` outwards, bent to the mean inside radius `bend`.
    fn layers(&mut self, of: &[Anchor], inner: f64, bend: f64) -> Vec<Layer> {
        let mut at = inner;
        let mut layers = Vec::with_capacity(of.len());
        for anchor in of {
            let Some(stock) = self.stock(anchor.thing) else { continue };
            let Some(sheet) = self.known.sheets.get(&anchor.thing) else { continue };
            let share = sheet.neutral.at(bend + at - inner);
            let thick = sheet.stock.thick;
            layers.push(Layer { stock, inner: at, neutral: at + share * thick, outer: at + thick, square: false });
            at += thick;
        }
        layers
    }

    /// The index in `Solid::stocks` of a stock, which is used from now on. `None` when it has a fault of its own.
    fn stock(&mut self, id: ThingId) -> Option<usize> {
        let sheet = self.known.sheets.get_mut(&id)?;
        Some(*sheet.index.get_or_insert_with(|| {
            self.solid.stocks.push(sheet.stock.clone());
            self.solid.stocks.len() - 1
        }))
    }

    /// The index in [`crate::fitted::Fitted::supplies`] of a supply, which is used from now on. `None` when it has a
    /// fault of its own.
    fn supplied(&mut self, id: ThingId) -> Option<usize> {
        let supplies = &mut self.solid.fitted.supplies;
        if let Some(i) = supplies.iter().position(|s| s.thing == id) {
            return Some(i);
        }
        supplies.push(self.known.supplies.get(&id)?.clone());
        Some(supplies.len() - 1)
    }

    /// What seams are glued with: no field names it, so it is every adhesive that the maker's own files describe (one
    /// of the built-in shelf is read only when something names it).
    fn adhesives(&mut self) {
        if self.joints.is_empty() {
            return;
        }
        let glue: Vec<ThingId> =
            self.known.supplies.iter().filter(|(_, s)| s.sort == "adhesive").map(|(id, _)| *id).collect();
        for id in glue {
            self.supplied(id);
        }
    }

    /// What lies over the spots of a part on their face, and so shows them too: its covers and linings, walls of the
    /// same surface (all of it or some of its strips) or plates, beyond that face; and the bands that a spot lies on
    /// wholly. One that is only partly under a band is drawn on the wall alone.
    fn shown_through(&mut self) {
        let parts = &self.solid.parts;
        for spot in &mut self.solid.fitted.spots {
            let below = &parts[spot.part.index()];
            let (Some(first), Some(last)) = (below.layers.first(), below.layers.last()) else { continue };
            let covers = self.raised.get(&below.thing).into_iter().flatten();
            let covers: Vec<ThingId> =
                covers.copied().filter(|id| self.design.thing(*id).kind == Kind::Cover).collect();
            for part in parts.iter().filter(|p| covers.contains(&p.thing) && p.place == below.place) {
                let beyond = part.layers.iter().all(|l| match spot.face {
                    Face::Inside => l.outer <= first.inner + 1e-9,
                    Face::Middle | Face::Outside => l.inner >= last.outer - 1e-9,
                });
                let strip = match (&part.body, &below.body, spot.on) {
                    (Body::Wall(over), Body::Wall(wall), Ground::Wall { strip, .. }) if beyond => {
                        over.strips.iter().position(|s| measure::alike(s, &wall.strips[strip]))
                    }
                    // Depths of plates are counted each from its own show face.
                    (Body::Plate(over), Body::Plate(plate), Ground::Plate { .. }) => {
                        let way = (plate.show - plate.hidden).signum();
                        let off = |z: f64| way * (z - plate.show);
                        let (low, high) = (off(over.show).min(off(over.hidden)), off(over.show).max(off(over.hidden)));
                        let thick = (plate.show - plate.hidden).abs();
                        let lies = match spot.face {
                            Face::Inside => high <= 1e-9 - thick,
                            Face::Middle | Face::Outside => low >= -1e-9,
                        };
                        lies.then_some(0)
                    }
                    _ => None,
                };
                spot.over.extend(strip.map(|strip| Over { part: part.id, strip, rule: None }));
            }
            let bands = self.raised.get(&below.thing).into_iter().flatten();
            let bands: BTreeSet<ThingId> =
                bands.copied().filter(|id| self.design.thing(*id).kind == Kind::Border).collect();
            for part in parts.iter().filter(|p| bands.contains(&p.thing) && p.place == below.place) {
                spot.over.extend(kinds::border::shows(part, spot));
            }
        }
    }

    /// Prop, wearer, cutter, paper and settings.
    fn job(&mut self) {
        let design = self.design;
        self.solid.job.settings = goods::settings(design, &self.known.lets);
        self.solid.job.wearer = design.wearer.map(|w| design.thing(w).name.to_string());
        let Some(prop) = design.prop else { return };
        self.solid.job.name = design.thing(prop).name.to_string();
        self.solid.job.one_of_several = design.wearers.len() > 1;
        match self.read(prop, None, |f| f.text("title")) {
            Ok(title) => self.solid.job.title = title,
            Err(stop) => self.stopped(stop),
        }
        match self.read(prop, None, |f| f.maybe_word("show")) {
            Ok(word) => self.solid.job.show = goods::show(word),
            Err(stop) => self.stopped(stop),
        }
        if let Some(id) = goods::named(design, prop, "cutter", Kind::Cutter) {
            match self.read(id, None, goods::cutter) {
                Ok(c) => self.solid.job.cutter = Some(c),
                Err(stop) => self.stopped(stop),
            }
        }
        if let Some(id) = goods::named(design, prop, "paper", Kind::Paper) {
            match self.read(id, None, goods::paper) {
                Ok(p) => self.solid.job.paper = Some(p),
                Err(stop) => self.stopped(stop),
            }
        }
    }
}
