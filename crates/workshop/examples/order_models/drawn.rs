//! Orders of work drawn at random, the same from the same seed.

use workshop::order::*;

/// Draws numbers: the high bits of a 64-bit linear congruential sequence (Knuth, MMIX).
struct Draw(u64);

impl Draw {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % n as u64) as usize
    }

    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }
}

fn because() -> String {
    "it was drawn so".into()
}

/// A shop of a mill and a lathe and some tools; `setups` holdings, none of which needs anything.
fn shop(draw: &mut Draw, setups: usize, tools: usize) -> Model {
    let mut model = Model::default();
    let machines = [model.machine("mill"), model.machine("lathe")];
    for s in 0..setups {
        let machine = machines[usize::from(draw.one_in(4))];
        let (minutes, count) = (4 + draw.below(12) as u64, 1 + u64::from(draw.one_in(8)));
        model.setup(Setup {
            name: format!("setup {s}"),
            machine,
            needs: vec![],
            minutes,
            count,
            sets: Sets::EachTime,
        });
    }
    for t in 0..tools {
        model.tool(format!("tool {t}"));
    }
    model
}

/// A part as parts are: edges squared first, features of up to three operations in the one
/// or two setups that reach them, some needing or spoiling a locator, an outline that takes
/// the edges away, cut one of two ways. It always has an order.
pub fn ordinary(seed: u64, size: usize) -> Model {
    let mut draw = Draw(seed * 2 + 1);
    let mut model = shop(&mut draw, 4 + size / 10, 5 + size / 6);
    let (setups, tools) = (model.setups.len(), model.tools.len());
    let edge = model.token("square edge", Presence::Absent);
    for s in 1..setups - 1 {
        model.setups[s].needs.push(Need::new(edge, because()));
    }
    let jaws = Way { setup: SetupId(0), tool: ToolId(0), minutes: 10 };
    let square =
        Operation { name: "square".into(), ways: vec![jaws], makes: vec![edge], ..Operation::default() };
    model.operation(square);
    let mut bores = Vec::new();
    while model.operations.len() + 3 < size {
        let left = size - 3 - model.operations.len();
        let mut places = vec![1 + draw.below(setups - 2)];
        if draw.one_in(4) {
            places.push(1 + draw.below(setups - 2));
        }
        let mut before: Option<OpId> = None;
        for stage in 0..(1 + draw.below(3)).min(left) {
            let tool = ToolId(1 + draw.below(tools - 1));
            let minutes = 1 + draw.below(9) as u64;
            let ways = places.iter().map(|&s| Way { setup: SetupId(s), tool, minutes }).collect();
            let mut op =
                Operation { name: format!("op {}", model.operations.len()), ways, ..Operation::default() };
            op.after.extend(before.map(|op| After::Operation(op, because())));
            if stage == 0 && !bores.is_empty() && draw.one_in(3) {
                op.needs.push(Need::new(bores[draw.below(bores.len())], because()));
            }
            if stage > 0 && draw.one_in(3) {
                let bore = model.token(format!("bore {}", bores.len()), Presence::Absent);
                op.makes.push(bore);
                bores.push(bore);
            }
            before = Some(model.operation(op));
        }
    }
    // Round the outline on the one aid or the other; its edges are gone then.
    let aids = [model.aid("buttons"), model.aid("stub")];
    let group = model.group("outline", &["filed", "turned"]);
    for (variant, aid) in aids.into_iter().enumerate() {
        let way = Way {
            setup: SetupId(if variant == 0 { setups - 1 } else { setups - 2 }),
            tool: ToolId(0),
            minutes: 20 + draw.below(20) as u64,
        };
        let mut op =
            Operation { name: format!("outline {variant}"), ways: vec![way], ..Operation::default() };
        op.aids.push(aid);
        op.spoils.push(Spoil::new(edge, because()));
        op.choice = Some(Choice { group, variant });
        op.needs.extend(bores.first().map(|&bore| Need::new(bore, because())));
        model.operation(op);
    }
    let way = Way { setup: SetupId(0), tool: ToolId(1), minutes: 2 };
    let after = vec![After::Group(group, because())];
    model.operation(Operation { name: "deburr".into(), ways: vec![way], after, ..Operation::default() });
    model
}

/// Many operations that hardly anything orders, in few setups with many tools.
pub fn weak(seed: u64, size: usize) -> Model {
    let mut draw = Draw(seed * 2 + 1);
    let mut model = shop(&mut draw, 4, 8);
    for i in 0..size {
        let count = 1 + draw.below(2);
        let ways = (0..count).map(|_| Way {
            setup: SetupId(draw.below(4)),
            tool: ToolId(draw.below(8)),
            minutes: 1 + draw.below(9) as u64,
        });
        let mut op = Operation { name: format!("op {i}"), ways: ways.collect(), ..Operation::default() };
        if i > 0 && draw.one_in(6) {
            op.after.push(After::Operation(OpId(draw.below(i)), because()));
        }
        model.operation(op);
    }
    model
}

/// A plate with so many holes, no two of one drill: each is centred and drilled, some are
/// reamed or countersunk after, some from one face only, once an edge is square.
pub fn plate(seed: u64, holes: usize) -> Model {
    let mut draw = Draw(seed * 2 + 1);
    let mut model = Model::default();
    let mill = model.machine("mill");
    let edge = model.token("square edge", Presence::Absent);
    for face in 0..3 {
        let needs = if face > 0 { vec![Need::new(edge, because())] } else { vec![] };
        model.setup(Setup {
            name: format!("face {face}"),
            machine: mill,
            needs,
            minutes: 8,
            count: 1,
            sets: Sets::EachTime,
        });
    }
    for tool in 0..holes + 6 {
        model.tool(format!("tool {tool}"));
    }
    let jaws = Way { setup: SetupId(0), tool: ToolId(0), minutes: 10 };
    let square =
        Operation { name: "square".into(), ways: vec![jaws], makes: vec![edge], ..Operation::default() };
    model.operation(square);
    for hole in 0..holes {
        let faces = if draw.one_in(3) { 1..2 } else { 1..3 };
        let finished = draw.one_in(2).then(|| 2 + draw.below(4));
        let mut before: Option<OpId> = None;
        for tool in [Some(1), Some(6 + hole), finished].into_iter().flatten() {
            let way = |face| Way { setup: SetupId(face), tool: ToolId(tool), minutes: 2 };
            let after = before.map(|op| After::Operation(op, because())).into_iter().collect();
            let name = format!("hole {hole}, tool {tool}");
            let ways = faces.clone().map(way).collect();
            before = Some(model.operation(Operation { name, ways, after, ..Operation::default() }));
        }
    }
    model
}

/// Everything a model may hold: tokens made, spoiled, needed and in the way, choices with
/// double and empty variants, aids, agreements, work done already. Where it is `planted`, the
/// operations in their own order, with the first variants, keep every rule; else not all
/// models have an order.
pub fn mixed(seed: u64, size: usize, planted: bool) -> Model {
    let mut draw = Draw(seed * 2 + 1);
    let mut model = shop(&mut draw, 3 + size / 10, 4 + size / 8);
    let (setups, tools) = (model.setups.len(), model.tools.len());
    let tokens = 2 + size / 4;
    let mut exists = Vec::new();
    for t in 0..tokens {
        let present = draw.one_in(2);
        model.token(format!("token {t}"), if present { Presence::Present } else { Presence::Absent });
        exists.push(present);
    }
    for s in 1..setups {
        if draw.one_in(3) {
            let token = TokenId(draw.below(tokens));
            model.setups[s].needs.push(Need::new(token, because()));
        }
    }
    let aids = [model.aid("mandrel"), model.aid("buttons")];
    let groups: Vec<GroupId> =
        (0..1 + size / 12).map(|g| model.group(format!("choice {g}"), &["this", "that"])).collect();
    for i in 0..size {
        let mut op = Operation { name: format!("op {i}"), ..Operation::default() };
        if draw.one_in(6) {
            op.choice = Some(Choice { group: groups[draw.below(groups.len())], variant: draw.below(2) });
        }
        for way in 0..1 + draw.below(2) {
            let mut setup = SetupId(draw.below(setups));
            let stands = model.setups[setup.0].needs.iter().all(|need| exists[need.token.0]);
            if planted && way == 0 && !stands {
                setup = SetupId(0); // it needs nothing
            }
            op.ways.push(Way { setup, tool: ToolId(draw.below(tools)), minutes: 1 + draw.below(9) as u64 });
        }
        let (need, absent) = (draw.below(tokens), draw.below(tokens));
        if draw.one_in(3) && (exists[need] || !planted) {
            op.needs.push(Need::new(TokenId(need), because()));
        }
        if draw.one_in(6) && (!exists[absent] || !planted) {
            op.needs_absent.push(Need::new(TokenId(absent), because()));
        }
        if draw.one_in(2) {
            op.makes.push(TokenId(draw.below(tokens)));
        }
        if draw.one_in(6) {
            op.spoils.push(Spoil::new(TokenId(draw.below(tokens)), because()));
        }
        for _ in 0..2 {
            if i > 0 && !draw.one_in(4) {
                op.after.push(After::Operation(OpId(i - 1 - draw.below(i.min(3))), because()));
            }
        }
        if draw.one_in(8) {
            op.aids.push(aids[draw.below(2)]);
        }
        if op.choice.is_none_or(|choice| choice.variant == 0) {
            op.spoils.iter().for_each(|spoil| exists[spoil.token.0] = false);
            op.makes.iter().for_each(|token| exists[token.0] = true);
        }
        model.operation(op);
    }
    if draw.one_in(2) && model.operations[size - 1].choice.is_none() {
        let group = groups[draw.below(groups.len())];
        model.operations[size - 1].after.push(After::Group(group, because()));
    }
    for _ in 0..1 + draw.below(3) {
        let ops = [OpId(draw.below(size)), OpId(draw.below(size))];
        if ops[0] == ops[1] {
            continue;
        }
        let ways = ops.map(|op| model.operations[op.0].ways.len());
        let pairs = (0..ways[0]).flat_map(|a| (0..ways[1]).map(move |b| [a, b]));
        let apart = pairs.filter(|pair| (planted && *pair == [0, 0]) || draw.one_in(3)).collect();
        model.agreements.push(Agreement { ops, in_one: !draw.one_in(4), apart, because: because() });
    }
    if draw.one_in(3) {
        let plain = |i: &usize| model.operations[*i].choice.is_none();
        model.start.done = (0..2).take_while(plain).map(OpId).collect();
        let way = model.operations[0].ways[0];
        model.start.standing = draw.one_in(2).then_some((way.setup, way.tool));
    }
    if draw.one_in(4) {
        let mut charge = || 10 * draw.below(9) as u64;
        let (machine_change, setup, tool_change, aid) = (charge(), charge(), charge(), charge());
        let first = if draw.one_in(2) { FirstSetup::Free } else { FirstSetup::Counted };
        model.charges = Charges::Weighted(Weights { machine_change, setup, tool_change, aid, first });
    }
    model
}
