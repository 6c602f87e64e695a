//! Reading prop files: regular files of at most a megabyte; an import stays in the folder of the prop that began it.

use std::fs;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

/// The largest file that is read, bytes (LANGUAGE: 1 MB a file). One byte more is read to tell.
const LARGEST: u64 = 1_000_000;

/// Why a file could not be read.
#[derive(Debug)]
pub enum Refusal {
    NotThere,
    NotAFile,
    TooLarge,
    NotText { byte: usize },
    /// An import that leads out of the prop's folder.
    Outside,
    Machine(io::Error),
}

/// Reads files for one prop.
#[derive(Debug)]
pub struct Folder {
    root: PathBuf,
}

impl Folder {
    /// The folder of a prop file.
    pub fn of(prop: &Path) -> io::Result<Self> {
        let folder = match prop.parent() {
            Some(p) if !p.as_os_str().is_empty() => p,
            _ => Path::new("."),
        };
        Ok(Self { root: folder.canonicalize()? })
    }

    /// The text of `path` (as written in `use`), taken from the folder of the file `from`.
    pub fn import(&self, from: &Path, path: &str) -> Result<(PathBuf, String), Refusal> {
        let beside = from.parent().unwrap_or(Path::new(""));
        let written = Path::new(path);
        if written.is_absolute() {
            return Err(Refusal::Outside);
        }
        let full = beside.join(written);
        let real = full.canonicalize().map_err(refused)?;
        if !real.starts_with(&self.root) {
            return Err(Refusal::Outside);
        }
        Ok((full, read(&real)?))
    }
}

fn refused(error: io::Error) -> Refusal {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Refusal::NotThere,
        _ => Refusal::Machine(error),
    }
}

/// The text of a regular file.
pub fn read(path: &Path) -> Result<String, Refusal> {
    // Looked at before it is opened: opening a pipe could wait for ever.
    let meta = fs::metadata(path).map_err(refused)?;
    if !meta.is_file() {
        return Err(Refusal::NotAFile);
    }
    let mut bytes = Vec::new();
    fs::File::open(path)
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(refused)?;
    if bytes.len() as u64 > LARGEST {
        return Err(Refusal::TooLarge);
    }
    String::from_utf8(bytes).map_err(|e| Refusal::NotText { byte: e.utf8_error().valid_up_to() })
}
