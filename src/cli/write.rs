//! Writing a build's files so that nothing is ever half written: all are staged beside their places first, then
//! renamed, the report last; so a full disk or Ctrl-C leaves the older good files as they were.
//!
//! Nothing outside the output folder is touched: links found in it are replaced, not followed. Files that an
//! earlier build's report names and this one did not write are removed, so that no stale sheet gets cut.

use std::fs;
use std::io::{self, Write as _};
use std::path::{Component, Path, PathBuf};

use tempfile::NamedTempFile;

use super::stop;

/// What went wrong with the machine.
#[derive(Debug)]
pub struct Failure {
    pub what: String,
    /// Ended by Ctrl-C, with nothing torn.
    pub interrupted: bool,
}

impl Failure {
    fn plain(what: String) -> Self {
        Self { what, interrupted: false }
    }

    fn interrupted() -> Self {
        Self { what: "stopped; nothing was changed".to_owned(), interrupted: true }
    }

    /// "cannot DO PATH: reason", with the reasons a maker meets said plainly.
    pub fn new(what: &str, path: &Path, error: &io::Error) -> Self {
        let reason = match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
            io::ErrorKind::PermissionDenied => "no permission".to_owned(),
            io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
            io::ErrorKind::NotFound => "no such file or folder".to_owned(),
            _ => error.to_string(),
        };
        Self::plain(format!("cannot {what} {}: {reason}", tasset::diag::shown(&path.display().to_string())))
    }
}

/// Writes `files` (relative path, bytes) below `out`, in their order, and removes those of `before` that are not
/// among them.
pub fn write_all(out: &Path, files: &[(&str, &[u8])], before: &[String]) -> Result<(), Failure> {
    let _writing = stop::Writing::begin();
    let mut staged = Vec::with_capacity(files.len());
    for &(relative, bytes) in files {
        let target = below(out, relative)?;
        let folder = target.parent().unwrap_or(out);
        make_folders(out, folder)?;
        if fs::symlink_metadata(&target).is_ok_and(|m| m.is_dir()) {
            return Err(Failure::plain(format!(
                "cannot write {}: a folder of that name is in the way",
                target.display()
            )));
        }
        let mut temporary = fresh(folder).map_err(|e| Failure::new("write in", folder, &e))?;
        temporary
            .write_all(bytes)
            .and_then(|()| temporary.as_file().sync_data())
            .map_err(|e| Failure::new("write", &target, &e))?;
        staged.push((temporary, target));
        if stop::asked() {
            return Err(Failure::interrupted());
        }
    }
    for (temporary, target) in staged {
        temporary.persist(&target).map_err(|e| Failure::new("write", &target, &e.error))?;
    }
    for stale in before.iter().filter(|old| files.iter().all(|(new, _)| new != old)) {
        if let Ok(path) = below(out, stale)
            && plain_way(out, &path)
        {
            let _ = fs::remove_file(path);
        }
    }
    Ok(())
}

/// Replaces one file by `text`, keeping its permissions; a link to it stays a link.
pub fn replace(path: &Path, text: &str) -> Result<(), Failure> {
    let path = path.canonicalize().map_err(|e| Failure::new("find", path, &e))?;
    let folder = path.parent().unwrap_or(Path::new("."));
    let _writing = stop::Writing::begin();
    let failed = |e: &io::Error| Failure::new("write", &path, e);
    let mut temporary = fresh(folder).map_err(|e| failed(&e))?;
    temporary.write_all(text.as_bytes()).map_err(|e| failed(&e))?;
    if let Ok(meta) = fs::metadata(&path) {
        temporary.as_file().set_permissions(meta.permissions()).map_err(|e| failed(&e))?;
    }
    temporary.persist(&path).map_err(|e| failed(&e.error))?;
    Ok(())
}

/// Writes a file that must not be there yet.
pub fn create(path: &Path, text: &str) -> Result<(), Failure> {
    let mut file = fs::File::create_new(path).map_err(|e| match e.kind() {
        io::ErrorKind::AlreadyExists => {
            Failure::plain(format!("{} is already there; it stays as it is", path.display()))
        }
        _ => Failure::new("write", path, &e),
    })?;
    file.write_all(text.as_bytes()).map_err(|e| Failure::new("write", path, &e))
}

/// A temporary file in `folder` that gets the usual permissions.
fn fresh(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tasset-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// `out/relative`, for a relative path of plain names only.
fn below(out: &Path, relative: &str) -> Result<PathBuf, Failure> {
    let relative = Path::new(relative);
    if relative.components().all(|c| matches!(c, Component::Normal(_))) && relative.components().next().is_some() {
        Ok(out.join(relative))
    } else {
        Err(Failure::plain(format!("{} does not lie in the output folder", relative.display())))
    }
}

/// Makes every folder from `out` down to `folder`; a link on the way below `out` is replaced by a folder.
fn make_folders(out: &Path, folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(out).map_err(|e| Failure::new("make the folder", out, &e))?;
    let mut at = out.to_path_buf();
    for part in folder.strip_prefix(out).unwrap_or(Path::new("")).components() {
        at.push(part);
        match fs::symlink_metadata(&at) {
            Ok(meta) if meta.is_dir() => continue,
            Ok(meta) if meta.is_symlink() => {
                fs::remove_file(&at).map_err(|e| Failure::new("replace the link", &at, &e))?;
            }
            Ok(_) => return Err(Failure::plain(format!("{} is a file where a folder has to be", at.display()))),
            Err(_) => {}
        }
        fs::create_dir(&at).map_err(|e| Failure::new("make the folder", &at, &e))?;
    }
    Ok(())
}

/// Whether no link lies between `out` and `path`.
fn plain_way(out: &Path, path: &Path) -> bool {
    let mut at = out.to_path_buf();
    path.strip_prefix(out).is_ok_and(|rest| {
        rest.components().all(|part| {
            at.push(part);
            fs::symlink_metadata(&at).is_ok_and(|m| !m.is_symlink())
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_land_and_stale_ones_go() {
        let dir = tempfile::tempdir().unwrap();
        let out = dir.path().join("out");
        write_all(&out, &[("a/cut/x.svg", b"1"), ("a/report.json", b"{}")], &[]).unwrap();
        write_all(&out, &[("a/report.json", b"{ }")], &["a/cut/x.svg".into(), "../b".into()]).unwrap();
        assert!(!out.join("a/cut/x.svg").exists());
        assert_eq!(fs::read(out.join("a/report.json")).unwrap(), b"{ }");
        let left: Vec<_> = fs::read_dir(out.join("a")).unwrap().map(|e| e.unwrap().file_name()).collect();
        assert_eq!(left.len(), 2, "no temporary file stays: {left:?}");
    }

    #[test]
    fn nothing_outside_is_touched() {
        let dir = tempfile::tempdir().unwrap();
        assert!(write_all(dir.path(), &[("../x", b"1")], &[]).is_err());
        assert!(write_all(dir.path(), &[("/x", b"1")], &[]).is_err());
        assert!(write_all(dir.path(), &[("", b"1")], &[]).is_err());
    }

    #[cfg(unix)]
    #[test]
    fn links_are_replaced_not_followed() {
        use std::os::unix::fs::symlink;
        let dir = tempfile::tempdir().unwrap();
        let (out, away) = (dir.path().join("out"), dir.path().join("away"));
        fs::create_dir_all(&away).unwrap();
        fs::create_dir_all(&out).unwrap();
        fs::write(away.join("kept"), "kept").unwrap();
        symlink(&away, out.join("a")).unwrap();
        symlink(away.join("kept"), out.join("b")).unwrap();
        write_all(&out, &[("a/kept", b"new"), ("b", b"new")], &[]).unwrap();
        assert_eq!(fs::read(away.join("kept")).unwrap(), b"kept");
        assert_eq!(fs::read(out.join("a/kept")).unwrap(), b"new");
        assert_eq!(fs::read(out.join("b")).unwrap(), b"new");
    }

    #[test]
    fn a_fault_while_staging_leaves_the_older_file() {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join("report.json"), "old").unwrap();
        fs::create_dir(dir.path().join("sheet.svg")).unwrap();
        assert!(write_all(dir.path(), &[("report.json", b"new"), ("sheet.svg", b"x")], &[]).is_err());
        assert_eq!(fs::read(dir.path().join("report.json")).unwrap(), b"old");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 2);
    }
}
