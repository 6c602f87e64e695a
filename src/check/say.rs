//! Written values as text again, for repairs to paste.

use crate::ast::{Amount, Binary, Expr, Node, Step, Unary};
use crate::eval::say::number;

/// An expression as a maker would write it; long ones are cut short.
pub(super) fn expr(e: &Expr) -> String {
    let mut out = String::new();
    write(e, &mut out, 0);
    out
}

/// Past this many bytes or levels the rest is an ellipsis.
const LONG: usize = 80;
const DEEP: usize = 12;

fn write(e: &Expr, out: &mut String, depth: usize) {
    if out.len() > LONG || depth > DEEP {
        out.push('…');
        return;
    }
    match &e.node {
        Node::Amount(a) => out.push_str(&amount(a)),
        Node::Text(t) => {
            out.push('"');
            out.push_str(&crate::diag::shown(t));
            out.push('"');
        }
        Node::Call { name, parts } => {
            out.push_str(&name.value);
            out.push('(');
            for (i, p) in parts.iter().enumerate() {
                if i > 0 {
                    out.push_str(", ");
                }
                if let Some(n) = &p.name {
                    out.push_str(&n.value);
                    out.push_str(": ");
                }
                write(&p.value, out, depth + 1);
            }
            out.push(')');
        }
        Node::Ref { head, steps } => {
            out.push_str(&head.value);
            for s in steps {
                match s {
                    Step::Field(n) => {
                        out.push('.');
                        out.push_str(&n.value);
                    }
                    Step::Index(e) => {
                        out.push('[');
                        write(e, out, depth + 1);
                        out.push(']');
                    }
                }
            }
        }
        Node::List(items) => {
            out.push('[');
            for (i, item) in items.iter().enumerate() {
                if i > 0 {
                    out.push_str(", ");
                }
                write(item, out, depth + 1);
            }
            out.push(']');
        }
        Node::Group(inner) => {
            out.push('(');
            write(inner, out, depth + 1);
            out.push(')');
        }
        Node::Unary { op, value } => {
            out.push_str(if op.value == Unary::Minus { "-" } else { "not " });
            write(value, out, depth + 1);
        }
        Node::Binary { op, left, right } => {
            write(left, out, depth + 1);
            out.push_str(match op.value {
                Binary::Power => " ^ ",
                Binary::Times => " * ",
                Binary::Over => " / ",
                Binary::Plus => " + ",
                Binary::Minus => " - ",
                Binary::By => " by ",
                Binary::AtMost => " <= ",
                Binary::AtLeast => " >= ",
                Binary::Equal => " == ",
                Binary::NotEqual => " != ",
                Binary::Less => " < ",
                Binary::Greater => " > ",
                Binary::And => " and ",
                Binary::Or => " or ",
            });
            write(right, out, depth + 1);
        }
        Node::If { condition, then, otherwise } => {
            out.push_str("if ");
            write(condition, out, depth + 1);
            out.push_str(" then ");
            write(then, out, depth + 1);
            out.push_str(" else ");
            write(otherwise, out, depth + 1);
        }
        Node::Bad => out.push('…'),
    }
}

fn amount(a: &Amount) -> String {
    match a {
        Amount::Ratio(x, y) => format!("{}:{}", number(*x), number(*y)),
        Amount::Compound { large, small } => {
            format!("{} {} {} {}", number(large.0), large.1, number(small.0), small.1)
        }
        Amount::Plain { number: x, unit, per } => {
            let mut s = number(*x);
            if let Some(u) = unit {
                s = format!("{s} {}", u.value);
            }
            if let Some(p) = per {
                s = format!("{s} per {}", p.value);
            }
            s
        }
    }
}
