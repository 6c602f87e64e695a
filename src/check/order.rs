//! The third turn: from the graph of uses to an order of reckoning, or to the loop in it.
//!
//! Strongly connected parts after Tarjan (1972, "Depth-first search and linear graph algorithms", SIAM J. Comput.
//! 1(2)), with a stack of its own: linear, and deep chains cannot overflow. Nodes are taken in the order written
//! and each part comes out after all it uses, so the order is the written one wherever uses leave it free.

use std::collections::{BTreeMap, BTreeSet, HashMap, VecDeque};

use super::errors::{self, Link};
use super::state::{Checker, On, Place, Use, What};
use crate::design::{Design, Kind, Node, Step};
use crate::diag::Diagnostic;
use crate::ids::{LetId, ThingId};
use crate::span::Span;

/// A node of the graph.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Item {
    On(On),
    Require(usize),
    /// What lies on a part, as far as what lies on or goes over that needs to know it: see [`rank`].
    Raised(ThingId, u8),
    /// The edges of a part, cut as they are asked for: what stands there, and what measures it, comes after.
    Shaped(ThingId),
    /// What the whole prop weighs: it rests on all contents.
    Whole,
}

/// The things that shape edges, by their part, and what those read.
#[derive(Default)]
struct Shaped {
    of: BTreeMap<ThingId, Vec<ThingId>>,
    before: BTreeMap<ThingId, BTreeSet<On>>,
}

/// What of a thing that lies on a part is read by what lies on or goes over it.
const READ: [&str; 6] = ["of", "level", "count", "wide", "rise", "face"];

/// What a thing that lies on a part lies under: of covers (0) bands, bindings and wraps (1), of those and of bands
/// cords and beads (2).
fn rank(design: &Design, id: ThingId) -> Option<u8> {
    match design.thing(id).kind {
        Kind::Cover => Some(0),
        Kind::Border => Some(match word(design, id, "as") {
            Some("cord" | "piping" | "beads") => 2,
            _ => 1,
        }),
        _ => None,
    }
}

/// The ranks of what a thing lies on or goes over: its size rests on theirs.
fn counts(design: &Design, id: ThingId) -> u8 {
    match design.thing(id).kind {
        Kind::Border => rank(design, id).unwrap_or(0),
        Kind::Cap if word(design, id, "fit") == Some("overlay") => 3,
        _ => 0,
    }
}

fn word(design: &Design, id: ThingId, field: &str) -> Option<&'static str> {
    match design.field(id, field)?.node {
        Node::Word(w) => Some(w),
        _ => None,
    }
}

/// The graph: nodes in the order written, and for each the nodes it uses with the place of the use.
struct Graph {
    items: Vec<Item>,
    edges: Vec<Vec<(usize, Span)>>,
    index: HashMap<Item, usize>,
}

impl Checker<'_> {
    /// Orders lets, things and requirements; reports loops; spreads poison and what is not built.
    pub fn settle_order(&mut self) {
        let graph = self.graph();
        let parts = components(&graph.edges);
        let mut looped = vec![false; graph.items.len()];
        for part in &parts {
            let one = part[0];
            if part.len() > 1 || graph.edges[one].iter().any(|(to, _)| *to == one) {
                self.report_loop(&graph, part);
                part.iter().for_each(|n| looped[*n] = true);
            }
        }
        // The order within a loop does not matter: all of it is poisoned.
        let mut poisoned = looped;
        let mut unbuilt: Vec<Option<ThingId>> = vec![None; graph.items.len()];
        let mut late = vec![false; graph.items.len()];
        let mut measures: Vec<BTreeSet<&'static str>> = vec![BTreeSet::new(); graph.items.len()];
        for n in parts.into_iter().flatten() {
            let item = graph.items[n];
            // What is wrong with one thing on a part is no fault of the others there.
            if !matches!(item, Item::Raised(..) | Item::Shaped(_)) {
                poisoned[n] |= graph.edges[n].iter().any(|(to, _)| poisoned[*to]);
            }
            // A field may be read although its thing is not built; its thing may not be.
            let rests_on = graph.edges[n].iter().find_map(|(to, _)| unbuilt[*to]);
            late[n] = self.is_late(item, &graph, &late);
            measures[n] = self.measures(n, &graph, &measures);
            match item {
                Item::On(On::Let(id)) => {
                    let faulty = self.fold_let(id, poisoned[n]);
                    poisoned[n] |= faulty;
                    unbuilt[n] = rests_on;
                    self.design.lets[id.index()].poisoned = poisoned[n];
                    self.design.order.push(Step::Let(id));
                }
                Item::On(On::Field(id, _)) => {
                    poisoned[n] |= self.design.thing(id).poisoned;
                    unbuilt[n] = rests_on;
                }
                // Contents that are not built are named beside the mass.
                Item::Whole => {}
                Item::On(On::Thing(id)) => {
                    poisoned[n] |= self.too_late(id, &graph, &late);
                    self.design.things[id.index()].measures = measures[n].iter().copied().collect();
                    let faulty = self.fold_thing(id, poisoned[n]);
                    poisoned[n] |= faulty;
                    self.design.things[id.index()].poisoned = poisoned[n];
                    let own = self.unbuilt.get(&id).is_some_and(|u| u.whole);
                    self.design.things[id.index()].built = !own && rests_on.is_none();
                    if own {
                        unbuilt[n] = Some(id);
                    } else if let Some(root) = rests_on {
                        unbuilt[n] = Some(root);
                    }
                    self.tell_unbuilt(id, rests_on.filter(|_| !own), poisoned[n]);
                    self.design.order.push(Step::Thing(id));
                }
                Item::Raised(..) | Item::Shaped(_) => {}
                Item::Require(i) => {
                    self.design.requires[i].late |= late[n];
                    let faulty = self.fold_require(i, poisoned[n]);
                    poisoned[n] |= faulty;
                    if let Some(root) = rests_on {
                        if !poisoned[n] {
                            let name = self.design.thing(root).name.to_string();
                            self.report(errors::require_rests_on_unbuilt(self.design.requires[i].span, &name));
                        }
                        poisoned[n] = true;
                    }
                    self.design.requires[i].poisoned = poisoned[n];
                    self.design.order.push(Step::Require(i));
                }
            }
        }
    }

    /// Whether a value or field reads what is known only after the plan, itself or through others.
    fn is_late(&self, item: Item, graph: &Graph, late: &[bool]) -> bool {
        self.all_uses(item).iter().any(|u| matches!(u.what, What::Late | What::Whole) || passes_on(u, graph, late))
    }

    /// The wearers' measures that a node reads, itself or through values and fields.
    fn measures(&self, n: usize, graph: &Graph, known: &[BTreeSet<&'static str>]) -> BTreeSet<&'static str> {
        let mut out = BTreeSet::new();
        for (to, _) in &graph.edges[n] {
            match graph.items[*to] {
                Item::On(On::Field(id, name)) if self.design.thing(id).kind == Kind::Wearer => {
                    out.insert(name);
                }
                Item::On(On::Let(_) | On::Field(..)) => out.extend(known[*to].iter().copied()),
                Item::On(On::Thing(_)) | Item::Require(_) | Item::Whole | Item::Raised(..) | Item::Shaped(_) => {}
            }
        }
        out
    }

    /// The stage rule where it is broken through the field of another thing (what stands in the text itself is told
    /// where it was typed): the mass of contents may read what is made, and so must not shape or place anything.
    fn too_late(&mut self, id: ThingId, graph: &Graph, late: &[bool]) -> bool {
        let kind = self.design.thing(id).kind;
        let may =
            |u: &Use| matches!(kind, Kind::Hang | Kind::Limit) || (kind == Kind::Contents && u.within == Some("mass"));
        let told = |u: &Use| matches!(u.on, On::Let(l) if self.lets[l.index()].info.made.is_some());
        let found = self.thing_uses[id.index()].iter().find(|u| !may(u) && !told(u) && passes_on(u, graph, late));
        let Some(span) = found.map(|u| u.span) else { return false };
        self.report(errors::too_late(span, None, span));
        true
    }

    fn tell_unbuilt(&mut self, id: ThingId, rests_on: Option<ThingId>, poisoned: bool) {
        if poisoned {
            return;
        }
        let thing = self.design.thing(id);
        let (name, head) = (thing.name.to_string(), thing.head);
        if let Some(u) = self.unbuilt.get(&id).cloned() {
            self.report(errors::not_built(&name, &u));
        } else if let Some(root) = rests_on {
            let root = self.design.thing(root).name.to_string();
            self.report(Diagnostic::rests_on_unbuilt(&name, &root, head));
        }
    }

    fn graph(&self) -> Graph {
        let mut items: Vec<(Place, Item)> = Vec::new();
        for (i, raw) in self.lets.iter().enumerate() {
            items.push((raw.place, Item::On(On::Let(LetId::new(i)))));
        }
        for (i, raw) in self.things.iter().enumerate() {
            items.push((raw.place, Item::On(On::Thing(ThingId::new(i)))));
        }
        for (i, raw) in self.requires.iter().enumerate() {
            items.push((raw.place, Item::Require(i)));
        }
        items.sort();
        let mut items: Vec<Item> = items.into_iter().map(|(_, item)| item).collect();
        let mut index: HashMap<Item, usize> = items.iter().enumerate().map(|(n, i)| (*i, n)).collect();
        let mut edges: Vec<Vec<(usize, Span)>> = Vec::with_capacity(items.len());
        let mut raised: BTreeMap<(ThingId, u8), Vec<ThingId>> = BTreeMap::new();
        for thing in &self.design.things {
            let Some(rank) = rank(&self.design, thing.id) else { continue };
            for anchor in thing.target.iter().flat_map(|t| &t.anchors) {
                raised.entry((anchor.thing, rank)).or_default().push(thing.id);
            }
        }
        let mut shaped = Shaped::default();
        for thing in self.design.things.iter().filter(|t| t.kind == Kind::Edge) {
            for anchor in thing.target.iter().flat_map(|t| &t.anchors) {
                shaped.of.entry(anchor.thing).or_default().push(thing.id);
            }
        }
        for (host, edges) in &shaped.of {
            shaped.before.insert(*host, self.read_by(edges));
        }
        let mut n = 0;
        // Fields come in at the end as they are met.
        while n < items.len() {
            let uses = self.uses_of(items[n], &raised, &shaped);
            let mut out = Vec::with_capacity(uses.len());
            for (item, span) in uses {
                let to = *index.entry(item).or_insert_with(|| {
                    items.push(item);
                    items.len() - 1
                });
                out.push((to, span));
            }
            edges.push(out);
            n += 1;
        }
        Graph { items, edges, index }
    }

    fn all_uses(&self, item: Item) -> Vec<&Use> {
        match item {
            Item::On(On::Let(id)) => self.let_uses[id.index()].iter().collect(),
            Item::On(On::Thing(id)) => self.thing_uses[id.index()].iter().collect(),
            Item::On(On::Field(id, name)) => {
                self.thing_uses[id.index()].iter().filter(|u| u.within == Some(name)).collect()
            }
            Item::Require(i) => self.require_uses[i].iter().collect(),
            Item::Whole | Item::Raised(..) | Item::Shaped(_) => Vec::new(),
        }
    }

    /// Everything that these edges read, themselves among it: it measures the part as it was.
    fn read_by(&self, edges: &[ThingId]) -> BTreeSet<On> {
        let mut found: BTreeSet<On> = BTreeSet::new();
        let mut todo: Vec<On> = edges.iter().map(|id| On::Thing(*id)).collect();
        while let Some(on) = todo.pop() {
            if found.insert(on) {
                todo.extend(self.all_uses(Item::On(on)).into_iter().map(|u| u.on));
            }
        }
        found
    }

    fn uses_of(
        &self,
        item: Item,
        raised: &BTreeMap<(ThingId, u8), Vec<ThingId>>,
        shaped: &Shaped,
    ) -> Vec<(Item, Span)> {
        if let Item::Shaped(host) = item {
            let edges = shaped.of.get(&host).into_iter().flatten();
            return edges.map(|id| (Item::On(On::Thing(*id)), self.design.thing(*id).head)).collect();
        }
        if let Item::Raised(host, rank) = item {
            let there = raised.get(&(host, rank)).into_iter().flatten();
            let fields = there.flat_map(|id| READ.iter().map(move |name| (*id, *name)));
            let written = fields.filter(|(id, name)| self.design.thing(*id).field(name).is_some());
            return written.map(|(id, name)| (Item::On(On::Field(id, name)), self.design.thing(id).head)).collect();
        }
        if item == Item::Whole {
            let contents = self.design.things.iter().filter(|t| t.kind == Kind::Contents);
            return contents.map(|t| (Item::On(On::Thing(t.id)), t.head)).collect();
        }
        let all = self.all_uses(item);
        let mut out: Vec<(Item, Span)> = all.iter().map(|u| (Item::On(u.on), u.span)).collect();
        out.extend(all.iter().find(|u| u.what == What::Whole).map(|u| (Item::Whole, u.span)));
        if !shaped.of.is_empty() {
            // What an edge is reckoned from cannot wait for it.
            let waits = |host: &ThingId| match item {
                Item::On(on) => shaped.before.get(host).is_some_and(|read| !read.contains(&on)),
                _ => shaped.of.contains_key(host),
            };
            let read = all.iter().filter_map(|u| match (u.what, u.on) {
                (What::Fact, On::Thing(host)) => Some((host, u.span)),
                _ => None,
            });
            let stands = match item {
                Item::On(On::Thing(id)) => {
                    let thing = self.design.thing(id);
                    thing.target.iter().flat_map(|t| &t.anchors).map(|a| (a.thing, thing.head)).collect()
                }
                _ => Vec::new(),
            };
            let hosts = read.chain(stands).filter(|(host, _)| waits(host));
            out.extend(hosts.map(|(host, span)| (Item::Shaped(host), span)));
        }
        if let Item::On(On::Thing(id)) = item {
            let thing = self.design.thing(id);
            for anchor in thing.target.iter().flat_map(|t| &t.anchors) {
                let ranks = (0..counts(&self.design, id)).filter(|r| raised.contains_key(&(anchor.thing, *r)));
                out.extend(ranks.map(|r| (Item::Raised(anchor.thing, r), thing.head)));
            }
        }
        out
    }

    fn name_of(&self, item: Item) -> String {
        match item {
            Item::On(On::Let(id)) => self.design.value(id).name.value.clone(),
            Item::On(On::Thing(id)) => self.design.thing(id).name.to_string(),
            Item::On(On::Field(id, name)) => format!("{}.{name}", self.design.thing(id).name),
            Item::Raised(host, _) => format!("what lies on {}", self.design.thing(host).name),
            Item::Shaped(host) => format!("the shaped edges of {}", self.design.thing(host).name),
            Item::Require(_) => "this requirement".to_owned(),
            Item::Whole => "the whole mass".to_owned(),
        }
    }

    /// Shows one loop of a strongly connected part: the shortest through its first node.
    fn report_loop(&mut self, graph: &Graph, part: &[usize]) {
        let start = part.iter().copied().min().unwrap_or(part[0]);
        let inside: BTreeMap<usize, ()> = part.iter().map(|n| (*n, ())).collect();
        // Breadth first from `start` until an edge comes back to it.
        let mut came: BTreeMap<usize, (usize, Span)> = BTreeMap::new();
        let mut todo = VecDeque::from([start]);
        let mut closing = None;
        'search: while let Some(n) = todo.pop_front() {
            for (to, span) in &graph.edges[n] {
                if *to == start {
                    closing = Some((n, *span));
                    break 'search;
                }
                if inside.contains_key(to) && !came.contains_key(to) {
                    came.insert(*to, (n, *span));
                    todo.push_back(*to);
                }
            }
        }
        let Some((mut n, span)) = closing else { return };
        let mut links = vec![Link { from: self.name_of(graph.items[n]), to: self.name_of(graph.items[start]), span }];
        while let Some((before, span)) = came.get(&n).copied() {
            if n == start {
                break;
            }
            links.push(Link { from: self.name_of(graph.items[before]), to: self.name_of(graph.items[n]), span });
            n = before;
        }
        links.reverse();
        let function = part.iter().find_map(|n| match graph.items[*n] {
            Item::On(On::Let(id)) if self.design.value(id).params > 0 => Some(id),
            _ => None,
        });
        match function {
            Some(id) => {
                let name = self.design.value(id).name.clone();
                self.report(errors::calls_itself(&name, &links));
            }
            None => self.report(errors::goes_round(&links)),
        }
    }
}

/// Whether a use reads a value or a field that is late.
fn passes_on(u: &Use, graph: &Graph, late: &[bool]) -> bool {
    let through = matches!(u.on, On::Let(_) | On::Field(..));
    through && graph.index.get(&Item::On(u.on)).is_some_and(|n| late[*n])
}

/// The strongly connected parts, each after all that it uses.
fn components(edges: &[Vec<(usize, Span)>]) -> Vec<Vec<usize>> {
    const NEW: usize = usize::MAX;
    let n = edges.len();
    let (mut number, mut low, mut on_stack) = (vec![NEW; n], vec![0; n], vec![false; n]);
    let (mut next, mut stack, mut out) = (0, Vec::new(), Vec::new());
    let mut walk: Vec<(usize, usize)> = Vec::new();
    for root in 0..n {
        if number[root] != NEW {
            continue;
        }
        walk.push((root, 0));
        while let Some((v, e)) = walk.pop() {
            if e == 0 {
                number[v] = next;
                low[v] = next;
                next += 1;
                stack.push(v);
                on_stack[v] = true;
            }
            match edges[v].get(e) {
                Some(&(w, _)) => {
                    walk.push((v, e + 1));
                    if number[w] == NEW {
                        walk.push((w, 0));
                    } else if on_stack[w] {
                        low[v] = low[v].min(number[w]);
                    }
                }
                None => {
                    if low[v] == number[v] {
                        let mut part = Vec::new();
                        while let Some(w) = stack.pop() {
                            on_stack[w] = false;
                            part.push(w);
                            if w == v {
                                break;
                            }
                        }
                        out.push(part);
                    }
                    if let Some(&(parent, _)) = walk.last() {
                        low[parent] = low[parent].min(low[v]);
                    }
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::FileId;

    fn edges(list: &[&[usize]]) -> Vec<Vec<(usize, Span)>> {
        let span = Span::new(FileId::new(0), 0, 0);
        list.iter().map(|to| to.iter().map(|t| (*t, span)).collect()).collect()
    }

    #[test]
    fn the_order_is_the_written_one_where_uses_leave_it_free() {
        assert_eq!(components(&edges(&[&[], &[], &[]])), vec![vec![0], vec![1], vec![2]]);
        assert_eq!(components(&edges(&[&[2], &[], &[]])), vec![vec![2], vec![0], vec![1]]);
    }

    #[test]
    fn a_loop_is_one_part_and_what_uses_it_comes_after() {
        let parts = components(&edges(&[&[1], &[2], &[1], &[]]));
        assert_eq!(parts, vec![vec![2, 1], vec![0], vec![3]]);
    }

    #[test]
    fn a_chain_of_a_hundred_thousand_is_walked_without_recursion() {
        let n = 100_000;
        let span = Span::new(FileId::new(0), 0, 0);
        let chain: Vec<Vec<(usize, Span)>> =
            (0..n).map(|i| if i + 1 < n { vec![(i + 1, span)] } else { vec![] }).collect();
        let parts = components(&chain);
        assert_eq!((parts.len(), parts[0][0]), (n, n - 1));
    }
}
