//! Masses against sums worked by hand, and the table of cautions against the schema's.

use super::weigh::{Load, entries, sum};
use super::*;
use crate::fitted::{GoodsOf, Lump, Run, Supply};
use crate::geom::Vec3;
use crate::ids::FileId;
use crate::ledger::What;
use crate::num::{TAU, cos, sin};
use crate::samples;
use crate::schema::{self, Type};
use crate::span::Span;
use crate::units::{Dim, Quantity};

fn nowhere() -> Span {
    Span::new(FileId::new(0), 0, 0)
}

fn cord() -> Supply {
    let density = Quantity::new(18e-3, Dim::LINE_DENSITY);
    Supply { thick: Some(6.0), density, ..samples::supply("cord", "cord") }
}

/// A ring of cord of radius 50 about a point, `up` high.
fn ring(at: Vec3, pair: bool) -> Run {
    let line = (0..=360).map(|i| f64::from(i) / 360.0 * TAU).map(|a| at + Vec3::new(cos(a), sin(a), 0.0) * 50.0);
    Run {
        thing: ThingId::new(1),
        name: "piping".to_owned(),
        origin: nowhere(),
        goods: GoodsOf::Supply(0),
        rows: 2,
        line: line.collect(),
        along: TAU * 50.0,
        spare: 30.0,
        pair,
    }
}

fn weighed(fitted: crate::fitted::Fitted) -> Vec<Entry> {
    let solid = Solid { fitted, ..Solid::default() };
    let (design, flat, pieces) = (Design::default(), Flat::default(), Pieces::default());
    entries(&Given { design: &design, solid: &solid, flat: &flat, pieces: &pieces, layout: None, middles: true })
}

#[test]
fn cords_weigh_their_cut_length_where_they_lie() {
    let at = Vec3::new(10.0, 20.0, 30.0);
    let found = weighed(crate::fitted::Fitted {
        supplies: vec![cord()],
        runs: vec![ring(at, false), ring(at, true)],
        ..Default::default()
    });
    // Two rows of 314.16 + 30 mm at 18 g/m.
    let mass = 2.0 * (TAU * 50.0 + 30.0) * 18e-3;
    assert!((found[0].mass.unwrap() - mass).abs() < 1e-9 && found[0].count == 2);
    assert!((found[0].centre - at).length() < 1e-9);
    assert!((found[1].mass.unwrap() - 2.0 * mass).abs() < 1e-9 && found[1].count == 4);
    assert!((found[1].centre - Vec3::new(10.0, 0.0, 30.0)).length() < 1e-9);
}

#[test]
fn what_is_carried_is_in_the_full_sum_only_and_what_is_not_weighed_is_named() {
    let lump = |name: &str, mass: Option<f64>, x: f64, contents: bool| Lump {
        thing: ThingId::new(2),
        name: name.to_owned(),
        origin: nowhere(),
        supply: None,
        mass,
        at: vec![Vec3::new(x, 0.0, 0.0), Vec3::new(x, 0.0, 10.0)],
        spacing: None,
        pair: false,
        contents,
    };
    let found = weighed(crate::fitted::Fitted {
        lumps: vec![
            lump("rings", Some(9.0), 0.0, false),
            lump("bell", None, 5.0, false),
            lump("lamp", Some(41.0), 100.0, true),
        ],
        ..Default::default()
    });
    let unbuilt = ["roof (not built yet)".to_owned()];
    let (empty, full) = (sum(&found, &unbuilt, Load::Empty), sum(&found, &unbuilt, Load::Full));
    assert_eq!((empty.mass, full.mass), (18.0, 100.0));
    assert_eq!(empty.missing, ["bell", "roof (not built yet)"]);
    assert!((empty.centre.unwrap() - Vec3::new(0.0, 0.0, 5.0)).length() < 1e-12);
    assert!((full.centre.unwrap() - Vec3::new(82.0, 0.0, 5.0)).length() < 1e-12);
    assert!(found.iter().filter(|e| e.what == What::Contents).count() == 1);
}

#[test]
fn every_caution_of_the_table_has_its_words() {
    let field = schema::kind("limit").and_then(|k| k.field("without")).expect("limits have it");
    let Type::List(Type::Word(words)) = field.ty else { panic!("a list of words") };
    assert!(words.len() >= 16);
    for word in words.iter() {
        assert!(cautions::ROWS.iter().any(|r| r.0 == word.name), "{} has no row", word.name);
    }
}
