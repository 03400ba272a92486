//! Whether two names mean the same file.

use std::path::{Path, PathBuf};

/// Where a name leads.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Place {
    /// All links followed, as far as there is something.
    path: PathBuf,
    /// What the file system knows it by; `None` where there is nothing yet.
    number: Option<(u64, u64)>,
}

impl Place {
    /// Of a name; `-` is standard input.
    pub(super) fn of(name: &Path) -> Self {
        let name = if name == Path::new("-") { Path::new("/dev/stdin") } else { name };
        Self::of_path(name)
    }

    /// Of a path, `-` being a file of this name.
    pub(super) fn of_path(path: &Path) -> Self {
        Self { path: resolved(path), number: number(path) }
    }

    /// Whether it is the same file.
    pub(super) fn is(&self, other: &Self) -> bool {
        self.path == other.path || (self.number.is_some() && self.number == other.number)
    }

    /// The path with all links followed.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }
}

/// The path without links, as far as there is something; the rest as it stands.
fn resolved(path: &Path) -> PathBuf {
    let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    let found =
        whole.ancestors().find_map(|above| std::fs::canonicalize(above).ok().zip(whole.strip_prefix(above).ok()));
    match found {
        // joined with nothing a path ends in a stroke
        Some((there, rest)) if rest.as_os_str().is_empty() => there,
        Some((there, rest)) => there.join(rest),
        None => whole,
    }
}

#[cfg(unix)]
fn number(path: &Path) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    std::fs::metadata(path).ok().map(|found| (found.dev(), found.ino()))
}

/// Where files have no such numbers, the path tells.
#[cfg(not(unix))]
fn number(_path: &Path) -> Option<(u64, u64)> {
    None
}
