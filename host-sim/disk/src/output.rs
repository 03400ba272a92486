//! What a command writes.

use crate::open::other;
use crate::place::Place;
use holdoff_files::kind::{FIRST, Kind, told};
use holdoff_files::problem::{Problem, shown_file};
use std::fs::{self, File, OpenOptions};
use std::io::{self, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

/// The outputs of a command, beside its inputs.
#[derive(Debug)]
pub struct Outputs {
    inputs: Vec<(String, Place)>,
    outputs: Vec<(String, Place)>,
}

/// A file that may be written: it has been looked at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Output {
    /// As the user names it.
    name: String,
    /// With all links followed.
    path: PathBuf,
}

impl Outputs {
    /// Of a command that reads these files; `-` is standard input.
    pub fn beside<N: AsRef<Path>>(inputs: impl IntoIterator<Item = N>) -> Self {
        let named = |input: N| (shown_file(&input.as_ref().to_string_lossy()), Place::of(input.as_ref()));
        Self { inputs: inputs.into_iter().map(named).collect(), outputs: Vec::new() }
    }

    /// Looks whether a file may be written; nothing is opened for writing.
    ///
    /// # Errors
    /// Wrong usage where it is an input or another output of the command; unusable where something stands there that is no
    /// file, or of another kind.
    pub fn take(&mut self, file: &Path, kind: &Kind) -> Result<Output, Problem> {
        let name = file.to_string_lossy().into_owned();
        let (shown, place) = (shown_file(&name), Place::of_path(file));
        let remedy = "name another file to write to";
        if let Some((input, _)) = self.inputs.iter().find(|(_, input)| input.is(&place)) {
            let what = format!("{shown} is to be written, and is the file that is read as {input}");
            return Err(Problem::usage(what, format!("nothing was written; {remedy}")));
        }
        if self.outputs.iter().any(|(_, output)| output.is(&place)) {
            return Err(Problem::usage(format!("{shown} is to be written twice"), remedy));
        }
        replaceable(file, kind).map_err(|what| {
            if *kind == Kind::Register {
                return Problem::unusable(&name, what, "name another file; this one was left alone");
            }
            Problem::unusable(&name, what, format!("nothing was written; {remedy}, or move this one away yourself"))
        })?;
        let path = place.path().to_path_buf();
        self.outputs.push((shown, place));
        Ok(Output { name, path })
    }

    /// The same for files of a folder, in their order; the folder is made where there is none and all may be written.
    ///
    /// # Errors
    /// As above for each, and where the folder cannot be made.
    pub fn take_in(&mut self, folder: &Path, files: &[(String, Kind)]) -> Result<Vec<Output>, Problem> {
        let taken = files.iter().map(|(name, kind)| self.take(&folder.join(name), kind)).collect::<Result<_, _>>()?;
        fs::create_dir_all(folder).map_err(|error| {
            let name = folder.to_string_lossy();
            Problem::unusable(&name, format!("the folder can't be made: {error}"), "name another folder")
        })?;
        Ok(taken)
    }
}

/// Whether what stands there may be replaced by a file of this kind; else why not.
fn replaceable(file: &Path, kind: &Kind) -> Result<(), String> {
    let unreadable = |error: io::Error| format!("what stands there can't be looked at: {error}");
    let found = match fs::metadata(file) {
        Ok(found) => found,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return match fs::symlink_metadata(file) {
                Ok(_) => Err("it is a link that leads nowhere".to_owned()),
                Err(_) => Ok(()),
            };
        }
        Err(error) => return Err(unreadable(error)),
    };
    if let Some(what) = other(found.file_type()) {
        return Err(format!("it is {what}, no file"));
    }
    let mut first = Vec::new();
    let opened = File::open(file).map_err(unreadable)?;
    opened.take(FIRST.max(kind_length(kind))).read_to_end(&mut first).map_err(unreadable)?;
    if found.len() == 0 || kind.is(&first, found.len()) {
        return Ok(());
    }
    let there = told(&first, found.len()).unwrap_or("another file");
    if *kind == Kind::Register {
        return Err(format!("{there} stands there: this is no register of holdoff"));
    }
    Err(format!("{there} is there already, and only {} is replaced here", kind.words()))
}

/// How many bytes a kind looks at.
fn kind_length(kind: &Kind) -> u64 {
    match kind {
        Kind::Text(text) => text.len() as u64,
        Kind::Html
        | Kind::Svg
        | Kind::Png
        | Kind::Manual
        | Kind::Csv(_)
        | Kind::Parquet
        | Kind::Image
        | Kind::Part
        | Kind::Decision
        | Kind::Register => 0,
    }
}

impl Output {
    /// As the user names it.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Where it is written.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes it whole or not at all.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn write(&self, bytes: &[u8]) -> Result<(), Problem> {
        let failed = |error: io::Error| {
            let what = format!("it can't be written: {error}");
            Problem::unusable(&self.name, what, "check that its folder exists and that you may write there")
        };
        self.fill(&mut |mut part| part.write_all(bytes).map(|()| part).map_err(failed), failed)
    }

    /// Lets `fill` write it under a temporary name beside it, and puts it in place when it is complete and on the disk.
    ///
    /// # Errors
    /// What `fill` says, and `failed` where it cannot be written.
    pub fn fill<E>(
        &self,
        fill: &mut dyn FnMut(BufWriter<File>) -> Result<BufWriter<File>, E>,
        failed: impl Fn(io::Error) -> E,
    ) -> Result<(), E> {
        let (made, part) = self.part().map_err(&failed)?;
        let written = fill(BufWriter::new(made)).and_then(|mut made| {
            made.flush().and_then(|()| made.get_ref().sync_all()).map_err(&failed)?;
            fs::rename(&part, &self.path).map_err(&failed)
        });
        if written.is_err() {
            let _ = fs::remove_file(&part);
        }
        written
    }

    /// A new file beside it; what stands there is left alone.
    fn part(&self) -> io::Result<(File, PathBuf)> {
        let mut number = 0;
        loop {
            let mut name = self.path.as_os_str().to_owned();
            name.push(format!(".{}.{number}.part", std::process::id()));
            let part = PathBuf::from(name);
            match OpenOptions::new().write(true).create_new(true).open(&part) {
                Ok(made) => return Ok((made, part)),
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists && number < 100 => number += 1,
                Err(error) => return Err(error),
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use crate::{Kind, Outputs};
    use holdoff_files::problem::Exit;
    use std::fs;
    use std::path::PathBuf;
    use tempfile::TempDir;

    fn folder() -> TempDir {
        tempfile::tempdir().expect("a folder")
    }

    fn file(folder: &TempDir, name: &str, text: &str) -> PathBuf {
        let path = folder.path().join(name);
        fs::write(&path, text).expect("written");
        path
    }

    fn refused(inputs: &[PathBuf], file: &std::path::Path, kind: &Kind) -> Option<Exit> {
        Outputs::beside(inputs).take(file, kind).err().map(|problem| problem.exit())
    }

    #[cfg(unix)]
    #[test]
    fn an_input_is_no_output_by_whatever_name() {
        let folder = folder();
        let page = file(&folder, "page.html", "<!DOCTYPE html>");
        let [hard, soft, inner] = ["hard.html", "soft.html", "inner"].map(|name| folder.path().join(name));
        fs::hard_link(&page, &hard).expect("linked");
        std::os::unix::fs::symlink(&page, &soft).expect("linked");
        std::os::unix::fs::symlink(folder.path(), &inner).expect("linked");
        for name in [&page, &hard, &soft, &inner.join("page.html")] {
            assert_eq!(refused(std::slice::from_ref(&page), name, &Kind::Html), Some(Exit::Usage), "{name:?}");
            assert_eq!(refused(&[], name, &Kind::Html), None, "{name:?}");
        }
    }

    #[test]
    fn one_file_is_written_once() {
        let folder = folder();
        let (file, again) = (folder.path().join("new/a.svg"), folder.path().join("new/./a.svg"));
        let mut outputs = Outputs::beside::<PathBuf>([]);
        outputs.take(&file, &Kind::Svg).expect("the first");
        let problem = outputs.take(&again, &Kind::Image).expect_err("the second");
        assert_eq!(problem.exit(), Exit::Usage);
    }

    #[test]
    fn only_a_file_of_its_own_kind_or_an_empty_one_is_replaced() {
        let folder = folder();
        let csv = file(&folder, "a.csv", "time,temperature_c\n");
        for kind in [Kind::Html, Kind::Svg, Kind::Png, Kind::Image, Kind::Part, Kind::Csv("device".to_owned())] {
            assert_eq!(refused(&[], &csv, &kind), Some(Exit::Unusable), "{kind:?}");
            assert_eq!(refused(&[], &file(&folder, "empty", ""), &kind), None, "{kind:?}");
        }
        assert_eq!(refused(&[], folder.path(), &Kind::Html), Some(Exit::Unusable));
        let svg = file(&folder, "a.svg", "<svg>");
        Outputs::beside::<PathBuf>([]).take(&svg, &Kind::Svg).expect("taken").write(b"<svg/>").expect("written");
        assert_eq!(fs::read(&svg).expect("there"), b"<svg/>");
    }

    #[cfg(unix)]
    #[test]
    fn what_a_link_leads_to_is_written_and_the_link_stays() {
        let folder = folder();
        let (svg, link, nowhere) =
            (file(&folder, "a.svg", "<svg>"), folder.path().join("link.svg"), folder.path().join("nowhere"));
        std::os::unix::fs::symlink(&svg, &link).expect("linked");
        std::os::unix::fs::symlink(folder.path().join("none"), &nowhere).expect("linked");
        Outputs::beside::<PathBuf>([]).take(&link, &Kind::Svg).expect("taken").write(b"<svg/>").expect("written");
        assert_eq!(fs::read(&svg).expect("there"), b"<svg/>");
        assert!(link.symlink_metadata().expect("there").file_type().is_symlink());
        assert_eq!(refused(&[], &nowhere, &Kind::Svg), Some(Exit::Unusable));
    }
}
