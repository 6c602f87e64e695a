//! Random pieces on random sheets: no panic, and every layout, searched or in one pass, is one that the audit lets be
//! cut: pieces apart, within the sheet, along the grain, each once.
#![no_main]

use tasset::arrange::{Effort, Moment, Options, arrange};
use tasset::audit::audit;
use tasset::flat::Flat;
use tasset::geom::Vec2;
use tasset::geom::path::{Motion, Path, Seg};
use tasset::ids::{PanelId, PartId, PieceId, ThingId};
use tasset::piece::{Piece, Pieces, Run};
use tasset::solid::{Goods, Grain, Solid, Stock};
use tasset::span::Sources;
use tasset::verdict::Check;

/// What is left of the input, a byte at a time; nothing more is noughts.
struct Bytes<'a>(&'a [u8]);

impl Bytes<'_> {
    fn next(&mut self) -> u8 {
        let Some((first, rest)) = self.0.split_first() else { return 0 };
        self.0 = rest;
        *first
    }

    fn length(&mut self, least: f64, most: f64) -> f64 {
        let at = f64::from(u16::from_le_bytes([self.next(), self.next()])) / 65535.0;
        // As a piece is written: to a thousandth.
        ((least + (most - least) * at) * 1000.0).round() / 1000.0
    }
}

/// Outlines of every sort that pieces have: oblongs, hooks, triangles, discs, and oblongs with a round end.
fn outline(bytes: &mut Bytes<'_>) -> Path {
    let sort = bytes.next() % 5;
    let (a, b) = (bytes.length(2.0, 300.0), bytes.length(2.0, 300.0));
    let p = Vec2::new;
    match sort {
        0 => Path::polygon(&[p(0.0, 0.0), p(a, 0.0), p(a, b), p(0.0, b)]),
        1 => {
            let (c, d) = (0.25 * a, 0.5 * b);
            Path::polygon(&[p(0.0, 0.0), p(a, 0.0), p(a, d), p(c, d), p(c, b), p(0.0, b)])
        }
        2 => Path::polygon(&[p(0.0, 0.0), p(a, 0.0), p(bytes.length(-200.0, 200.0), b)]),
        3 => {
            let (l, r) = (p(-0.5 * a, 0.0), p(0.5 * a, 0.0));
            Path { segs: vec![Seg { a: r, b: l, bulge: 1.0 }, Seg { a: l, b: r, bulge: 1.0 }] }
        }
        _ => {
            let mut path = Path::polygon(&[p(0.0, 0.0), p(a, 0.0), p(a, b), p(0.0, b)]);
            path.segs[1].bulge = f64::from(bytes.next()) / 255.0;
            path
        }
    }
}

/// A few thousand steps: the search's beginning, within a second.
fn brief(moment: &Moment<'_>) -> bool {
    moment.steps < 3_000
}

libfuzzer_sys::fuzz_target!(|data: &[u8]| {
    let mut bytes = Bytes(data);
    let mut sources = Sources::default();
    let file = sources.add("nest", " ");
    let origin = tasset::span::Span::new(file, 0, 1);
    let grain = [Grain::None, Grain::Along, Grain::Either][usize::from(bytes.next() % 3)];
    let size = if bytes.next() % 4 == 0 {
        Goods::Roll(bytes.length(30.0, 1500.0))
    } else {
        Goods::Sheet(Vec2::new(bytes.length(30.0, 900.0), bytes.length(30.0, 900.0)))
    };
    let offcuts = (0..bytes.next() % 3).map(|_| Vec2::new(bytes.length(12.0, 300.0), bytes.length(12.0, 300.0)));
    let stock = Stock {
        thing: ThingId::new(0),
        name: "felt".to_owned(),
        sort: "cloth",
        thick: 2.0,
        offcuts: offcuts.collect(),
        size,
        area_mass: None,
        grain,
        reversible: true,
        tightest: 6.0,
        tightest_warm: 3.0,
        leave: Default::default(),
        have: f64::from(bytes.next() % 3),
        price: None,
        cautions: Vec::new(),
    };
    let mut pieces = Pieces::default();
    for index in 0..usize::from(bytes.next() % 12) {
        let path = outline(&mut bytes);
        let up = if bytes.next() % 2 == 0 { Vec2::Y } else { Vec2::new(0.6, 0.8) };
        pieces.pieces.push(Piece {
            id: PieceId::new(index),
            panel: PanelId::new(index),
            part: PartId::new(index),
            origin,
            name: format!("piece {}", index + 1),
            number: index + 1,
            hand: None,
            stock: 0,
            area: path.area(),
            contour: vec![Run::of(None, path)],
            holes: Vec::new(),
            marks: Vec::new(),
            places: Vec::new(),
            traces: Vec::new(),
            letters: Vec::new(),
            edges: Vec::new(),
            grain: (grain != Grain::None).then_some(up),
            up,
            offsets: Vec::new(),
            mass: None,
            from_flat: Motion::STAY,
            split: None,
            formed: None,
        });
    }
    let solid = Solid { stocks: vec![stock], ..Solid::default() };
    let efforts = [Options::QUICK, Options { effort: Effort::Normal, watch: Some(brief) }];
    for options in efforts {
        let (layout, found) = arrange(&solid, &pieces, options);
        // A piece too large for its sheet is told and left out.
        let mut all = pieces.clone();
        if found.has_errors() {
            let laid: Vec<PieceId> = layout.sheets.iter().flat_map(|s| &s.placed).map(|p| p.piece).collect();
            if laid.len() != all.pieces.len() {
                all.pieces.retain(|p| laid.contains(&p.id));
                // Pieces are found by their place: without those before them the audit would look at others.
                if all.pieces.iter().enumerate().any(|(i, p)| p.id != PieceId::new(i)) {
                    continue;
                }
            }
        }
        let verdict = audit(&solid, &Flat::default(), &all, Some(&layout));
        let of_layout = [Check::Overlap, Check::Margin, Check::Grain, Check::Placing];
        let wrong: Vec<_> = verdict.breaches.iter().filter(|b| of_layout.contains(&b.check)).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
    }
});
