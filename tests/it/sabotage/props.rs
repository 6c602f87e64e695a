//! Props that between them have every sort of wall, rim, seam, cap, hole and stock.

const STOCK: &str = "stock foam { as: foam, thick: 5 mm, size: 1200 mm by 1500 mm, density: 95 kg/m3 }\n";

/// Name and text.
pub const ALL: [(&str, &str); 39] = [
    (
        "leaning",
        "shell hood { at 0 mm: oval(across: 120 mm by 100 mm), at 90 mm: circle(across: 92 mm, tilt: toward(front: 18 deg)), at 170 mm: circle(across: 66 mm, shift: toward(front: 22 mm)) }",
    ),
    (
        "marked",
        "shell body { at 0 mm: circle(across: 120 mm), at 90 mm: circle(across: 180 mm), at 150 mm: circle(across: 90 mm) }
         opening port on body { shape: circle(across: 30 mm), level: 60 mm, facing: left }
         mark ring on body { as: groove, level: 60 mm }
         mark zig on body { path: [front by 20 mm, left by 120 mm, back by 40 mm] }
         mark lath on body { as: score, level: 40 mm, face: inside }",
    ),
    (
        "marked flats",
        "shell body { at 0 mm: circle(across: 110 mm), at 90 mm: circle(across: 140 mm) }
         cap base on body.bottom { }
         mark lip on base { as: groove, margin: 12 mm }
         mark bar on base { path: [-15 mm by -5 mm, 20 mm by 10 mm], face: inside }
         plate fin on body { of: [foam, foam], facing: left, pair: mirrored, bevel: 25 deg, shape: outline(points: [0 mm by 0 mm, 60 mm by 0 mm, arc(end: 50 mm by 100 mm, rise: 9 mm), 0 mm by 80 mm]) }
         mark ribs on fin { as: score, count: 2 }
         mark edge on fin { margin: 6 mm }",
    ),
    (
        "fin",
        "shell body { at 0 mm: circle(across: 180 mm), at 160 mm: circle(across: 120 mm) }
         plate fin on body { of: [foam, foam], facing: left, pair: mirrored, bevel: 25 deg, shape: outline(points: [0 mm by 0 mm, 60 mm by 0 mm, arc(end: 50 mm by 100 mm, rise: 9 mm), 0 mm by 80 mm]) }
         opening eye on fin { shape: circle(across: 20 mm), level: 40 mm }
         plate tail { bent: 70 mm, measured: inside, shape: oval(across: 70 mm by 90 mm) }",
    ),
    (
        // What is fitted to plates, flat, bevelled and one of a pair, and bent.
        "studs",
        "plate wing { pair: mirrored, bevel: 25 deg, shape: outline(points: [0 mm by 0 mm, 60 mm by 0 mm, arc(end: 50 mm by 100 mm, rise: 9 mm), 0 mm by 80 mm]) }
         plate tail { bent: 70 mm, measured: inside, shape: oval(across: 70 mm by 90 mm) }
         supply clip { as: hook, wide: 12 mm, long: 18 mm, thick: 3 mm, mass: 4 g }
         attachment hanger on wing { as: hook, of: clip, backing: 20 mm by 22 mm, level: 68 mm, shift: toward(left: 4 mm), spin: 10 deg }
         attachment tag on tail { as: hook, of: clip, backing: 18 mm, level: 55 mm, shift: toward(right: 12 mm) }
         attachment stud on tail { as: magnet, of: disc, count: 2, spread: along, ends: 20 mm, shift: toward(left: 15 mm) }
         supply disc { as: magnet, across: 8 mm, thick: 2 mm, mass: 1 g }",
    ),
    (
        "blade",
        "plate blade { of: [foam, foam], bevel: diamond(wide: 16 mm), shape: outline(points: [-24 mm by 0 mm, 24 mm by 0 mm, 24 mm by 150 mm, 0 mm by 190 mm, -24 mm by 150 mm]) }
         plate point { bevel: diamond(wide: 12 mm), shape: oval(across: 60 mm by 80 mm) }
         plate wedge { bent: 90 mm, bevel: wedge(wide: 11 mm), shape: rectangle(across: 60 mm by 70 mm, corner: 15 mm) }
         opening slot on wedge { shape: rectangle(across: 14 mm by 20 mm) }",
    ),
    (
        "cover",
        "shell body { at 0 mm: circle(across: 110 mm), at 90 mm: circle(across: 150 mm) }
         cap base on body.bottom { fit: flush }
         opening port on body { shape: circle(across: 18 mm), level: 45 mm, facing: left }
         opening drain on base { shape: circle(across: 8 mm) }
         cover hide on [body, base] { of: twill, turn: 12 mm, seam: lap(overlap: 9 mm, facing: right) }",
    ),
    (
        // Heads of cloth over a covered wall, under hoops that are laced to each other.
        "drum",
        "shell body { at 0 mm to 100 mm: circle(across: 120 mm) }
         cap low on body.bottom { of: twill, fit: flush, turn: 18 mm }
         cap high on body.top { of: twill, fit: flush, turn: 14 mm }
         cover hide on body { of: twill, turn: 0 mm }
         border low_hoop on body.bottom { as: band, of: foam, wide: 20 mm }
         border high_hoop on body.top { as: band, of: [foam2, foam2], wide: 20 mm }
         lacing cord on [low_hoop.bottom, high_hoop.top] { as: zigzag, of: cord3, holes: 4 mm, count: 8, margin: 10 mm }",
    ),
    (
        "lining",
        "shell body { measured: inside, pair: mirrored, at 0 mm: circle(across: 70 mm), at 120 mm: oval(across: 100 mm by 80 mm), seam: open(facing: left, gap: 25 mm) }
         cover soft on body { of: twill, face: inside, turn: 9 mm }",
    ),

    (
        "tip",
        "shell body { at 0 mm: circle(across: 150 mm), at 130 mm: point, seam: lap(overlap: 14 mm) }",
    ),
    (
        // As a mock-up of card: tabs in a bore, down a side, behind the next ring, along the seams.
        "mocked",
        "shell body { at 0 mm: circle(across: 120 mm), at 80 mm: circle(across: 170 mm), at 150 mm: circle(across: 130 mm) }
         cap base on body.bottom { fit: inset }
         cap lid on body.top { fit: overlay, rim: 28 mm, gap: 1 mm, loose: yes }",
    ),
    (
        "mocked oval",
        "shell body { pair: mirrored, at 0 mm: circle(across: 130 mm), at 120 mm: oval(across: 190 mm by 120 mm) }
         cap base on body.bottom { fit: inset, sunk: 3 mm }
         cap lid on body.top { fit: flush }",
    ),
    (
        // Tabs behind the wall that a rim meets, and on a cap.
        "mocked feet",
        "shell body { at 0 mm: circle(across: 100 mm), at 90 mm: oval(across: 120 mm by 100 mm) }
         shell neck on body.top { at 0 mm: oval(across: 120 mm by 100 mm), at 60 mm: circle(across: 80 mm), spin: 180 deg }
         cap roof on neck.top { fit: flush }
         shell knob on roof { at 0 mm to 30 mm: circle(across: 44 mm) }",
    ),
    (
        "flange",
        "shell body { at 0 mm: circle(across: 150 mm), at 60 mm: circle(across: 130 mm) }
         cap roof on body.top { fit: flush }
         shell knob on roof { pair: mirrored, at 0 mm: oval(across: 60 mm by 50 mm), at 50 mm: circle(across: 70 mm), foot: flange(wide: 12 mm), spin: 30 deg }",
    ),
    (
        // Tabs turned out at the foot of what stands on a cap, and by itself.
        "turned out",
        "stock board { as: card, thick: 0.8 mm, size: 700 mm by 1000 mm, density: 560 g/m2 }
         shell body { of: board, at 0 mm: circle(across: 150 mm), at 60 mm: circle(across: 130 mm), foot: tabs }
         cap roof on body.top { of: board, fit: flush }
         shell knob on roof { of: board, pair: mirrored, at 0 mm: oval(across: 60 mm by 50 mm), at 50 mm: circle(across: 70 mm), foot: tabs(wide: 12 mm), spin: 30 deg }
         shell crest beside body { of: board, facing: left, gap: 10 mm, at 0 mm to 30 mm: outline(points: [60 mm by -40 mm, 60 mm by 40 mm, 0 mm by 10 mm, -60 mm by 40 mm, -60 mm by -40 mm], corner: 20 mm), foot: tabs(wide: 9 mm) }",
    ),
    (
        "unlike",
        "shell body { at 0 mm: circle(across: 130 mm), at 120 mm: oval(across: 190 mm by 120 mm) }
         cap base on body.bottom { fit: inset, sunk: 3 mm }
         cap lid on body.top { fit: flush }
         opening port on body { shape: rectangle(across: 24 mm by 16 mm), level: 60 mm, facing: left + 20 deg }
         opening drain on base { shape: rectangle(across: 20 mm by 12 mm, corner: 2 mm) }",
    ),
    (
        "rings",
        "shell body { at 0 mm: circle(across: 120 mm), at 80 mm: circle(across: 170 mm), at 150 mm: circle(across: 130 mm) }
         cap base on body.bottom { fit: inset }
         opening port on body { shape: circle(across: 18 mm), level: 115 mm, facing: left }",
    ),
    (
        "cone",
        "shell body { at 0 mm: circle(across: 160 mm), at 110 mm: point }
         cap base on body.bottom { fit: inset }
         opening port on body { shape: circle(across: 14 mm), level: 30 mm, facing: left }",
    ),
    (
        "lap",
        "shell body { at 0 mm: circle(across: 110 mm), at 140 mm: circle(across: 150 mm), seam: lap(overlap: 14 mm) }
         cap base on body.bottom { fit: inset }",
    ),
    (
        "tabs",
        "shell body { at 0 mm: circle(across: 110 mm), at 140 mm: circle(across: 150 mm), seam: tabs(wide: 10 mm) }
         opening port on body { shape: circle(across: 18 mm), level: 70 mm, facing: left }",
    ),
    ("backed", "shell body { at 0 mm: circle(across: 120 mm), at 140 mm: circle(across: 160 mm), seam: backed(wide: 25 mm) }"),
    (
        "gap",
        "shell body { measured: inside, at 0 mm: circle(across: 70 mm), at 190 mm: circle(across: 95 mm), seam: open(facing: left, gap: 30 mm) }
         opening port on body { shape: circle(across: 18 mm), level: 90 mm, facing: right }",
    ),
    (
        "angle",
        "shell body { measured: inside, at 0 mm: oval(across: 120 mm by 90 mm), at 130 mm: circle(across: 140 mm), seam: open(facing: right, gap: 100 deg) }",
    ),
    (
        "laced",
        "shell body { of: [foam, foam], pair: mirrored, measured: inside, at 0 mm: circle(across: 70 mm), at 190 mm: oval(across: 110 mm by 90 mm), seam: open(facing: right, gap: 30 mm) }
         lacing side on body.seam { of: cord3, holes: 6 mm, count: 4, margin: 12 mm, ends: 26 mm }",
    ),
    (
        "whipped",
        "shell body { at 0 mm: circle(across: 110 mm), at 60 mm: circle(across: 140 mm), at 130 mm: circle(across: 110 mm) }
         lacing low on body.bottom { as: running, of: cord2, holes: 4 mm, count: 7 }
         lacing side on body.seam { of: cord2, holes: 4 mm, count: 4, ends: 30 mm }",
    ),
    (
        "share",
        "shell body { at 0 mm: circle(across: 120 mm), at 110 mm: circle(across: 90 mm), seam: open(facing: back, gap: 20 %) }",
    ),
    (
        "overlay",
        "shell body { at 0 mm to 130 mm: oval(across: 180 mm by 120 mm) }
         cap base on body.bottom { fit: flush }
         cap lid on body.top { fit: overlay, rim: 28 mm, gap: 1 mm, loose: yes }
         opening slot on lid { shape: rectangle(across: 30 mm by 8 mm) }",
    ),
    (
        "layers",
        "shell body { of: [foam, foam], measured: inside, at 0 mm: circle(across: 130 mm), at 120 mm: circle(across: 180 mm) }
         cap base on body.bottom { of: [foam, foam], fit: inset }
         opening port on body { shape: circle(across: 18 mm), level: 60 mm, facing: left }",
    ),
    (
        "pair",
        "shell body { pair: mirrored, at 0 mm: circle(across: 110 mm), at 120 mm: oval(across: 170 mm by 120 mm) }
         cap base on body.bottom { fit: inset }
         opening port on body { shape: rectangle(across: 24 mm by 16 mm), level: 60 mm, facing: left + 20 deg }",
    ),
    (
        "halves",
        "stock thin { as: foam, thick: 5 mm, size: 460 mm by 600 mm, density: 95 kg/m3 }
         shell body { of: thin, at 0 mm: circle(across: 230 mm), at 190 mm: circle(across: 250 mm) }
         opening port on body { shape: circle(across: 18 mm), level: 90 mm, facing: left }",
    ),
    (
        "band",
        "shell body { at 0 mm: circle(across: 130 mm), at 120 mm: oval(across: 190 mm by 120 mm) }
         opening port on body { shape: circle(across: 12 mm), level: 100 mm, facing: left + 20 deg }
         border collar on body.top { as: band, of: foam, wide: 45 mm, rise: 6 mm, seam: butt(facing: right) }",
    ),
    (
        "sloped",
        "shell body { at 0 mm: circle(across: 130 mm, tilt: toward(left: 8 deg)), at 120 mm: circle(across: 100 mm, tilt: toward(front: 20 deg), shift: toward(front: 15 mm)), rim: level }
         opening port on body { shape: circle(across: 14 mm), level: 60 mm, facing: left }",
    ),
    (
        "elbow",
        "shell body { at bottom to top: circle(across: 90 mm), spine: [bend(angle: 70 deg, radius: 110 mm, facing: left, joints: 2)], seam: butt(facing: back, stagger: 40 deg) }
         supply clip { as: hook, wide: 12 mm, long: 18 mm, thick: 3 mm, mass: 4 g }
         attachment tag on body { as: hook, of: clip, level: middle, facing: front, backing: 16 mm }",
    ),
    (
        "flipped",
        "shell body { at bottom: circle(across: 90 mm), at top: circle(across: 60 mm), spine: [bend(angle: 50 deg, long: 240 mm, joints: 2, style: flipped)] }",
    ),
    (
        "scallops",
        "shell body { pair: mirrored, at 0 mm: circle(across: 130 mm), at 120 mm: oval(across: 190 mm by 120 mm) }
         border hem on body.top { as: scallops, of: foam, wide: 45 mm, every: 40 mm, rise: 14 mm, seam: butt(facing: right) }",
    ),
    (
        // Glued straps of sheet.
        "lames",
        "stock strapping { as: leather, thick: 2 mm, size: 300 mm by 600 mm, density: 860 kg/m3 }
         shell lame[1] { measured: inside, at 0 mm to 60 mm: circle(across: 150 mm), seam: open(facing: right, gap: 160 deg) }
         for i in 2 to 3 { shell lame[i] over lame[i - 1] { measured: inside, gap: 1 mm, level: 20 mm } }
         articulation lift on lame { of: strapping, angle: 40 deg, overlap: 40 mm }",
    ),
    (
        "formed",
        "stock soft { as: foam, thick: 4 mm, size: 800 mm by 1200 mm, density: 95 kg/m3, stretch: 10 %, neutral: 45 % }
         shell cuff { of: soft, made: formed, seam: lap(overlap: 14 mm), at 0 mm: circle(around: 260 mm), at 50 mm: circle(around: 242 mm), at 90 mm: circle(around: 255 mm), at 150 mm: circle(around: 300 mm) }",
    ),
    (
        "grain",
        "stock felt { as: cloth, thick: 2 mm, wide: 900 mm, density: 400 g/m2, grain: along }
         shell body { of: felt, at 0 mm: circle(across: 130 mm), at 90 mm: circle(across: 160 mm) }",
    ),
    (
        "fitted",
        "stock thin { as: foam, thick: 2 mm, size: 300 mm by 600 mm, density: 95 kg/m3 }
         supply dee { as: ring, wide: 20 mm, thick: 3 mm, mass: 9 g }
         supply tack { as: rivet, across: 8 mm, long: 14 mm, mass: 1 g }
         supply disc { as: magnet, across: 8 mm, thick: 2 mm, mass: 1 g }
         shell body { of: [foam, foam], pair: mirrored, measured: inside, at 0 mm: circle(across: 130 mm), at 120 mm: circle(across: 180 mm) }
         cap lid on body.top { of: [foam], fit: flush }
         attachment seam_ring on body { as: ring, of: dee, tab: thin, level: 80 mm, facing: back + 2 deg, backing: 36 mm by 50 mm }
         attachment eye on body { as: ring, of: dee, tab: thin, level: 60 mm, facing: left + 20 deg }
         attachment tacks on body { as: rivet, of: tack, level: 25 mm, count: 3, facing: back }
         attachment catch on lid { as: magnet, of: disc, count: 2, margin: 12 mm }",
    ),
];

pub fn text(name: &str) -> String {
    let (_, parts) = ALL.iter().find(|p| p.0 == name).expect("a prop");
    format!("prop p {{ title: \"Sabotage\", of: foam }}\n{STOCK}{parts}\n")
}
