//! The measures of a body: their names, and how each is taken with a tape or two books and a rule. Rank 4.
//!
//! The bounds are there to catch a slipped decimal or a wrong unit, wide on either side of any body from a small
//! child up (from memory, no source). The examples are plausible adult figures, nobody's in particular.

/// One measure: `PART_around`, `PART_across`, `PART_deep`, `PART_long`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    pub name: &'static str,
    /// How it is taken.
    pub how: &'static str,
    /// Least and most that can be meant, mm.
    pub least: f64,
    pub most: f64,
    pub example: &'static str,
}

macro_rules! measures {
    ($($name:literal $least:literal to $most:literal $example:literal $how:literal;)+) => {
        /// Every measure a wearer may give besides height, mass and age, from head to foot.
        pub const MEASURES: &[Measure] = &[
            $(Measure { name: $name, how: $how, least: $least, most: $most, example: $example },)+
        ];
    };
}

measures! {
    "head_around" 300.0 to 800.0 "575 mm" "Round the head above the ears, over the brow and the widest place behind";
    "head_across" 90.0 to 260.0 "155 mm" "Across the head above the ears, side to side, between two books";
    "head_deep" 110.0 to 320.0 "200 mm" "From the brow to the back of the head, between two books";
    "head_long" 120.0 to 350.0 "230 mm" "From the chin to the crown, upright, between two books";
    "face_across" 70.0 to 220.0 "140 mm" "Across the face at the cheekbones";
    "face_long" 80.0 to 260.0 "185 mm" "From the chin to where the hair begins";
    "neck_around" 180.0 to 700.0 "37 cm" "Round the neck at its middle, a finger under the tape";
    "neck_across" 60.0 to 250.0 "12 cm" "Across the neck, side to side";
    "neck_long" 30.0 to 200.0 "9 cm" "From the collar bone to under the chin";
    "shoulder_around" 500.0 to 2000.0 "115 cm" "Round both shoulders and arms, arms hanging";
    "shoulder_across" 200.0 to 800.0 "46 cm" "Across both shoulders at their widest, arms hanging";
    "shoulder_long" 50.0 to 250.0 "13 cm" "From the side of the neck to the point of the shoulder";
    "chest_around" 350.0 to 2000.0 "98 cm" "Round the chest at its fullest, breathing quietly";
    "chest_across" 130.0 to 700.0 "31 cm" "Across the chest, side to side, at its fullest";
    "chest_deep" 90.0 to 600.0 "24 cm" "From the front of the chest to the back, at its fullest";
    "chest_long" 150.0 to 700.0 "38 cm" "From the pit of the neck to the waist, over the chest";
    "waist_around" 350.0 to 2000.0 "86 cm" "Round the waist where a belt would lie";
    "waist_across" 120.0 to 700.0 "30 cm" "Across the waist, side to side";
    "waist_deep" 80.0 to 600.0 "22 cm" "From the front of the waist to the back";
    "waist_long" 300.0 to 1500.0 "104 cm" "From the waist down the side to the floor";
    "hip_around" 350.0 to 2200.0 "102 cm" "Round the hips at their widest";
    "hip_across" 120.0 to 800.0 "35 cm" "Across the hips, side to side, at their widest";
    "hip_deep" 80.0 to 700.0 "25 cm" "From the front of the hips to the back";
    "hip_long" 80.0 to 400.0 "20 cm" "From the waist down the side to the widest place of the hips";
    "back_across" 180.0 to 700.0 "40 cm" "Across the back from arm to arm, arms hanging";
    "back_long" 180.0 to 800.0 "44 cm" "From the knob at the foot of the neck down the spine to the waist";
    "crossbody_around" 500.0 to 2500.0 "140 cm" "Round from one shoulder under the other arm and back to the shoulder";
    "crossbody_long" 500.0 to 2500.0 "129 cm" "From one shoulder over chest and back to the opposite hip, all the way round, where a sling would lie";
    "arm_around" 150.0 to 900.0 "40 cm" "Round the top of the arm, high in the armpit";
    "arm_long" 200.0 to 1000.0 "60 cm" "From the point of the shoulder to the wrist, arm a little bent";
    "upper_arm_around" 120.0 to 800.0 "33 cm" "Round the upper arm at its fullest, muscle tight";
    "upper_arm_across" 40.0 to 280.0 "105 mm" "Across the upper arm, side to side";
    "upper_arm_deep" 40.0 to 280.0 "110 mm" "From the front of the upper arm to the back";
    "upper_arm_long" 120.0 to 600.0 "36 cm" "From the point of the shoulder to the elbow";
    "elbow_around" 120.0 to 700.0 "29 cm" "Round the elbow, arm bent";
    "elbow_across" 40.0 to 250.0 "95 mm" "Across the elbow, arm bent";
    "forearm_around" 110.0 to 650.0 "28 cm" "Round the forearm at its fullest, fist closed";
    "forearm_across" 35.0 to 220.0 "95 mm" "Across the forearm at its fullest";
    "forearm_deep" 30.0 to 220.0 "85 mm" "Through the forearm at its fullest, the other way";
    "forearm_long" 100.0 to 500.0 "25 cm" "From the crease of the elbow to the wrist";
    "wrist_around" 90.0 to 400.0 "168 mm" "Round the wrist over the bone";
    "wrist_across" 30.0 to 140.0 "60 mm" "Across the wrist, thumb side to little finger side";
    "wrist_deep" 20.0 to 120.0 "42 mm" "Through the wrist, back of the hand to palm";
    "hand_around" 110.0 to 450.0 "20 cm" "Round the hand over the knuckles with the thumb laid in: what must go through a cuff";
    "hand_across" 40.0 to 180.0 "88 mm" "Across the palm at the knuckles, without the thumb";
    "hand_deep" 15.0 to 90.0 "30 mm" "Through the palm at the knuckles";
    "hand_long" 80.0 to 320.0 "19 cm" "From the crease of the wrist to the tip of the middle finger";
    "fist_around" 120.0 to 500.0 "28 cm" "Round the closed fist over the knuckles and thumb";
    "fist_across" 40.0 to 200.0 "90 mm" "Across the closed fist at the knuckles";
    "thigh_around" 200.0 to 1300.0 "58 cm" "Round the thigh at its fullest";
    "thigh_across" 60.0 to 450.0 "18 cm" "Across the thigh, side to side";
    "thigh_deep" 60.0 to 450.0 "19 cm" "From the front of the thigh to the back";
    "thigh_long" 120.0 to 700.0 "36 cm" "From the crease of the groin to the top of the knee";
    "knee_around" 150.0 to 900.0 "38 cm" "Round the knee over the cap, leg straight";
    "knee_across" 50.0 to 300.0 "12 cm" "Across the knee, side to side";
    "knee_deep" 50.0 to 320.0 "13 cm" "From the knee cap to the hollow behind";
    "knee_long" 150.0 to 800.0 "50 cm" "From the floor to the middle of the knee cap";
    "calf_around" 140.0 to 800.0 "38 cm" "Round the calf at its fullest, standing";
    "calf_across" 45.0 to 260.0 "115 mm" "Across the calf, side to side";
    "calf_deep" 45.0 to 280.0 "12 cm" "From the shin to the back of the calf";
    "calf_long" 150.0 to 700.0 "40 cm" "From the hollow of the knee to the ankle bone";
    "ankle_around" 100.0 to 500.0 "23 cm" "Round the leg just above the ankle bones";
    "ankle_across" 30.0 to 180.0 "72 mm" "Across the ankle bones";
    "ankle_long" 30.0 to 200.0 "8 cm" "From the floor to the ankle bone";
    "heel_around" 150.0 to 700.0 "33 cm" "From the instep round the point of the heel and back, foot pointed: what must go through a greave";
    "heel_across" 30.0 to 150.0 "66 mm" "Across the heel";
    "foot_around" 120.0 to 500.0 "25 cm" "Round the ball of the foot, standing";
    "foot_across" 50.0 to 200.0 "10 cm" "Across the ball of the foot, standing";
    "foot_long" 100.0 to 400.0 "265 mm" "From the heel to the tip of the longest toe, standing";
    "leg_long" 200.0 to 1300.0 "80 cm" "From the crotch to the floor, inside the leg";
    "arms_across" 400.0 to 2800.0 "175 cm" "From fingertip to fingertip, arms stretched sideways";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn measures_are_named_once_and_by_one_of_four_ways() {
        for (i, m) in MEASURES.iter().enumerate() {
            assert!(MEASURES[..i].iter().all(|n| n.name != m.name), "{} stands twice", m.name);
            let ways = ["_around", "_across", "_deep", "_long"];
            assert!(ways.iter().any(|w| m.name.ends_with(w)), "{} ends otherwise", m.name);
            assert!(0.0 < m.least && m.least < m.most, "{} has no room", m.name);
        }
    }

    #[test]
    fn surveyed_bodies_lie_within_the_bounds() {
        // Gordon et al., NATICK/TR-15/007, 2014: 5th percentile of women and 95th of men, mm.
        let surveyed = [
            ("head_around", 532.0, 601.0),
            ("head_across", 140.0, 163.0),
            ("head_deep", 178.0, 211.0),
            ("neck_around", 302.0, 443.0),
            ("chest_around", 824.0, 1207.0),
            ("waist_around", 710.0, 1131.0),
            ("hip_around", 901.0, 1149.0),
            ("upper_arm_around", 259.0, 418.0),
            ("forearm_around", 235.0, 348.0),
            ("wrist_around", 142.0, 191.0),
            ("hand_around", 173.0, 232.0),
            ("thigh_around", 527.0, 723.0),
            ("calf_around", 328.0, 443.0),
            ("ankle_around", 193.0, 254.0),
            ("foot_long", 226.0, 293.0),
            ("arms_across", 1529.0, 1957.0),
        ];
        for (name, low, high) in surveyed {
            let m = MEASURES.iter().find(|m| m.name == name).expect("a measure of that name");
            assert!(m.least < low && high < m.most, "{name} {low} to {high} is out of {} to {}", m.least, m.most);
        }
    }
}
