//! A project folder as the web app sees it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::{fs, io};

use web::{Drafts, Earlier, Image, Metric, Paper, Saving, Text};
use workshop::plan::Plan;
use workshop::problem::Problem;
use workshop::sheet::MakeList;

use crate::choosing::{Asked, Choosing};
use crate::project;
use crate::store::Store;

/// A project folder, read afresh for every page: a file saved is a page changed.
pub struct Folder {
    path: PathBuf,
    store: Store,
    choosing: Choosing,
}

impl Folder {
    /// The project in a folder, which need not exist yet.
    pub fn of(path: &Path) -> Self {
        Self { path: path.to_owned(), store: Store::of(path), choosing: Choosing::default() }
    }
}

impl Folder {
    /// What is said of how the parts go together; none where there is no such file, and why it
    /// cannot be read where there is one: that is never taken for nothing said.
    fn assembly(&self) -> Result<Option<String>, Problem> {
        let file = self.path.join(project::ASSEMBLY_FILE);
        match fs::symlink_metadata(&file) {
            Err(fault) if fault.kind() == io::ErrorKind::NotFound => Ok(None),
            _ => match project::read_text(&file) {
                Ok(text) => Ok(Some(text)),
                Err(fault) => Err(fault),
            },
        }
    }

    /// What is said of how the parts move; none where there is no such file.
    fn mechanism(&self) -> Option<String> {
        project::read_text(&self.path.join(project::MECHANISM_FILE)).ok()
    }

    /// The whole project as its files have it.
    fn all(&self) -> Result<Asked, Problem> {
        let files = project::parts_in(&self.path).unwrap_or_default();
        let texts = files.iter().filter_map(|file| Some((stem(file)?, project::read_text(file).ok()?)));
        let bench = self.store.text(&Paper::Bench)?.map_or(String::new(), |bench| bench.text);
        Ok(Asked { bench, assembly: self.assembly(), mechanism: self.mechanism(), texts: texts.collect() })
    }

    /// The project with one part and the bench as these texts have them.
    fn asked(&self, part: &str, own: String, bench: String) -> Asked {
        let files = project::parts_in(&self.path).unwrap_or_default();
        let mut texts: BTreeMap<String, String> = files
            .iter()
            .filter_map(|file| Some((stem(file)?, file)))
            .filter(|(name, _)| name != part)
            .filter_map(|(name, file)| Some((name, project::read_text(file).ok()?)))
            .collect();
        texts.insert(part.to_owned(), own);
        Asked { bench, assembly: self.assembly(), mechanism: self.mechanism(), texts }
    }
}

impl web::Shop for Folder {
    fn name(&self) -> String {
        let whole = std::path::absolute(&self.path).unwrap_or_else(|_| self.path.clone());
        let whole = whole.canonicalize().unwrap_or(whole);
        whole.file_name().map_or_else(|| "project".into(), |name| name.to_string_lossy().into_owned())
    }

    fn parts(&self) -> Vec<String> {
        let files = project::parts_in(&self.path).unwrap_or_default();
        files.iter().filter_map(|file| stem(file)).collect()
    }

    fn plan(&self, part: &str) -> Option<Result<Plan, Vec<Problem>>> {
        // Only a name that the folder lists leads to a file: no address leads out of it.
        let files = project::parts_in(&self.path).ok()?;
        let file = files.into_iter().find(|file| stem(file).as_deref() == Some(part))?;
        let own = match project::read_text(&file) {
            Ok(text) => text,
            Err(fault) => return Some(Err(vec![fault])),
        };
        let bench = match self.store.text(&Paper::Bench) {
            Ok(bench) => bench.map_or(String::new(), |bench| bench.text),
            Err(fault) => return Some(Err(vec![fault])),
        };
        Some(self.choosing.plan_among(part, self.asked(part, own, bench)))
    }

    fn planned(&self, part: &str, draft: &str) -> Result<Plan, Vec<Problem>> {
        let bench = self.store.text(&Paper::Bench).map_err(|fault| vec![fault])?;
        let bench = bench.map_or(String::new(), |bench| bench.text);
        self.choosing.plan(part, self.asked(part, draft.to_owned(), bench))
    }

    fn make_list(&self) -> Result<Option<MakeList>, Vec<Problem>> {
        self.choosing.make_list(self.all().map_err(|fault| vec![fault])?)
    }

    fn moving(&self, draft: &str) -> Result<web::Motion, Vec<Problem>> {
        let mut asked = self.all().map_err(|fault| vec![fault])?;
        asked.mechanism = Some(draft.to_owned());
        self.choosing.motion(asked)
    }

    fn unfitted(&self) -> Vec<Problem> {
        self.all().map_or_else(|_| Vec::new(), |asked| self.choosing.unfitted(asked))
    }

    fn metric(&self, part: &str, drafts: &Drafts) -> Result<Arc<Metric>, Vec<Problem>> {
        self.choosing.metric(part, self.asked(part, drafts.part.clone(), drafts.bench.clone()))
    }

    fn text(&self, paper: &Paper) -> Result<Option<Text>, Problem> {
        self.store.text(paper)
    }

    fn stamp(&self, paper: &Paper) -> Option<String> {
        self.store.stamp(paper)
    }

    fn save(&self, paper: &Paper, base: &str, text: &str) -> Result<Saving, Problem> {
        self.store.save(paper, base, text)
    }

    fn create(&self, paper: &Paper, text: &str) -> Result<Text, Problem> {
        self.store.create(paper, text)
    }

    fn remove(&self, part: &str) -> Result<(), Problem> {
        self.store.remove(part)
    }

    fn rename(&self, part: &str, to: &str) -> Result<(), Problem> {
        self.store.rename(part, to)
    }

    fn removed(&self) -> Vec<String> {
        self.store.removed()
    }

    fn earlier(&self, paper: &Paper) -> Vec<Earlier> {
        self.store.earlier(paper)
    }

    fn earlier_text(&self, paper: &Paper, number: u32) -> Option<String> {
        self.store.earlier_text(paper, number)
    }

    fn restore(&self, paper: &Paper, number: u32) -> Result<Text, Problem> {
        self.store.restore(paper, number)
    }

    fn images(&self) -> Vec<String> {
        self.store.images()
    }

    fn put_image(&self, name: &str, bytes: &[u8]) -> Result<String, Problem> {
        self.store.put_image(name, bytes)
    }

    fn image(&self, name: &str) -> Option<Image> {
        self.store.image(name)
    }

    fn image_stamp(&self, name: &str) -> Option<String> {
        self.store.image_stamp(name)
    }
}

/// The name of a part file without its folder and ending.
fn stem(file: &Path) -> Option<String> {
    Some(file.file_stem()?.to_str()?.to_owned())
}
