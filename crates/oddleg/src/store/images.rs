//! Pictures of published sheets, kept in the folder `sheets` of a project.

use std::fs;
use std::path::PathBuf;

use web::{Image, MOST_IMAGE_BYTES};
use workshop::problem::Problem;

use super::{Store, plain_name, write};

/// The folder of pictures.
const FOLDER: &str = "sheets";
/// Every kind that is kept: its ending, its type, and how its files begin.
const KINDS: [(&str, &str, &[u8]); 2] =
    [("png", "image/png", b"\x89PNG\r\n\x1a\n"), ("jpg", "image/jpeg", b"\xff\xd8\xff")];

impl Store {
    /// The pictures kept, by name.
    pub fn images(&self) -> Vec<String> {
        let Ok(entries) = fs::read_dir(self.folder.join(FOLDER)) else { return Vec::new() };
        let names = entries.flatten().filter_map(|entry| entry.file_name().into_string().ok());
        let mut names: Vec<String> = names.filter(|name| kind_of_name(name).is_some()).collect();
        names.sort();
        names
    }

    /// Keeps a picture under a name that is free, or that has the same picture.
    pub fn put_image(&self, name: &str, bytes: &[u8]) -> Result<String, Problem> {
        if bytes.len() > MOST_IMAGE_BYTES {
            return Err(Problem::new("the picture is larger than 20 MB")
                .why("a scan of a sheet at 300 dots to the inch has less")
                .mend("save it as JPEG, or scan it more coarsely"));
        }
        let Some((ending, ..)) = KINDS.iter().find(|(.., start)| bytes.starts_with(start)) else {
            return Err(Problem::new("the picture is neither PNG nor JPEG")
                .why("how the file begins says what it is, whatever it is called")
                .mend("save it as PNG or JPEG"));
        };
        let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
        let stem = plain_name(stem)?;
        let _lock = self.lock()?;
        let folder = self.folder.join(FOLDER);
        fs::create_dir_all(&folder).map_err(|fault| write::not_written(&folder, &fault))?;
        self.inside(&folder)?;
        for count in 1..1000 {
            let numbered = if count == 1 { stem.to_owned() } else { format!("{stem}-{count}") };
            let name = format!("{numbered}.{ending}");
            let file = folder.join(&name);
            if file.symlink_metadata().is_err() {
                write::whole(&file, bytes)?;
                return Ok(name);
            }
            if self.image(&name).is_some_and(|there| there.bytes == bytes) {
                return Ok(name);
            }
        }
        Err(Problem::new(format!("there are a thousand pictures called `{stem}`"))
            .mend("choose another name"))
    }

    /// A kept picture.
    pub fn image(&self, name: &str) -> Option<Image> {
        let media_type = kind_of_name(name)?;
        let (file, _) = self.image_file(name)?;
        let bytes = fs::read(&file).ok()?;
        let begins = KINDS.iter().any(|(_, kind, start)| *kind == media_type && bytes.starts_with(start));
        begins.then_some(Image { media_type, bytes })
    }

    /// How long a kept picture is and when it was written, which tells it from another.
    pub fn image_stamp(&self, name: &str) -> Option<String> {
        let (_, about) = self.image_file(name)?;
        Some(format!("{} {:?}", about.len(), about.modified().ok()))
    }

    fn image_file(&self, name: &str) -> Option<(PathBuf, fs::Metadata)> {
        kind_of_name(name)?;
        let file = self.folder.join(FOLDER).join(name);
        let about = fs::metadata(self.inside(&file).ok()?).ok()?;
        (about.is_file() && about.len() <= MOST_IMAGE_BYTES as u64).then_some((file, about))
    }
}

fn kind_of_name(name: &str) -> Option<&'static str> {
    let (stem, ending) = name.rsplit_once('.')?;
    plain_name(stem).ok()?;
    KINDS.iter().find(|(known, ..)| *known == ending).map(|&(_, kind, _)| kind)
}
