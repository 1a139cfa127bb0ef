//! Mouths of holes, holes through fins, and castings too wide with what is left on them.

use super::*;

/// A cover with a gland: a hole from the right and its counterbore, whose face is `said`.
fn cover(said: &str, over: &str) -> String {
    format!(
        "part = \"Cover\"\nunit = \"mm\"\nmaterial = \"gunmetal\"\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"flange\"\nkind = \"section\"\ndiameter = \"30\"\nlength = \"6\"\n\
         [[feature]]\nname = \"boss\"\nkind = \"section\"\ndiameter = \"16\"\nlength = \"10\"\n\
         [[feature]]\nname = \"rod bore\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"5\"\n\
         [[feature]]\nname = \"gland\"\nkind = \"counterbore\"\n{said}diameter = \"9\"\ndepth = \"6\"\nover = \"{over}\"\n"
    )
}

#[test]
fn a_counterbore_that_says_no_face_is_at_that_of_its_hole() {
    let [unsaid, said] =
        ["", "face = \"right\"\n"].map(|face| planned(&cover(face, "rod bore"), "everything"));
    let steps = |plan: &Plan| plan.order.steps.iter().map(|step| step.text.clone()).collect::<Vec<_>>();
    assert_eq!(steps(&unsaid), steps(&said));
    assert!(steps(&unsaid).iter().any(|text| text.starts_with("recess gland")), "{:?}", steps(&unsaid));
}

#[test]
fn a_mouth_stands_over_a_hole() {
    let faults = read_drawing("cover.toml", &cover("", "boss")).expect_err("no hole");
    assert!(told(&faults).contains("`gland` stands over `boss`, which is no hole"), "{}", told(&faults));
}

/// A head of 34 with three gaps down to 18: studs of 3.2 on 28 stand from 12.4 to 15.6 from the axis, clear of
/// what is left; on 20 they would break into it.
fn finned(circle: &str) -> String {
    let gap = |n: u32| {
        format!(
            "[[feature]]\nname = \"gap {n}\"\nkind = \"groove\"\ndiameter = \"18\"\nwidth = \"1.6\"\nplace = [\"{} right of left end\"]\n",
            n * 3
        )
    };
    format!(
        "part = \"Head\"\nunit = \"mm\"\nmaterial = \"aluminium\"\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"fins\"\nkind = \"section\"\ndiameter = \"34\"\nlength = \"14\"\n{}{}{}\
         [[feature]]\nname = \"studs\"\nkind = \"pitch circle\"\nface = \"right\"\nholes = 4\npitch_circle = \"{circle}\"\ndiameter = \"3.2\"\n",
        gap(1),
        gap(2),
        gap(3)
    )
}

#[test]
fn studs_go_through_fins_and_the_gaps_between_them() {
    let made = planned(&finned("28"), "everything");
    assert!(made.order.steps.iter().any(|step| step.text.starts_with("drill studs")));
    let drawing = read(&finned("20"));
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let broken = workshop::drawing::solid::broken_in_space(&Part::as_drawn(&drawing, &solved));
    assert_eq!(broken.len(), 12, "each of four studs in each of three gaps: {}", told(&broken));
}

/// 60 across and 10 left on each side are 80: a lathe that swings 70 does not take it.
#[test]
fn a_casting_swings_with_what_is_left_on_it() {
    let text = cover("", "rod bore")
        .replace("\"30\"", "\"60\"")
        .replace("[body]", "[stock]\nform = \"casting\"\nallowance = \"10\"\n[body]");
    let on = |swing: &str| {
        let text = format!("[lathe]\nswing = \"{swing} mm\"\nbetween_centres = \"200 mm\"\n");
        read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
    };
    assert!(plan(&read(&text), &on("90")).is_ok());
    let faults = plan(&read(&text), &on("70")).map(|_| ()).expect_err("too wide");
    assert!(told(&faults).contains("it takes 80 mm, and the lathe swings 70 mm"), "{}", told(&faults));
}

/// What is bored on the axis has any size: no end mill is bought for it, in turned work or in a disc from bar.
#[test]
fn a_counterbore_on_the_axis_wants_no_end_mill() {
    let disc = "part = \"Washer\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\ndiameter = \"40\"\nthickness = \"8\"\n\
        [stock]\nform = \"round bar\"\nsize = \"42\"\n[[feature]]\nname = \"rod bore\"\nkind = \"hole\"\ndiameter = \"8\"\nplace = \"datum\"\n\
        [[feature]]\nname = \"gland\"\nkind = \"counterbore\"\ndiameter = \"19.3\"\ndepth = \"3\"\nover = \"rod bore\"\n";
    let turned = cover("", "rod bore").replace("\"9\"", "\"9.3\"");
    for (text, size) in [(disc, "19.3 mm"), (&turned, "9.3 mm")] {
        let text = text.replace(
            "diameter = \"19.3\"",
            "diameter = { is = \"19.3\", role = \"free\", within = \"0.04\" }",
        );
        let text = text
            .replace("diameter = \"9.3\"", "diameter = { is = \"9.3\", role = \"free\", within = \"0.04\" }");
        let made = planned(&text, "everything");
        assert_eq!(chosen(&made, "gland: diameter"), size);
        assert!(made.order.steps.iter().any(|step| step.text.starts_with("recess gland")));
    }
}
