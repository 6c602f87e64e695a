//! Writing a build's files so that nothing is ever half written: all are staged beside their places first, then
//! renamed, the report last; when anything fails on the way (a full disk, Ctrl-C) all older files are as they were.
//!
//! Nothing outside the output folder is touched: links found in it are replaced, not followed. Files that an
//! earlier build's report names and this one did not write are removed, so that no stale sheet gets cut.
//!
//! Two builds into one folder at the same moment are not kept apart: each file is whole, but may be of either.

use std::fs;
use std::io::{self, Write as _};
use std::path::{Component, Path, PathBuf};

use tempfile::{NamedTempFile, TempPath};

use super::stop;

/// Why nothing was written, for a line that begins with the program's name.
#[derive(Clone, Debug)]
pub struct Failure {
    pub what: String,
    pub why: Why,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The machine failed.
    Machine,
    /// What was asked for cannot be.
    Usage,
    /// Ended by Ctrl-C, with nothing torn.
    Interrupted,
}

impl Failure {
    fn machine(what: String) -> Self {
        Self { what, why: Why::Machine }
    }

    fn interrupted() -> Self {
        Self { what: "stopped; nothing was changed".to_owned(), why: Why::Interrupted }
    }

    /// "cannot DO PATH: reason", with the reasons a maker meets said plainly.
    pub fn new(what: &str, path: &Path, error: &io::Error) -> Self {
        let reason = match error.kind() {
            io::ErrorKind::StorageFull => "the disk is full".to_owned(),
            io::ErrorKind::QuotaExceeded => "your share of the disk is full".to_owned(),
            io::ErrorKind::FileTooLarge => "it is larger than a file may be here".to_owned(),
            io::ErrorKind::PermissionDenied => "no permission".to_owned(),
            io::ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
            io::ErrorKind::NotADirectory => "a file stands where a folder has to be".to_owned(),
            io::ErrorKind::NotFound => "no such file or folder".to_owned(),
            _ => error.to_string(),
        };
        Self::machine(format!("cannot {what} {}: {reason}", shown(path)))
    }
}

fn shown(path: &Path) -> String {
    tasset::diag::shown(&path.display().to_string())
}

/// Writes `files` (relative path, bytes) below `out`, in their order, and removes those of `before` that are not
/// among them just before the last, the report.
pub fn write_all(out: &Path, files: &[(&str, &[u8])], before: &[String]) -> Result<(), Failure> {
    let _writing = stop::Writing::begin();
    // The folders outlive what is staged in them, so that they are empty when they are removed again.
    let mut made = Made::default();
    let mut steps = Vec::with_capacity(files.len());
    for &(relative, bytes) in files {
        let target = below(out, relative)?;
        let folder = target.parent().unwrap_or(out);
        made.folders(out, folder)?;
        if fs::symlink_metadata(&target).is_ok_and(|m| m.is_dir()) {
            return Err(Failure::machine(format!(
                "cannot write {}: a folder of that name is in the way",
                shown(&target)
            )));
        }
        let staged = staged(folder, bytes).map_err(|e| Failure::new("write", &target, &e))?;
        steps.push(Step { target, staged: Some(staged) });
        if stop::asked() {
            return Err(Failure::interrupted());
        }
    }
    let report = steps.pop();
    for stale in before.iter().filter(|old| files.iter().all(|(new, _)| new != old)) {
        if let Ok(target) = below(out, stale)
            && plain_way(out, &target)
            && fs::symlink_metadata(&target).is_ok_and(|m| m.is_file())
        {
            steps.push(Step { target, staged: None });
        }
    }
    steps.extend(report);
    if stop::asked() {
        return Err(Failure::interrupted());
    }
    take(steps)?;
    made.keep();
    Ok(())
}

/// A file to be put in place, or (`None`) to be removed.
struct Step {
    target: PathBuf,
    staged: Option<NamedTempFile>,
}

/// Takes every step, or none: when one fails, those before it are undone.
fn take(steps: Vec<Step>) -> Result<(), Failure> {
    let failed = |target: &Path, e: &io::Error| Failure::new("write", target, e);
    let mut older = Vec::with_capacity(steps.len());
    for step in &steps {
        older.push(second_name(&step.target).map_err(|e| failed(&step.target, &e))?);
    }
    let mut done: Vec<(PathBuf, Option<TempPath>)> = Vec::with_capacity(steps.len());
    for (Step { target, staged }, older) in steps.into_iter().zip(older) {
        let result = match staged {
            Some(staged) => staged.persist(&target).map(drop).map_err(|e| e.error),
            None => fs::remove_file(&target),
        };
        if let Err(error) = result {
            for (target, older) in done.into_iter().rev() {
                // Nothing better can be done where this fails too.
                let _ = match older {
                    Some(older) => older.persist(&target).map_err(|e| e.error),
                    None => fs::remove_file(&target),
                };
            }
            return Err(failed(&target, &error));
        }
        done.push((target, older));
    }
    Ok(())
}

/// A second name for what stands at `target`, gone again when dropped: from it the file can be put back.
fn second_name(target: &Path) -> io::Result<Option<TempPath>> {
    if fs::symlink_metadata(target).is_err() {
        return Ok(None);
    }
    let folder = target.parent().unwrap_or(Path::new("."));
    // Some disks know no second names; a copy serves as well.
    let made = naming().make_in(folder, |path| match fs::hard_link(target, path) {
        Err(e) if e.kind() != io::ErrorKind::AlreadyExists => fs::copy(target, path).map(drop),
        result => result,
    })?;
    Ok(Some(made.into_temp_path()))
}

/// Replaces one file by `text`, keeping its permissions; a link to it stays a link.
pub fn replace(path: &Path, text: &str) -> Result<(), Failure> {
    let path = path.canonicalize().map_err(|e| Failure::new("find", path, &e))?;
    let folder = path.parent().unwrap_or(Path::new("."));
    let _writing = stop::Writing::begin();
    let failed = |e: &io::Error| Failure::new("write", &path, e);
    let temporary = staged(folder, text.as_bytes()).map_err(|e| failed(&e))?;
    if let Ok(meta) = fs::metadata(&path) {
        temporary.as_file().set_permissions(meta.permissions()).map_err(|e| failed(&e))?;
    }
    temporary.persist(&path).map_err(|e| failed(&e.error))?;
    Ok(())
}

/// Writes a file that must not be there yet, whole or not at all.
pub fn create(path: &Path, text: &str) -> Result<(), Failure> {
    let usage = |what: String| Failure { what, why: Why::Usage };
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let _writing = stop::Writing::begin();
    // Looked at first for the message's sake; the last step is what keeps an older file safe.
    if fs::symlink_metadata(path).is_ok() {
        return Err(usage(format!("{} is already there; it stays as it is", shown(path))));
    }
    if !folder.is_dir() {
        return Err(usage(format!("there is no folder {}; make it first", shown(folder))));
    }
    let staged = staged(folder, text.as_bytes()).map_err(|e| Failure::new("write", path, &e))?;
    staged.persist_noclobber(path).map(drop).map_err(|e| match e.error.kind() {
        io::ErrorKind::AlreadyExists => usage(format!("{} is already there; it stays as it is", shown(path))),
        io::ErrorKind::InvalidFilename => usage(format!("{} is no name for a file", shown(path))),
        _ => Failure::new("write", path, &e.error),
    })
}

/// How temporary files are named.
fn naming() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tasset-").suffix(".part");
    builder
}

/// A temporary file in `folder`, whole on the disk, with the usual permissions.
fn staged(folder: &Path, bytes: &[u8]) -> io::Result<NamedTempFile> {
    let mut builder = naming();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_data()?;
    Ok(file)
}

/// `out/relative`, for a relative path of plain names only.
fn below(out: &Path, relative: &str) -> Result<PathBuf, Failure> {
    let relative = Path::new(relative);
    if relative.components().all(|c| matches!(c, Component::Normal(_))) && relative.components().next().is_some() {
        Ok(out.join(relative))
    } else {
        Err(Failure::machine(format!("{} does not lie in the output folder", shown(relative))))
    }
}

/// Folders that were made for a build; removed again, innermost first, unless it is kept.
#[derive(Debug, Default)]
struct Made(Vec<PathBuf>);

impl Made {
    /// Makes every folder down to `folder`; a link on the way below `out` is replaced by a folder.
    fn folders(&mut self, out: &Path, folder: &Path) -> Result<(), Failure> {
        let missing: Vec<&Path> =
            out.ancestors().take_while(|p| !p.as_os_str().is_empty() && fs::metadata(p).is_err()).collect();
        for path in missing.into_iter().rev() {
            self.one(path)?;
        }
        let mut at = out.to_path_buf();
        for part in folder.strip_prefix(out).unwrap_or(Path::new("")).components() {
            at.push(part);
            match fs::symlink_metadata(&at) {
                Ok(meta) if meta.is_dir() => continue,
                Ok(meta) if meta.is_symlink() => {
                    fs::remove_file(&at).map_err(|e| Failure::new("replace the link", &at, &e))?;
                }
                Ok(_) => {
                    return Err(Failure::machine(format!("{} is a file where a folder has to be", shown(&at))));
                }
                Err(_) => {}
            }
            self.one(&at)?;
        }
        Ok(())
    }

    fn one(&mut self, path: &Path) -> Result<(), Failure> {
        match fs::create_dir(path) {
            Ok(()) => self.0.push(path.to_path_buf()),
            // Another build may have made it meanwhile.
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists && path.is_dir() => {}
            Err(e) => return Err(Failure::new("make the folder", path, &e)),
        }
        Ok(())
    }

    fn keep(mut self) {
        self.0.clear();
    }
}

impl Drop for Made {
    fn drop(&mut self) {
        for path in self.0.iter().rev() {
            let _ = fs::remove_dir(path);
        }
    }
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
    fn folders_made_for_nothing_go_again() {
        let dir = tempfile::tempdir().unwrap();
        let out = dir.path().join("a/b");
        fs::write(dir.path().join("file"), "").unwrap();
        assert!(write_all(&out, &[("c/d/x", b"1"), ("../x", b"1")], &[]).is_err());
        assert!(!dir.path().join("a").exists());
        let failure = write_all(&dir.path().join("file"), &[("c/x", b"1")], &[]).unwrap_err();
        assert_eq!(failure.why, Why::Machine, "{failure:?}");
    }

    #[test]
    fn a_fault_while_renaming_is_undone() {
        let dir = tempfile::tempdir().unwrap();
        let path = |name: &str| dir.path().join(name);
        fs::write(path("a"), "old").unwrap();
        fs::write(path("stale"), "old").unwrap();
        let step = |name: &str, bytes: Option<&[u8]>| Step {
            target: path(name),
            staged: bytes.map(|b| staged(dir.path(), b).unwrap()),
        };
        let mut steps = vec![step("a", Some(b"new")), step("b", Some(b"new")), step("stale", None)];
        // What is staged last is gone when its turn comes.
        let last = step("report.json", Some(b"new"));
        fs::remove_file(last.staged.as_ref().unwrap().path()).unwrap();
        steps.push(last);
        assert!(take(steps).is_err());
        let mut left: Vec<_> = fs::read_dir(dir.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
        left.sort();
        assert_eq!(left, ["a", "stale"]);
        assert_eq!(fs::read(path("a")).unwrap(), b"old");
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
