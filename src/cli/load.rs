//! Reading prop files: regular files only; an import stays in the folder of the prop that began it.

use std::fs;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use tasset::parse::LONGEST_FILE;
use tasset::pipeline::{Loaded, Loader, Refusal};

/// Reads files for one prop, and remembers whether the machine (not the prop) was at fault.
#[derive(Debug)]
pub struct Folder {
    /// The prop's own file, as it was given.
    file: PathBuf,
    root: Option<Root>,
    /// The prop's own file is not there: wrong usage.
    pub absent: bool,
    /// No permission, a broken disk …
    pub machine: bool,
}

/// The folder that imports stay in.
#[derive(Debug)]
struct Root {
    /// As it was given with the prop's file: the names of imports begin with it.
    shown: PathBuf,
    /// Every link in it resolved.
    real: PathBuf,
    /// The prop's own file: every link resolved, and its name in messages.
    own: (PathBuf, String),
}

impl Loader for Folder {
    fn load(&mut self, from: Option<&str>, path: &str) -> Result<Loaded, Refusal> {
        let result = match from {
            None => self.first(path),
            Some(from) => self.import(from, path),
        };
        self.machine |= matches!(result, Err(Refusal::Machine(_)));
        result
    }
}

impl Folder {
    /// For the prop in `file`, which the pipeline knows by the name it is shown with.
    pub fn of(file: &Path) -> Self {
        Self { file: file.to_path_buf(), root: None, absent: false, machine: false }
    }

    fn first(&mut self, name: &str) -> Result<Loaded, Refusal> {
        let folder = match self.file.parent() {
            Some(p) if !p.as_os_str().is_empty() => p,
            _ => Path::new("."),
        };
        let text = folder.canonicalize().and_then(|real| Ok((real, self.file.canonicalize()?))).map_err(refused);
        let text = text.and_then(|(real, own)| {
            let shown = Path::new(name).parent().unwrap_or(Path::new("")).to_path_buf();
            self.root = Some(Root { shown, real, own: (own, name.to_owned()) });
            read(&self.file)
        });
        self.absent = matches!(text, Err(Refusal::NotThere | Refusal::NotAFile));
        Ok(Loaded { name: name.to_owned(), text: text? })
    }

    fn import(&self, from: &str, path: &str) -> Result<Loaded, Refusal> {
        let Some(root) = &self.root else { return Err(Refusal::Outside) };
        if Path::new(path).is_absolute() {
            return Err(Refusal::Outside);
        }
        let real = root.folder_of(from).join(path).canonicalize().map_err(refused)?;
        let Ok(inner) = real.strip_prefix(&root.real) else { return Err(Refusal::Outside) };
        let text = read(&real)?;
        // The name is that of the file itself, however it was come by: two ways to it give one name.
        let name =
            if real == root.own.0 { root.own.1.clone() } else { root.shown.join(inner).to_string_lossy().into_owned() };
        Ok(Loaded { name, text })
    }
}

impl Root {
    /// The folder of a file by its name in messages, every link resolved.
    fn folder_of(&self, name: &str) -> PathBuf {
        match Path::new(name).strip_prefix(&self.shown) {
            Ok(inner) if name != self.own.1 => {
                self.real.join(inner).parent().map_or_else(PathBuf::new, Path::to_path_buf)
            }
            _ => self.real.clone(),
        }
    }
}

fn refused(error: io::Error) -> Refusal {
    use io::ErrorKind::{InvalidFilename, InvalidInput, NotADirectory, NotFound};
    // A link that leads to itself leads nowhere.
    #[cfg(unix)]
    if error.raw_os_error() == Some(libc::ELOOP) {
        return Refusal::NotThere;
    }
    match error.kind() {
        NotFound | NotADirectory | InvalidFilename | InvalidInput => Refusal::NotThere,
        io::ErrorKind::PermissionDenied => Refusal::Machine("no permission".to_owned()),
        io::ErrorKind::IsADirectory => Refusal::NotAFile,
        _ => Refusal::Machine(error.to_string()),
    }
}

/// The text of a regular file of at most a megabyte.
pub fn read(path: &Path) -> Result<String, Refusal> {
    // Looked at before it is opened: opening a pipe could wait for ever.
    let meta = fs::metadata(path).map_err(refused)?;
    if !meta.is_file() {
        return Err(Refusal::NotAFile);
    }
    let file = opened(path).map_err(refused)?;
    // Looked at again: what stands there may have been changed since.
    if !file.metadata().map_err(refused)?.is_file() {
        return Err(Refusal::NotAFile);
    }
    let mut bytes = Vec::new();
    file.take(LONGEST_FILE as u64 + 1).read_to_end(&mut bytes).map_err(refused)?;
    if bytes.len() > LONGEST_FILE {
        return Err(Refusal::TooLarge);
    }
    String::from_utf8(bytes).map_err(|e| Refusal::NotText { byte: e.utf8_error().valid_up_to() })
}

/// Opens a file without waiting for anyone at the other end of it.
fn opened(path: &Path) -> io::Result<fs::File> {
    let mut options = fs::File::options();
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::custom_flags(&mut options, libc::O_NONBLOCK);
    options.read(true).open(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_ways_to_a_file_give_one_name() {
        let dir = tempfile::tempdir().unwrap();
        let path = |p: &str| dir.path().join(p).to_str().unwrap().to_owned();
        fs::create_dir_all(dir.path().join("a/b")).unwrap();
        fs::write(path("main.prop"), "main").unwrap();
        fs::write(path("a/c.prop"), "c").unwrap();
        let main = path("main.prop");
        let mut folder = Folder::of(Path::new(&main));
        folder.load(None, &main).unwrap();
        for way in ["a/c.prop", "./a/c.prop", "a/./b/../c.prop"] {
            assert_eq!(folder.load(Some(&main), way).unwrap().name, path("a/c.prop"), "{way}");
        }
        let back = folder.load(Some(&path("a/c.prop")), "../main.prop").unwrap();
        assert_eq!(
            (back.name, back.text),
            (main, "main".to_owned()),
            "an import is looked for beside the file that uses it"
        );
    }

    #[test]
    fn imports_stay_in_the_folder() {
        let dir = tempfile::tempdir().unwrap();
        let (inside, outside) = (dir.path().join("prop"), dir.path().join("secret.prop"));
        fs::create_dir(&inside).unwrap();
        fs::write(&outside, "").unwrap();
        fs::write(inside.join("main.prop"), "").unwrap();
        let main = inside.join("main.prop");
        let mut folder = Folder::of(&main);
        let name = folder.load(None, main.to_str().unwrap()).unwrap().name;
        assert!(matches!(folder.load(Some(&name), "../secret.prop"), Err(Refusal::Outside)));
        assert!(matches!(folder.load(Some(&name), outside.to_str().unwrap()), Err(Refusal::Outside)));
        assert!(matches!(folder.load(Some(&name), "absent.prop"), Err(Refusal::NotThere)));
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(&outside, inside.join("link.prop")).unwrap();
            assert!(matches!(folder.load(Some(&name), "link.prop"), Err(Refusal::Outside)));
            assert!(matches!(folder.load(Some(&name), "."), Err(Refusal::NotAFile)));
        }
    }

    #[test]
    fn large_and_unreadable_texts_are_refused() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.prop");
        fs::write(&path, vec![b'#'; LONGEST_FILE]).unwrap();
        assert!(read(&path).is_ok());
        fs::write(&path, vec![b'#'; LONGEST_FILE + 1]).unwrap();
        assert!(matches!(read(&path), Err(Refusal::TooLarge)));
        fs::write(&path, b"ab\xff").unwrap();
        assert!(matches!(read(&path), Err(Refusal::NotText { byte: 2 })));
    }
}
