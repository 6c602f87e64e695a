//! Makes the drawing crate's output a file that strict readers take without a single fix, and the same bytes
//! everywhere: this module knows the crate's gaps, nothing else does. Works on the written text as pairs of group
//! code and value; changes no coordinate.
//!
//! What is repaired, each against the published DXF Reference:
//! - all editions: dates are one fixed day, the two GUIDs nil;
//! - R12: no subclass markers (group 100 came with R13), dimension styles without a handle under 5, vertices on their
//!   polyline's layer, and the units variable that many readers look for;
//! - R2000: table heads get handles, every record and entity its owner, both spaces their blocks, objects a root
//!   dictionary, layers their line weight; null pointers and empty values go; the handle seed passes them all.

use super::dxf::Version;
use super::style::{self, style};

/// One pair.
#[derive(Clone, Debug)]
struct Pair {
    code: i32,
    value: String,
}

fn pair(code: i32, value: impl Into<String>) -> Pair {
    Pair { code, value: value.into() }
}

/// A stretch of pairs that begins with a group 0.
type Record = Vec<Pair>;

/// Noon of 1 January 2000 as a Julian date: every drawing's date, since a clock would change its bytes.
const DATE: &str = "2451545.0";
const NIL: &str = "{00000000-0000-0000-0000-000000000000}";

/// The repaired text.
///
/// # Errors
/// When the crate's output is not what this module was written for; says what.
pub(super) fn repaired(text: &str, version: Version) -> Result<String, String> {
    let mut records = read(text)?;
    if let Some(header) = records.first_mut() {
        fix_header(header, version);
    }
    let records = match version {
        Version::R12 => r12(records),
        Version::R2000 => r2000(records)?,
    };
    let mut out = String::with_capacity(text.len() * 2);
    for p in records.iter().flatten() {
        out.push_str(&format!("{:>3}\r\n{}\r\n", p.code, p.value));
    }
    Ok(out)
}

fn read(text: &str) -> Result<Vec<Record>, String> {
    let mut records: Vec<Record> = Vec::new();
    let mut lines = text.lines();
    while let (Some(code), Some(value)) = (lines.next(), lines.next()) {
        let code = code.trim().parse().map_err(|_| format!("group code `{code}`"))?;
        let p = pair(code, value);
        match records.last_mut() {
            Some(record) if code != 0 => record.push(p),
            _ => records.push(vec![p]),
        }
    }
    Ok(records)
}

fn kind(record: &Record) -> &str {
    record.first().map_or("", |p| p.value.as_str())
}

fn value(record: &Record, code: i32) -> Option<&str> {
    record.iter().find(|p| p.code == code).map(|p| p.value.as_str())
}

fn fix_header(header: &mut Record, version: Version) {
    for i in 0..header.len().saturating_sub(1) {
        if header[i].code != 9 {
            continue;
        }
        let fixed = match header[i].value.as_str() {
            "$TDCREATE" | "$TDUCREATE" | "$TDUPDATE" | "$TDUUPDATE" => DATE,
            "$FINGERPRINTGUID" | "$VERSIONGUID" => NIL,
            _ => continue,
        };
        fixed.clone_into(&mut header[i + 1].value);
    }
    if version == Version::R12 {
        // 4 = millimetres, 1 = metric: readers of R12 take them though the edition had neither.
        header.extend([pair(9, "$INSUNITS"), pair(70, "4"), pair(9, "$MEASUREMENT"), pair(70, "1")]);
    }
}

fn r12(mut records: Vec<Record>) -> Vec<Record> {
    let mut layer = String::from("0");
    for record in &mut records {
        record.retain(|p| p.code != 100);
        match kind(record) {
            "DIMSTYLE" => record.retain(|p| p.code != 5),
            "POLYLINE" => value(record, 8).unwrap_or("0").clone_into(&mut layer),
            "VERTEX" => {
                for p in record.iter_mut().filter(|p| p.code == 8) {
                    p.value.clone_from(&layer);
                }
            }
            "SEQEND" => record.push(pair(8, layer.clone())),
            _ => {}
        }
    }
    records
}

/// New handles above all that the crate gave.
struct Handles(u64);

impl Handles {
    fn take(&mut self) -> String {
        self.0 += 1;
        format!("{:X}", self.0)
    }
}

fn r2000(records: Vec<Record>) -> Result<Vec<Record>, String> {
    let used = records
        .iter()
        .filter(|r| kind(r) != "SECTION")
        .filter_map(|r| value(r, 5))
        .filter_map(|h| u64::from_str_radix(h, 16).ok())
        .max()
        .unwrap_or(0);
    let mut handles = Handles(used);
    let space = |name: &str| {
        records
            .iter()
            .find(|r| kind(r) == "BLOCK_RECORD" && value(r, 2) == Some(name))
            .and_then(|r| value(r, 5))
            .map(str::to_owned)
            .ok_or_else(|| format!("no block record `{name}`"))
    };
    let (model, paper) = (space("*MODEL_SPACE")?, space("*PAPER_SPACE")?);
    let mut out: Vec<Record> = Vec::with_capacity(records.len() + 16);
    let mut section = String::new();
    let mut head = String::from("0");
    let mut head_at = 0;
    let mut count = 0;
    for mut record in records {
        match kind(&record) {
            "SECTION" => {
                value(&record, 2).unwrap_or("").clone_into(&mut section);
                if section == "ENTITIES" {
                    out.extend(blocks(&mut handles, &model, &paper));
                }
                let objects = section == "OBJECTS";
                out.push(record);
                if objects {
                    out.extend(dictionaries(&mut handles));
                }
            }
            "TABLE" => {
                head = handles.take();
                count = 0;
                record.splice(2..2, [pair(5, head.clone()), pair(330, "0")]);
                if value(&record, 2) == Some("DIMSTYLE") {
                    // The one table with a subclass of its own.
                    record.extend([pair(100, "AcDbDimStyleTable"), pair(71, "0")]);
                }
                head_at = out.len();
                out.push(record);
            }
            "ENDTAB" => {
                for p in out[head_at].iter_mut().filter(|p| p.code == 70) {
                    p.value = count.to_string();
                }
                out.push(record);
            }
            "ENDSEC" | "EOF" => out.push(record),
            _ => {
                count += 1;
                let owner = if section == "TABLES" { &head } else { &model };
                out.push(owned(record, owner)?);
            }
        }
    }
    let seed = handles.take();
    let header = out.first_mut().ok_or("an empty file")?;
    let at = header.iter().position(|p| p.value == "$HANDSEED").ok_or("no handle seed")?;
    header[at + 1].value = seed;
    Ok(out)
}

/// A record of a table or an entity with its owner, without null pointers and empty values.
fn owned(mut record: Record, owner: &str) -> Result<Record, String> {
    let sort = kind(&record).to_owned();
    let at = record.iter().position(|p| p.code == 5).ok_or_else(|| format!("a {sort} without a handle"))?;
    if sort == "DIMSTYLE" {
        record[at].code = 105;
    }
    record.insert(at + 1, pair(330, owner));
    record.retain(|p| match p.code {
        340..=347 | 390 => !matches!(p.value.trim(), "" | "0"),
        430 => !p.value.is_empty(),
        370 | 440 => p.value.trim() != "0",
        _ => true,
    });
    if sort == "LAYER"
        && let Some(s) = style::ALL.map(style).iter().find(|s| Some(s.layer) == value(&record, 2))
    {
        // Group 370: hundredths of a millimetre.
        record.push(pair(370, format!("{:.0}", s.width * 100.0)));
    }
    Ok(record)
}

/// The blocks of model and paper space: empty, since entities stand in their own section.
fn blocks(handles: &mut Handles, model: &str, paper: &str) -> Vec<Record> {
    let mut out = vec![vec![pair(0, "SECTION"), pair(2, "BLOCKS")]];
    for (name, record) in [("*MODEL_SPACE", model), ("*PAPER_SPACE", paper)] {
        let entity = |sort: &str, handle: String, class: &str| {
            let mut r = vec![pair(0, sort), pair(5, handle), pair(330, record), pair(100, "AcDbEntity")];
            if name == "*PAPER_SPACE" {
                r.push(pair(67, "1"));
            }
            r.extend([pair(8, "0"), pair(100, class)]);
            r
        };
        let mut begin = entity("BLOCK", handles.take(), "AcDbBlockBegin");
        begin.extend([pair(2, name), pair(70, "0"), pair(10, "0.0"), pair(20, "0.0"), pair(30, "0.0")]);
        begin.extend([pair(3, name), pair(1, "")]);
        out.push(begin);
        out.push(entity("ENDBLK", handles.take(), "AcDbBlockEnd"));
    }
    out.push(vec![pair(0, "ENDSEC")]);
    out
}

/// The root dictionary and the one it must hold.
fn dictionaries(handles: &mut Handles) -> Vec<Record> {
    let (root, group) = (handles.take(), handles.take());
    let dictionary = |handle: &str, owner: &str| {
        vec![pair(0, "DICTIONARY"), pair(5, handle), pair(330, owner), pair(100, "AcDbDictionary"), pair(281, "1")]
    };
    let mut first = dictionary(&root, "0");
    first.extend([pair(3, "ACAD_GROUP"), pair(350, group.clone())]);
    vec![first, dictionary(&group, &root)]
}
