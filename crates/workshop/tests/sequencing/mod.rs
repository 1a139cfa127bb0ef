//! Published sequencing instances: their data as printed, and as models.
//!
//! In all of them a step pays its machine's and its tool's index (in the last, its
//! machining time), and changes of machine, of setup (machine or approach direction)
//! and of tool (or machine) are charged; the first setup is free. The optima were
//! proven by two independent exact methods on exactly this data, read from the open data
//! of Ma, Luo, Chou and Sun, Int. J. Production Research (2025), which gathers the
//! papers named at each. Printed precedence tables differ between papers, so figures
//! printed elsewhere are not comparable, save the first, which equals the published best.

use super::*;

/// Reads an instance as printed: `op | machines | tools | directions | must follow | times`.
/// `scale` multiplies all charges, so that halves and quarters become whole.
struct Instance {
    table: &'static str,
    machine_index: &'static [u64],
    tool_index: &'static [u64],
    changes: [u64; 3],
    either_or: &'static [(&'static str, &'static str)],
    scale: u64,
}

fn words(cell: &str) -> Vec<&str> {
    cell.split_whitespace().filter(|w| *w != "-").collect()
}

impl Instance {
    fn model(&self) -> Model {
        let mut model = Model::default();
        let [machine_change, tool_change, setup] = self.changes.map(|c| c * self.scale);
        model.charges = Charges::Weighted(Weights {
            machine_change,
            setup,
            tool_change,
            aid: 0,
            first: FirstSetup::Free,
        });
        let rows: Vec<Vec<&str>> =
            self.table.trim().lines().map(|l| l.split('|').map(str::trim).collect()).collect();
        for (a, b) in self.either_or {
            model.group(format!("{a} or {b}"), &[a, b]);
        }
        let place = |name: &str| OpId(rows.iter().position(|r| r[0] == name).expect("a row of that name"));
        for row in &rows {
            let times: Vec<u64> = row.get(5).map_or_else(Vec::new, |cell| {
                words(cell)
                    .iter()
                    .map(|t| (t.parse::<f64>().unwrap() * self.scale as f64).round() as u64)
                    .collect()
            });
            let mut op = Operation { name: row[0].into(), ..Operation::default() };
            for (m, machine) in words(row[1]).into_iter().enumerate() {
                let number: usize = machine.parse().unwrap();
                for direction in words(row[3]) {
                    let name = format!("{machine} {direction}");
                    let known = model.setups.iter().position(|s| s.name == name);
                    let setup = known.map_or_else(
                        || {
                            let machine = MachineId(number);
                            model.setup(Setup {
                                name,
                                machine,
                                needs: vec![],
                                minutes: 0,
                                count: 1,
                                sets: Sets::EachTime,
                            })
                        },
                        SetupId,
                    );
                    for tool in words(row[2]) {
                        let tool: usize = tool.parse().unwrap();
                        let minutes = if times.is_empty() {
                            (self.machine_index[number - 1] + self.tool_index[tool - 1]) * self.scale
                        } else {
                            times[m]
                        };
                        op.ways.push(Way { setup, tool: ToolId(tool), minutes });
                    }
                }
            }
            op.after = words(row[4])
                .iter()
                .map(|n| After::Operation(place(n), "the paper says so".into()))
                .collect();
            op.choice = self.either_or.iter().enumerate().find_map(|(g, (a, b))| {
                let variant = [a, b].iter().position(|n| **n == row[0])?;
                Some(Choice { group: GroupId(g), variant })
            });
            model.operation(op);
        }
        model.machines = (0..6).map(|m| format!("machine {m}")).collect();
        model.tools = (0..16).map(|t| Tool { name: format!("tool {t}") }).collect();
        model
    }
}

/// Ma, Zhang and Nee, Int. J. Production Research 38(12), 2000, 2671-2687: 17 variants,
/// 13 performed.
pub fn ma_zhang_nee_2000() -> Model {
    Instance {
        table: "
1a | 1 2 | 1 3 | +z | 2a 2b 13a 13b
1b | 4 5 | 5 15 | +z | 2a 2b 13a 13b
2a | 1 2 | 1 2 3 4 | +z | -
2b | 4 5 | 5 | +z | -
3a | 1 2 | 4 | +y -y | -
3b | 4 5 | 11 | +x -z | -
4 | 1 2 | 1 2 4 | -z | -
5 | 1 2 | 15 | -z | 4
6 | 1 2 3 4 5 | 10 | -z | 1a 1b 4
7 | 1 2 3 5 | 14 | -z | 1a 1b 4 6
8 | 1 2 | 3 | -z | 1a 1b 4 7
9 | 1 2 3 4 5 | 10 | -z | -
10 | 1 2 4 5 | 14 | -z | 9
11 | 1 2 | 3 | -z | 10
12 | 1 2 | 1 2 3 4 | -z | 6 7 8
13a | 1 2 | 1 2 3 4 | +z | -
13b | 4 5 | 5 | +z | -",
        machine_index: &[70, 35, 10, 40, 85],
        tool_index: &[10, 10, 10, 12, 8, 16, 3, 3, 4, 2, 10, 5, 6, 3, 6],
        changes: [150, 20, 90],
        either_or: &[("1a", "1b"), ("2a", "2b"), ("3a", "3b"), ("13a", "13b")],
        scale: 1,
    }
    .model()
}

/// Wang, Zhang and Fuh, CSO 2009, 304-308: 9 operations.
pub fn wang_zhang_fuh_2009() -> Model {
    Instance {
        table: "
1 | 1 2 4 5 | 1 2 3 4 5 | -x -z | -
2 | 1 2 4 5 | 1 2 3 5 8 | +y -z | 1
3 | 1 2 | 1 3 | +y | 1
4 | 1 2 4 5 | 1 2 5 | +x -x +z | 1
5 | 1 2 3 4 5 | 7 | +z -z | 1
6 | 1 2 3 4 5 | 6 | +z -z | 1 5
7 | 1 2 3 4 5 | 7 | +z -z | 1
8 | 1 2 3 4 5 | 6 | +z -z | 1 7
9 | 1 2 4 5 | 1 5 | -x | 1",
        machine_index: &[70, 35, 10, 40, 85],
        tool_index: &[5, 10, 20, 8, 10, 5, 8, 6],
        changes: [200, 30, 60],
        either_or: &[],
        scale: 1,
    }
    .model()
}

/// Guo, Mileham, Owen and Li, Proc. IMechE B 220(12), 2006, 1945-1958: 14 operations.
pub fn guo_2006() -> Model {
    Instance {
        table: "
1 | 1 2 3 | 1 | +z -z | -
2 | 2 3 | 8 | -x +y -y -z | 1
3 | 2 3 | 5 6 | +y | -
4 | 2 | 5 6 | +y | 3
5 | 2 3 | 5 6 | +y -z | -
6 | 1 2 3 | 2 | +z -z | -
7 | 1 2 3 | 1 | +z -z | 6
8 | 2 3 | 5 6 | +x | -
9 | 1 2 3 | 1 | -z | -
10 | 2 3 | 5 6 | -y | -
11 | 2 3 | 5 7 | -y | 10
12 | 1 2 3 | 1 | +z -z | -
13 | 2 3 | 5 6 | -x -y | -
14 | 1 2 3 | 1 | -y | 13",
        machine_index: &[10, 35, 60],
        tool_index: &[3, 3, 8, 15, 10, 15, 10, 10],
        changes: [160, 20, 120],
        either_or: &[],
        scale: 1,
    }
    .model()
}

/// Li and McMahon 2007, part 1: 16 operations, judged by time; here in twentieths,
/// so that all times are whole. The optimum is 644.5.
pub fn li_mcmahon_2007() -> Model {
    Instance {
        table: "
1 | 1 2 3 4 | 1 | +z -z | 16 | 12 10 10 7.5
2 | 2 3 4 | 12 | -x +y -y -z | 1 16 | 20 20 15
3 | 2 3 4 | 5 6 11 | +y | 16 | 18 18 13.5
4 | 2 3 4 | 6 7 8 | +y | 3 16 | 16 16 12
5 | 2 3 4 | 6 7 8 | +y -z | 16 | 15 15 11.25
6 | 1 2 3 4 | 2 | +z -z | 16 | 30 25 25 18.75
7 | 2 3 4 | 9 | +z -z | 6 16 | 25 25 18.75
8 | 1 2 3 4 | 1 | +z -z | 6 7 9 16 | 14.4 12 12 9
9 | 2 3 4 | 6 7 8 | +x | 16 | 15 15 11.25
10 | 1 2 3 4 | 1 | -z | 9 12 16 | 9.6 8 8 6
11 | 2 3 4 | 6 7 8 | -y | 16 | 10 10 7.5
12 | 2 3 4 | 6 7 8 | -y | 11 16 | 10 10 7.5
13 | 1 2 3 4 | 1 | +z -z | 11 16 | 9.6 8 8 6
14 | 2 3 4 | 6 7 8 | -x -y | 16 | 16 16 12
15 | 1 2 3 4 | 1 | -y | 14 16 | 9.6 8 8 6
16 | 1 2 3 4 | 6 7 8 | +x -x +y -y -z | - | 36 30 30 22.5",
        machine_index: &[],
        tool_index: &[],
        changes: [140, 20, 120],
        either_or: &[],
        scale: 20,
    }
    .model()
}
