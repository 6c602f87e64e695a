//! Reading prop files: regular files only; an import stays in the folder of the prop that began it.

use std::fs;
use std::io::{self, Read as _};
use std::path::{Component, Path, PathBuf};

use tasset::parse::LONGEST_FILE;
use tasset::pipeline::{Loaded, Loader, Refusal};

/// Reads files for one prop, and remembers whether the machine (not the prop) was at fault.
#[derive(Debug, Default)]
pub struct Folder {
    /// The prop's own folder, every link in it resolved.
    root: Option<PathBuf>,
    /// The prop's own file is not there: wrong usage.
    pub absent: bool,
    /// No permission, a broken disk …
    pub machine: bool,
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
    fn first(&mut self, path: &str) -> Result<Loaded, Refusal> {
        let folder = match Path::new(path).parent() {
            Some(p) if !p.as_os_str().is_empty() => p,
            _ => Path::new("."),
        };
        let text = folder.canonicalize().map_err(refused).and_then(|root| {
            self.root = Some(root);
            read(Path::new(path))
        });
        self.absent = matches!(text, Err(Refusal::NotThere | Refusal::NotAFile));
        Ok(Loaded { name: path.to_owned(), text: text? })
    }

    fn import(&self, from: &str, path: &str) -> Result<Loaded, Refusal> {
        let Some(root) = &self.root else { return Err(Refusal::Outside) };
        if Path::new(path).is_absolute() {
            return Err(Refusal::Outside);
        }
        let full = Path::new(from).parent().unwrap_or(Path::new("")).join(path);
        let real = full.canonicalize().map_err(refused)?;
        if !real.starts_with(root) {
            return Err(Refusal::Outside);
        }
        let text = read(&real)?;
        Ok(Loaded { name: tidied(&full), text })
    }
}

/// `a/./b/../c.prop` as `a/c.prop`: one name for one file.
fn tidied(path: &Path) -> String {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if out.file_name().is_some() => {
                out.pop();
            }
            other => out.push(other),
        }
    }
    out.to_string_lossy().into_owned()
}

fn refused(error: io::Error) -> Refusal {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Refusal::NotThere,
        io::ErrorKind::PermissionDenied => Refusal::Machine("no permission".to_owned()),
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
    let mut bytes = Vec::new();
    let limit = LONGEST_FILE as u64 + 1;
    fs::File::open(path).and_then(|file| file.take(limit).read_to_end(&mut bytes)).map_err(refused)?;
    if bytes.len() > LONGEST_FILE {
        return Err(Refusal::TooLarge);
    }
    String::from_utf8(bytes).map_err(|e| Refusal::NotText { byte: e.utf8_error().valid_up_to() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_ways_to_a_file_give_one_name() {
        assert_eq!(tidied(Path::new("a/./b/../c.prop")), "a/c.prop");
        assert_eq!(tidied(Path::new("../shop/x.prop")), "../shop/x.prop");
    }

    #[test]
    fn imports_stay_in_the_folder() {
        let dir = tempfile::tempdir().unwrap();
        let (inside, outside) = (dir.path().join("prop"), dir.path().join("secret.prop"));
        fs::create_dir(&inside).unwrap();
        fs::write(&outside, "").unwrap();
        fs::write(inside.join("main.prop"), "").unwrap();
        let mut folder = Folder::default();
        let main = inside.join("main.prop");
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
