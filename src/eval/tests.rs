//! Reckoning of single expressions: arithmetic, dimensions, functions, limits.

use super::*;
use crate::design::{Bounds, Function, Let};
use crate::ids::FileId;
use crate::span::At;
use proptest::prelude::*;

struct Nothing;

impl Facts for Nothing {
    fn place(&self, _: Place, _: Span) -> Answer {
        Err(Stop::Skip)
    }
    fn fact(&self, _: &Anchor, _: Option<Face>, _: &'static str, _: Span) -> Answer {
        Err(Stop::Skip)
    }
    fn value(&self, _: LetId) -> Answer {
        Err(Stop::Skip)
    }
}

fn at(node: Node) -> Expr {
    Expr { node, span: Span::new(FileId::new(0), 0, 1) }
}

fn n(x: f64) -> Expr {
    at(Node::Quantity(Quantity::new(x, Dim::NONE).expect("finite")))
}

fn mm(x: f64) -> Expr {
    at(Node::Quantity(Quantity::new(x, Dim::LENGTH).expect("finite")))
}

fn op(op: Binary, left: Expr, right: Expr) -> Expr {
    at(Node::Binary { op, left: Box::new(left), right: Box::new(right) })
}

fn call(function: Function, arguments: Vec<Expr>) -> Expr {
    at(Node::Call { function, arguments })
}

fn run(e: &Expr) -> Answer {
    Reckoner::new(&Design::default(), &Nothing, &mut Budget::new()).value(e)
}

fn number(e: &Expr) -> f64 {
    run(e).expect("a value").number().expect("a number")
}

fn code(e: &Expr) -> &'static str {
    match run(e) {
        Err(Stop::Fault(d)) => d.code.name(),
        other => panic!("no fault: {other:?}"),
    }
}

#[test]
fn nearest_takes_halves_away_from_zero() {
    for (x, want) in [(12.5, 15.0), (-12.5, -15.0), (12.4, 10.0), (351.0, 350.0), (386.1, 385.0)] {
        assert_eq!(number(&call(Function::Nearest, vec![mm(x), mm(5.0)])), want, "{x}");
    }
}

#[test]
fn next_up_leaves_a_multiple_alone_even_in_the_last_bit() {
    let x = 0.1 + 0.2;
    assert!((number(&call(Function::NextUp, vec![n(x), n(0.1)])) - 0.3).abs() < 1e-12);
    assert_eq!(number(&call(Function::NextUp, vec![n(31.0), n(5.0)])), 35.0);
    assert_eq!(number(&call(Function::NextDown, vec![n(-31.0), n(5.0)])), -35.0);
}

#[test]
fn median_of_an_even_count_is_the_middle_of_the_two() {
    let list = at(Node::List(vec![mm(4.0), mm(1.0), mm(3.0), mm(2.0)]));
    assert_eq!(number(&call(Function::Median, vec![list])), 2.5);
    assert_eq!(number(&call(Function::Median, vec![mm(9.0), mm(1.0), mm(5.0)])), 5.0);
}

#[test]
fn sum_and_count_take_lists() {
    let list = || at(Node::List(vec![mm(4.0), mm(1.0)]));
    assert_eq!(number(&call(Function::Sum, vec![list()])), 5.0);
    assert_eq!(number(&call(Function::Count, vec![list()])), 2.0);
    assert_eq!(number(&call(Function::Count, vec![at(Node::List(vec![]))])), 0.0);
}

#[test]
fn comparison_forgives_the_last_bit() {
    let sum = op(Binary::Plus, n(0.1), n(0.2));
    assert_eq!(run(&op(Binary::Equal, sum.clone(), n(0.3))), Ok(Value::Bool(true)));
    assert_eq!(run(&op(Binary::Greater, sum.clone(), n(0.3))), Ok(Value::Bool(false)));
    assert_eq!(run(&op(Binary::AtMost, sum, n(0.3))), Ok(Value::Bool(true)));
}

#[test]
fn dimensions_follow_products_and_roots() {
    let area = op(Binary::Times, mm(3.0), mm(12.0));
    let root = call(Function::Sqrt, vec![area]);
    assert_eq!(run(&root).expect("value").quantity(), Quantity::new(6.0, Dim::LENGTH));
    let q = run(&op(Binary::Power, mm(2.0), n(3.0))).expect("value").quantity().expect("quantity");
    assert_eq!((q.value(), q.dim()), (8.0, Dim::VOLUME));
}

#[test]
fn faults_have_codes() {
    assert_eq!(code(&op(Binary::Over, mm(1.0), n(0.0))), "divides-by-zero");
    assert_eq!(code(&call(Function::Sqrt, vec![n(-1.0)])), "no-answer");
    assert_eq!(code(&op(Binary::Power, n(1e300), n(2.0))), "no-answer");
    assert_eq!(code(&op(Binary::Power, mm(2.0), n(0.3))), "no-answer");
    assert_eq!(code(&op(Binary::Plus, mm(2.0), n(0.3))), "mixed-units");
    assert_eq!(code(&call(Function::Nearest, vec![mm(2.0), mm(0.0)])), "no-answer");
    assert_eq!(code(&call(Function::Median, vec![at(Node::List(vec![]))])), "no-answer");
    assert_eq!(code(&call(Function::Clamp, vec![n(1.0), n(3.0), n(2.0)])), "no-answer");
    let list = Box::new(at(Node::List(vec![n(1.0)])));
    assert_eq!(code(&at(Node::Item { of: list, index: Box::new(n(2.0)) })), "no-answer");
}

#[test]
fn bounds_are_held_when_the_value_is_known() {
    let bounds = Bounds { name: "wide", low: 0.0, low_in: false, high: 10.0, whole: false };
    let bounded = |x| at(Node::Bounded { value: Box::new(mm(x)), bounds });
    assert_eq!(number(&bounded(10.0)), 10.0);
    assert_eq!(code(&bounded(0.0)), "out-of-range");
    assert_eq!(code(&bounded(10.1)), "out-of-range");
}

#[test]
fn dressed_grows_a_girth_by_two_pi_for_each_millimetre() {
    // Brief B8 (worked by hand): upper arm 372, sleeve 2, air 15 gives an inner radius of 76.2.
    let e = at(Node::Make { name: "dressed", parts: vec![("body", mm(372.0)), ("cloth", mm(2.0)), ("air", mm(15.0))] });
    assert!((number(&e) / crate::num::TAU - 76.2).abs() < 0.05);
    // Brief B7: tape 578, padding 10, wig 2: 653.4. Brief B2: forearm 282, sleeve 2, ease 10: 282 + 4 pi + 10.
    let e = at(Node::Make { name: "dressed", parts: vec![("body", mm(578.0)), ("pad", mm(10.0)), ("cloth", mm(2.0))] });
    assert!((number(&e) - 653.4).abs() < 0.05);
    let e =
        at(Node::Make { name: "dressed", parts: vec![("body", mm(282.0)), ("cloth", mm(2.0)), ("ease", mm(10.0))] });
    assert!((number(&e) - (292.0 + 4.0 * std::f64::consts::PI)).abs() < 1e-12);
}

#[test]
fn ease_may_be_a_share_of_the_body() {
    let worn = |ease: Expr| {
        at(Node::Make { name: "dressed", parts: vec![("body", mm(400.0)), ("air", mm(3.0)), ("ease", ease)] })
    };
    let over = 400.0 + 6.0 * std::f64::consts::PI;
    assert!((number(&worn(n(0.05))) - (over + 20.0)).abs() < 1e-12);
    // What stretches is made smaller than the body.
    assert!((number(&worn(n(-0.1))) - (over - 40.0)).abs() < 1e-12);
    assert!((number(&worn(n(0.5))) - (over + 200.0)).abs() < 1e-12);
    // A forgotten unit is no share.
    assert_eq!(code(&worn(n(10.0))), "out-of-range");
}

/// The closed form against a curve that is drawn and measured: the parallel of an ellipse at distance d, as a chain of
/// chords, is longer than the ellipse by 2 pi d.
#[test]
fn what_is_worn_over_an_oval_limb_is_as_long_as_its_parallel() {
    let (a, b, d) = (58.0, 41.0, 2.0 + 9.0 + 4.0);
    let place = |t: f64, off: f64| {
        let (s, c) = crate::num::sin_cos(t);
        let normal = crate::num::hypot(b * c, a * s);
        (a * c + off * b * c / normal, b * s + off * a * s / normal)
    };
    let long = |off: f64| -> f64 {
        let steps = 200_000;
        let at = |i: i32| place(std::f64::consts::TAU * f64::from(i) / f64::from(steps), off);
        (0..steps).map(|i| crate::num::hypot(at(i + 1).0 - at(i).0, at(i + 1).1 - at(i).1)).sum()
    };
    let parts = vec![("body", mm(long(0.0))), ("cloth", mm(2.0)), ("pad", mm(9.0)), ("air", mm(4.0))];
    assert!((number(&at(Node::Make { name: "dressed", parts })) - long(d)).abs() < 1e-5);
}

#[test]
fn and_does_not_reckon_what_it_need_not() {
    let no = at(Node::Bool(false));
    let bad = op(Binary::Over, n(1.0), n(0.0));
    let bad = op(Binary::Equal, bad, n(1.0));
    assert_eq!(run(&op(Binary::And, no, bad)), Ok(Value::Bool(false)));
}

#[test]
fn a_chain_of_a_thousand_operators_is_walked_without_recursion() {
    let mut e = n(0.0);
    for _ in 0..100_000 {
        e = op(Binary::Plus, e, n(1.0));
    }
    assert_eq!(number(&e), 100_000.0);
    // The tree's own drop walks it by recursion; the parser never makes one this deep.
    std::mem::forget(e);
}

/// `f0(x) = x + x`, `f1(x) = f0(x) + f0(x)` …: n functions take 2^n steps.
fn tower(levels: usize) -> (Design, Expr) {
    let mut design = Design::default();
    for i in 0..levels {
        let inner = || match i {
            0 => at(Node::Param(0)),
            _ => at(Node::Apply { function: LetId::new(i - 1), arguments: vec![at(Node::Param(0))] }),
        };
        design.lets.push(Let {
            name: At::new(format!("f{i}"), Span::new(FileId::new(0), 0, 1)),
            params: 1,
            value: op(Binary::Plus, inner(), inner()),
            setting: None,
            poisoned: false,
        });
    }
    let top = at(Node::Apply { function: LetId::new(levels - 1), arguments: vec![n(1.0)] });
    (design, top)
}

#[test]
fn reckoning_stops_after_a_million_steps_and_says_so_once() {
    let (design, top) = tower(40);
    let mut budget = Budget::new();
    let first = Reckoner::new(&design, &Nothing, &mut budget).value(&top);
    assert!(matches!(first, Err(Stop::Fault(d)) if d.code.name() == "too-much-reckoning"));
    assert_eq!(Reckoner::new(&design, &Nothing, &mut budget).value(&top), Err(Stop::Skip));
}

#[test]
fn functions_are_followed_a_bounded_way_down() {
    let mut design = Design::default();
    for i in 0..10_000 {
        let value = match i {
            0 => at(Node::Param(0)),
            _ => at(Node::Apply { function: LetId::new(i - 1), arguments: vec![at(Node::Param(0))] }),
        };
        let name = At::new(format!("f{i}"), Span::new(FileId::new(0), 0, 1));
        design.lets.push(Let { name, params: 1, value, setting: None, poisoned: false });
    }
    let top = at(Node::Apply { function: LetId::new(9_999), arguments: vec![n(1.0)] });
    let out = Reckoner::new(&design, &Nothing, &mut Budget::new()).value(&top);
    assert!(matches!(out, Err(Stop::Fault(d)) if d.code.name() == "calls-too-deep"));
}

proptest! {
    #[test]
    fn nearest_lies_within_half_a_step(x in -1e6f64..1e6, step in 0.01f64..100.0) {
        let y = number(&call(Function::Nearest, vec![mm(x), mm(step)]));
        prop_assert!((y - x).abs() <= step / 2.0 + 1e-6 * step + 1e-9 * x.abs());
    }

    #[test]
    fn sums_do_not_depend_on_the_order_of_two(a in -1e9f64..1e9, b in -1e9f64..1e9) {
        prop_assert_eq!(number(&op(Binary::Plus, mm(a), mm(b))), number(&op(Binary::Plus, mm(b), mm(a))));
    }
}
