//! `holdoff board`: the foreman's page, served, as a file, or in the terminal.

use super::Streams;
use super::now;
use super::speech::SpeechArguments;
use crate::page::{Guard, Token, TokenError, serve, watch};
use holdoff_disk::Load;
use holdoff_disk::{Kind, Outputs};
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, Problem, shown, visible};
use holdoff_present::page::{Board, JobShown, plain, static_file};
use holdoff_register::Register;
use std::net::{SocketAddr, UdpSocket};
use std::path::PathBuf;

/// `holdoff board`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The register
    #[arg(long, value_name = "SITE.db")]
    register: PathBuf,
    /// Only the fixings of this job; give earlier versions of the job file too, the newest last
    #[arg(long, value_name = "JOB.toml")]
    job: Vec<String>,
    /// Serve the page here, live; port 0 takes a free one
    #[arg(long, value_name = "ADDRESS:PORT", conflicts_with = "out")]
    listen: Option<SocketAddr>,
    /// Whoever opens the page must give this (16 to 128 letters, digits, - and _); needed beyond the loopback
    #[arg(long, value_name = "TOKEN", requires = "listen")]
    token: Option<String>,
    /// A name under which the page is asked for, besides addresses and localhost
    #[arg(long, value_name = "NAME", requires = "listen")]
    name: Vec<String>,
    /// Write the page as one file
    #[arg(long, value_name = "FILE.html")]
    out: Option<PathBuf>,
    /// Only this group (terminal)
    #[arg(long, value_name = "NAME", conflicts_with_all = ["listen", "out"])]
    group: Option<String>,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let guard = guard(arguments)?;
    let read = arguments.job.iter().map(PathBuf::from).chain([arguments.register.clone()]);
    let mut outputs = Outputs::beside(read);
    let out = arguments.out.as_deref().map(|file| outputs.take(file, &Kind::Html)).transpose()?;
    let jobs: Result<Vec<JobFile>, Problem> = arguments.job.iter().map(JobFile::load).collect();
    let job = JobShown::of(&jobs?);
    let speech = arguments.speech.speech();
    let name = arguments.register.to_string_lossy();
    if let Some(address) = arguments.listen {
        let live = watch(&arguments.register, job, speech).map_err(|refusal| refusal.problem(&name))?;
        return listen(address, live, guard, streams);
    }
    let mut board = Board::new(job).speaking(speech);
    let filled = Register::open(&arguments.register).and_then(|register| register.fill(&mut board));
    filled.map_err(|refusal| refusal.problem(&name))?;
    if let Some(group) = arguments.group.as_deref().filter(|_| !board.is_empty()) {
        let names: Vec<&str> = board.groups().map(|(name, _)| name).collect();
        if !names.contains(&&*visible(group)) {
            let what = format!("there is no group named {} in it", shown(group.as_bytes()));
            return Err(Problem::unusable(&name, what, format!("name one of: {}", names.join(", "))));
        }
    }
    match out {
        Some(out) => out.write(static_file(&board, now()).as_bytes()).map(|()| Exit::Ran),
        None => Ok(streams.print(&plain(&board, arguments.group.as_deref(), now()))),
    }
}

fn guard(arguments: &Arguments) -> Result<Guard, Problem> {
    let token = arguments.token.as_deref().map(Token::new).transpose().map_err(|error| match error {
        TokenError::Length { found } => Problem::usage(
            format!("a token of {found} characters is none"),
            "give 16 to 128 letters, digits, - and _, drawn at random",
        ),
        TokenError::Weak => Problem::usage(
            "the token could be guessed: it has fewer than 8 different characters, or is counted up or down",
            "give 16 to 128 letters, digits, - and _, drawn at random",
        ),
        TokenError::Character => {
            Problem::usage("the token has a character that is not allowed", "give 16 to 128 letters, digits, - and _")
        }
    })?;
    let guard = Guard { token, names: arguments.name.clone() };
    match arguments.listen {
        Some(address) if !guard.suits(address) => Err(Problem::usage(
            format!("{address} can be reached by others, and no token is given"),
            "listen on 127.0.0.1, or give a --token that whoever looks must have",
        )),
        Some(_) | None => Ok(guard),
    }
}

/// The address to open: what listens on every address of this computer is reached at the one that it has on its network.
fn reached_at(bound: SocketAddr) -> SocketAddr {
    if !bound.ip().is_unspecified() {
        return bound;
    }
    // Nothing is sent: who connects a datagram socket only learns which address of its own it would send from. The other one
    // belongs to documentation (RFC 5737, RFC 3849), and nobody has it.
    let (from, to) = match bound {
        SocketAddr::V4(_) => ("0.0.0.0:0", "192.0.2.1:9"),
        SocketAddr::V6(_) => ("[::]:0", "[2001:db8::1]:9"),
    };
    let own = UdpSocket::bind(from).and_then(|socket| {
        socket.connect(to)?;
        socket.local_addr()
    });
    own.map_or(bound, |own| SocketAddr::new(own.ip(), bound.port()))
}

fn listen(
    address: SocketAddr,
    live: std::sync::Arc<crate::page::Live>,
    guard: Guard,
    streams: &mut Streams,
) -> Result<Exit, Problem> {
    let failed = |error: std::io::Error| {
        Problem::usage(format!("{address} can't be listened on: {error}"), "name another port, or stop what holds it")
    };
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().map_err(failed)?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::bind(address).await.map_err(failed)?;
        let bound = listener.local_addr().map_err(failed)?;
        let path = guard.token.as_ref().map_or(String::new(), |token| format!("{}/", token.text()));
        let shown = reached_at(bound);
        let printed = streams.print(&format!("http://{shown}/{path}\n"));
        if printed != Exit::Ran {
            return Ok(printed);
        }
        serve(listener, live, guard).await
    })
}
